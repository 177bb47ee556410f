"""Which law of the circuit a true claim states at a moment: junction, loop, one branch, or what a storage
obeys.

At every moment a capacitor is a source of its voltage and a coil one of its own: in that circuit the laws of
steady circuits hold, and a claim is held against them there.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cached_property

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import UNIT_OF, Branch, Element, Kind, Pass
from ...errors import FaultyMaterial
from ...expressions.nodes import Equation, Expr, Number, Symbol, alike, parts_of
from ...expressions.said import Said
from ...expressions.values import ratio_of
from ...solve.exact import solve_posed, well_posed
from ..arrows import of_problem
from ..truth.meaning import Meanings, level
from ..truth.which_law import WhichLaw
from ..verdicts import ClaimKind
from ..wording import of_law
from .timed_names import Sort, TimedQuantity, When
from .timed_page import names_in
from .unit_systems import UnitSystem, in_system

Names = Mapping[str, tuple[TimedQuantity, When]]


class StageLaws:
    """The laws of one circuit with its storages as sources of what they hold."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit

    @cached_property
    def _laws(self) -> WhichLaw | None:
        """The laws of that circuit, its numbers put in where it has them; None where it has no one answer."""
        circuit = self.circuit
        elements = dict(circuit.elements)
        signs: dict[str, int] = {}
        for name in circuit.storages:
            internal = circuit.elements[name].internal
            elements[name] = Element(name, Kind.BATTERY, Symbol(_source(name)), internal)
            signs[name] = -1
        branches = tuple(_signed(b, signs) for b in circuit.branches)
        drawn = replace(
            circuit,
            elements=elements,
            branches=branches,
            start={},
            switching=(),
            find=(),
            in_time=(),
            expect=(),
        )
        try:
            solution = solve_posed(well_posed(drawn))
            return WhichLaw(Meanings(solution, of_problem(drawn)))
        except (FaultyMaterial, ArithmeticError):
            return None

    def stated(self, claim: Equation, names: Names, system: UnitSystem) -> tuple[ClaimKind, Said] | None:
        """The law that a true claim states; None where it states none."""
        which = self._laws
        if which is None or len({when for _, when in names.values()} - {When.UNSAID}) > 1:
            return None
        meanings = which.meanings
        try:
            left, right = (self._value(side, names, system, meanings) for side in (claim.left, claim.right))
        except (KeyError, ZeroDivisionError, ArithmeticError, ValueError):
            return None
        row = meanings.row(left - right)
        if row is None or not row.coefficients:
            return None
        if not meanings.holds(left - right) and not self.circuit.has_all_numbers:
            return None
        stated = which.stated(row)
        if stated is None or not which.is_written_as_law(stated, row):
            return None
        kind = ClaimKind.LOOP if stated.loops else ClaimKind.JUNCTION if stated.points else ClaimKind.ELEMENT
        kind = ClaimKind.ELEMENT if stated.path else kind
        return kind, of_law(meanings.circuit, stated)

    def _value(self, side: Expr, names: Names, system: UnitSystem, meanings: Meanings) -> Ratio:
        table: dict[str, Ratio] = {}
        for name in names_in(side):
            if name in names:
                table[name] = self._meant(names[name][0], meanings)
            elif name in meanings.field:
                table[name] = meanings.field.symbol(name)
            elif name in self.circuit.elements:
                table[name] = self.circuit.value(name).at({}, meanings.field)
        numbers = {v: n for n, v in self.circuit.numbers.items()} if self._told_apart else {}
        named = _with_symbols(side, numbers, system, self.circuit) if numbers else side
        for name in names_in(named):
            if name not in table and name in meanings.field:
                table[name] = meanings.field.symbol(name)
        return ratio_of(named, meanings.field, table)

    @cached_property
    def _told_apart(self) -> bool:
        """Whether no two data are alike, so that a number tells whose it is."""
        return self.circuit.has_all_numbers and len(set(self.circuit.numbers.values())) == len(
            self.circuit.numbers
        )

    def _meant(self, quantity: TimedQuantity, meanings: Meanings) -> Ratio:
        """A quantity in the unknowns of that circuit. Raises KeyError for what is none."""
        circuit, fld = self.circuit, meanings.field
        sign = quantity.sign
        if quantity.sort is Sort.CURRENT and not quantity.slope:
            return fld.symbol(quantity.of[0]) * sign
        if quantity.sort is Sort.DIFFERENCE and not quantity.slope:
            return (fld.symbol(level(quantity.of[0])) - fld.symbol(level(quantity.of[1]))) * sign
        if quantity.sort is Sort.ACROSS and not quantity.slope:
            return self._across(quantity.of[0], meanings) * sign
        if quantity.sort is Sort.CHARGE and not quantity.slope:
            value = circuit.value(quantity.of[0]).at({}, fld)
            return fld.symbol(_source(quantity.of[0])) * value * sign
        if quantity.sort is Sort.CHARGE:
            return fld.symbol(circuit.branch_of(quantity.of[0]).name) * sign
        if quantity.slope and quantity.sort is Sort.CURRENT:
            for coil in circuit.storages:
                if (
                    circuit.elements[coil].kind is Kind.COIL
                    and circuit.branch_of(coil).name == quantity.of[0]
                ):
                    return fld.symbol(_source(coil)) * sign / circuit.value(coil).at({}, fld)
        if quantity.slope and quantity.sort is Sort.ACROSS and quantity.of[0] in circuit.storages:
            name = quantity.of[0]
            if circuit.elements[name].kind is Kind.CAPACITOR:
                return fld.symbol(circuit.branch_of(name).name) * sign / circuit.value(name).at({}, fld)
        raise KeyError(quantity.name)

    def _across(self, element: str, meanings: Meanings) -> Ratio:
        circuit, fld = self.circuit, meanings.field
        current = fld.symbol(circuit.branch_of(element).name)
        if element in circuit.storages:
            return fld.symbol(_source(element)) + current * circuit.internal_resistance(element).at({}, fld)
        if circuit.elements[element].kind is Kind.RESISTOR:
            return current * circuit.value(element).at({}, fld)
        sign = circuit.pass_of(element).sign
        inside = current * circuit.internal_resistance(element).at({}, fld)
        return inside - circuit.value(element).at({}, fld) * sign


def _source(storage: str) -> str:
    """The name of what a storage is as a source."""
    return f"held by {storage}"


def _signed(branch: Branch, signs: Mapping[str, int]) -> Branch:
    along = tuple(
        Pass(i.element, signs[i.element]) if isinstance(i, Pass) and i.element in signs else i
        for i in branch.along
    )
    return replace(branch, along=along)


def _with_symbols(expr: Expr, names: Mapping[Fraction, str], system: UnitSystem, circuit: Circuit) -> Expr:
    """An expression with the symbols of the problem in the place of their numbers, as far as these are told
    apart; so a law that is written in numbers is known as one."""
    if isinstance(expr, Number):
        for value, name in names.items():
            kind = circuit.role(name)
            unit = UNIT_OF.get(kind, "") if kind is not None else ""
            if expr.unit and expr.unit[-1:] != unit[-1:]:
                continue
            if in_system(expr, system) == value / system.scale(unit):
                return Symbol(name)
        return expr
    parts = parts_of(expr)
    if not parts:
        return expr
    return alike(expr, [_with_symbols(part, names, system, circuit) for part in parts])


def of_storage(circuit: Circuit, claim: Equation, names: Names) -> Said | None:
    """What a claim says of a storage alone: no jump, Q = C V, i = C dv/dt, v = L di/dt, energy, time
    constant; None where it says something else."""
    sorts = {quantity.sort for quantity, _ in names.values()}
    of = {quantity.of for quantity, _ in names.values()}
    moments = {when for _, when in names.values()}
    values = names_in(claim)
    bare = all(isinstance(side, Symbol) and side.name in names for side in (claim.left, claim.right))
    if bare and moments == {When.BEFORE, When.AFTER} and len(of) == 1:
        held = "The voltage of a capacitor" if Sort.ACROSS in sorts else "The current of a coil"
        held = "The charge of a capacitor" if Sort.CHARGE in sorts else held
        return (f"{held} does not jump.",)
    if (
        sorts == {Sort.CHARGE, Sort.ACROSS}
        and len(moments) == 1
        and any(n in circuit.elements for n in values)
    ):
        return ("What a capacitor holds: Q = C V.",)
    slopes = any(quantity.slope for quantity, _ in names.values())
    if slopes and len(names) == 2 and sorts in ({Sort.CURRENT, Sort.ACROSS}, {Sort.CURRENT, Sort.CHARGE}):
        return ("How a storage changes: i = C dv/dt, v = L di/dt.",)
    if Sort.ENERGY in sorts and len(names) == 2 and sorts & {Sort.ACROSS, Sort.CURRENT, Sort.CHARGE}:
        return ("The energy that a storage holds.",)
    if sorts == {Sort.TIME_CONSTANT, Sort.SEEN}:
        return ("The time constant, from what the storage sees.",)
    return None
