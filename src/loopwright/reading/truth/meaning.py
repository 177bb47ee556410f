"""What the names in a working stand for, and so the exact value of an expression and of a claim.

`Meanings` holds them for one view of the circuit: in symbols, or with its numbers put in (then also with
currents in milliamperes and resistances in kilohms, where no units are written). Everything becomes a
ratio in the symbols and in the unknowns: the branch currents along the circuit's own arrows and the
potentials of its points. The truth is what the solved circuit gives for the unknowns.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from fractions import Fraction

from ...algebra.common_form import over_one_denominator
from ...algebra.linear import Linear
from ...algebra.ratios import Exponents, Field, Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind, Pass
from ...circuit.targets import HEAT, target
from ...errors import FaultyMaterial
from ...expressions.nodes import (
    Equation,
    Expr,
    Number,
    alike,
    parts_of,
)
from ...expressions.values import ratio_of, symbols_of
from ...solve.asked import value_of
from ...solve.exact import Solution
from ..working import AS_DRAWN, CircuitChange
from .changed import in_setting, part
from .dimensions import thousands
from .size import TooLong, check_length

_CALL = re.compile(r"([VPR])\((.*?)\)(?: without .*)?")
LONGEST = 24  # binary digits of the number of terms that a claim may have with the currents put in


class UnknownName(LookupError):
    """A name that stands for nothing yet; `args[0]` is the name."""


class Meanings:
    """What names stand for in one view of a circuit, in which claims are valued.

    `numbers`: put for the symbols (none: everything stays in symbols). `thousands`: numbers without a
    unit are read in mA, kΩ and mW. `currents`: what the names of currents stand for (`Arrows.names`);
    `changed`: the changed circuits whose currents and potentials are unknowns too.
    """

    def __init__(
        self,
        solution: Solution,
        currents: Mapping[str, Mapping[str, int]],
        numbers: Mapping[str, Fraction] | None = None,
        thousands: bool = False,
        changed: Sequence[CircuitChange] = (),
    ) -> None:
        circuit = solution.circuit
        self.circuit, self.solution, self.thousands = circuit, solution, thousands
        self.numbers = dict(numbers or {})
        free = [s for s in circuit.field.symbols if s not in self.numbers]
        levels = [level(p) for p in circuit.named_points]
        plain = (*circuit.currents, *levels)
        worked = {s: found for s in changed if (found := in_setting(circuit, s)) is not None}
        self.changed: Mapping[CircuitChange, Solution] = worked
        self.home: Mapping[str, tuple[str, CircuitChange]] = {
            part(n, s): (n, s) for s in (AS_DRAWN, *worked) for n in plain
        }
        self.unknowns: tuple[str, ...] = tuple(self.home)
        self.symbols = Field(free)
        self.field = Field((*free, *self.unknowns))
        true = dict.fromkeys(self.unknowns, self.symbols.zero)
        for setting, found in ((AS_DRAWN, solution), *worked.items()):
            true.update({part(n, setting): self._plain(r) for n, r in found.currents.items()})
            levels_of = found.potentials.items()
            true.update({part(level(p), setting): self._plain(r) for p, (_, r) in levels_of})
        self.true: Mapping[str, Ratio] = true
        above, self._below = over_one_denominator(self.symbols, true)
        one = self.symbols.one.below
        self._images = dict.fromkeys(self.unknowns, self.symbols.zero)
        self._images.update({n: Ratio(self.symbols, p, one, reduced=True) for n, p in above.items()})
        self.names: dict[str, Ratio] = {s: self._own(circuit.field.symbol(s)) for s in circuit.field.symbols}
        met = {p.element for b in circuit.branches for p in b.passes}
        for name, element in circuit.elements.items():
            if element.kind in _VALUED and name in met:
                self.names[name] = self._own(circuit.value(name))
        for name, branches in currents.items():
            total = self.field.zero
            for branch, sign in branches.items():
                total = total + self.field.symbol(branch) * sign
            self.names[name] = total
        self._scale(circuit, currents)

    def _scale(self, circuit: Circuit, currents: Mapping[str, Mapping[str, int]]) -> None:
        if not self.thousands:
            return
        for name in self.names:
            of_levels = any(n.startswith("φ") for n in currents.get(name, ()))
            unit = ("V" if of_levels else "A") if name in currents else _unit(circuit, name)
            self.names[name] = self.names[name] * self.field.number(thousands(unit))

    def _plain(self, ratio: Ratio) -> Ratio:
        """A ratio of the circuit's field in this meanings: its numbers put in, where it has any."""
        return ratio.at(self.numbers, self.symbols) if self.numbers else ratio.at({}, self.symbols)

    def _own(self, ratio: Ratio) -> Ratio:
        return ratio.at(self.numbers, self.field)

    # -- names -------------------------------------------------------------------------------------

    def name_quantity(self, name: str, made: Mapping[str, int]) -> None:
        """Gives a sum of unknowns a name; currents in milliamperes where numbers are read so."""
        total = self.field.zero
        for unknown, share in made.items():
            total = total + self.field.symbol(unknown) * share
        of_levels = any(n.startswith("φ") for n in made)
        scale = thousands("V" if of_levels else "A") if self.thousands else 1
        self.names[name] = total * self.field.number(scale)

    def learn(self, names: Iterable[str]) -> None:
        """Sees to it that these names stand for something. Raises UnknownName for one that does not."""
        for name in names:
            if name not in self.names:
                self.names[name] = self._called(name)

    def _called(self, name: str) -> Ratio:
        found = _CALL.fullmatch(name)
        if found is None:
            raise UnknownName(name)
        scale = self.field.number(thousands(_LETTER_UNIT[found[1]]) if self.thousands else 1)
        inside = [part.strip() for part in found[2].split(",")]
        if found[1] == "V" and len(inside) == 1 and inside[0] in self.circuit.elements:
            return self.across(inside[0]) * scale
        try:
            asked = target(name, self.circuit)
            if found[1] == "V" and not asked.without:
                one, other = asked.names
                if self.solution.potentials[one][0] != self.solution.potentials[other][0]:
                    raise UnknownName(name)
                return (self.field.symbol(level(one)) - self.field.symbol(level(other))) * scale
            if found[1] in "VR":
                return self._own(value_of(self.solution, asked)) * scale
        except FaultyMaterial as trouble:
            raise UnknownName(name) from trouble
        return self.power(asked.names) * scale

    def across(self, element: str) -> Ratio:
        """The voltage of an element in the unknowns: for a battery its terminals, + against −; for a
        resistor the drop along the arrow of its branch."""
        branch, p = self.circuit.branch_of(element), self.circuit.pass_of(element)
        drop = self._drop(branch, p)
        return -drop * p.sign if self.circuit.elements[element].kind is Kind.BATTERY else drop

    def resistive_drop(self, branch: str) -> Ratio:
        """The drop along a branch across all its resistance, that inside batteries too, in the unknowns."""
        return self.field.symbol(branch) * self._own(self.circuit.resistance(branch))

    def power(self, names: tuple[str, ...]) -> Ratio:
        """The power that `P(...)` with these names means, in the unknowns: taken in by resistances, delivered
        by sources."""
        if names[0] in self.circuit.elements:
            return self._power(names[0], at_terminals=len(names) > 1)
        met = [p.element for b in self.circuit.branches for p in b.passes]
        sources = {n for n in met if self.circuit.elements[n].has_sign}
        total = self.field.zero
        for name in met:
            if name in sources or names[0] == HEAT:
                total = total + self._power(name)
            if name in sources and names[0] == HEAT:
                total = total - self._power(name, at_terminals=True)
        return total

    def _power(self, element: str, *, at_terminals: bool = False) -> Ratio:
        branch, p = self.circuit.branch_of(element), self.circuit.pass_of(element)
        current = self.field.symbol(branch.name)
        match self.circuit.elements[element].kind:
            case Kind.BATTERY if not at_terminals:
                return self._own(self.circuit.value(element)) * current * p.sign
            case Kind.BATTERY | Kind.CURRENT_SOURCE:
                return -self._drop(branch, p) * current
            case _:
                return self._drop(branch, p) * current

    def _drop(self, branch: Branch, p: Pass) -> Ratio:
        """The drop along the arrow across one element, in the unknowns."""
        current = self.field.symbol(branch.name)
        if self.circuit.elements[p.element].fixes_current:
            ends = self.field.symbol(level(branch.start)) - self.field.symbol(level(branch.end))
            for other in branch.passes:
                if other.element != p.element:
                    ends = ends - self._drop(branch, other)
            return ends
        match self.circuit.elements[p.element].kind:
            case Kind.RESISTOR:
                return current * self._own(self.circuit.value(p.element))
            case Kind.BATTERY:
                internal, emf = self.circuit.internal_resistance(p.element), self.circuit.value(p.element)
                return current * self._own(internal) - self._own(emf) * p.sign
            case _:
                return self.field.zero

    def needed(self, source: str, setting: CircuitChange) -> Ratio:
        """What a source would have to give in a changed circuit, in the unknowns of that: its emf, or its
        current."""
        branch, p = self.circuit.branch_of(source), self.circuit.pass_of(source)
        current = self.field.symbol(branch.name)
        if self.circuit.elements[source].kind is Kind.CURRENT_SOURCE:
            given = current * p.sign * self.field.number(thousands("A") if self.thousands else 1)
        else:
            ends = self.field.symbol(level(branch.start)) - self.field.symbol(level(branch.end))
            given = current * self._own(self.circuit.internal_resistance(source)) - ends
            for other in branch.passes:
                if other.element != source:
                    given = given + self._drop(branch, other)
            given = given * p.sign
        plain = (*self.circuit.currents, *map(level, self.circuit.named_points))
        return given.at({n: self.field.symbol(part(n, setting)) for n in plain}, self.field)

    def relations(self) -> dict[str, Linear]:
        """The relation of each branch that fixes no current: the drop of potential along it is I R − E."""
        found: dict[str, Linear] = {}
        for b in self.circuit.branches:
            if self.circuit.fixed_current(b.name) is None and b.start != b.end:
                drop = self.field.zero
                for p in b.passes:
                    drop = drop + self._drop(b, p)
                ends = self.field.symbol(level(b.start)) - self.field.symbol(level(b.end))
                row = self.row(ends - drop)
                if row is not None:
                    found[b.name] = row
        return found

    def _longest_name(self, names: Iterable[str]) -> int:
        """The most terms that one of these names stands for."""
        return max((len(self.names[n].above) for n in names), default=1)

    # -- values ------------------------------------------------------------------------------------

    def ratio(self, expr: Expr) -> Ratio:
        """The value of an expression. Raises UnknownName, TooLong, and ZeroDivisionError for what is over
        zero."""
        names = symbols_of(expr)
        self.learn(names)
        check_length(expr, self._longest_name(names))
        return ratio_of(self.in_its_units(expr) if self.thousands else expr, self.field, self.names)

    def difference(self, equation: Equation) -> Ratio:
        """Left side minus right side, in the symbols and unknowns."""
        return self.ratio(equation.left) - self.ratio(equation.right)

    def in_its_units(self, expr: Expr) -> Expr:
        """The expression with every number that carries a unit turned into the units of this view (mA, kΩ and
        mW, where it reads numbers so)."""
        if isinstance(expr, Number):
            return Number(expr.value * thousands(expr.unit), expr.unit, expr.text)
        parts = parts_of(expr)
        return alike(expr, [self.in_its_units(part) for part in parts]) if parts else expr

    def holds(self, difference: Ratio) -> bool:
        """Whether a difference vanishes for the true currents and potentials, exactly."""
        if not difference:
            return True
        return not self._true_value(difference, below=False) and bool(
            self._true_value(difference, below=True)
        )

    def value(self, ratio: Ratio) -> Ratio | None:
        """The true value of a ratio, in the symbols; None where its denominator vanishes."""
        below = self._true_value(ratio, below=True)
        if not below:
            return None
        above = self._true_value(ratio, below=False)
        degrees = self._degree(ratio, below=True) - self._degree(ratio, below=False)
        common = Ratio(self.symbols, self._below, self.symbols.one.below, reduced=True)
        return above / below * (common**degrees if degrees else self.symbols.one)

    def _degree(self, ratio: Ratio, below: bool) -> int:
        return max((sum(e[len(self.symbols.symbols) :]) for e, _ in ratio.terms(below=below)), default=0)

    def _true_value(self, ratio: Ratio, below: bool) -> Ratio:
        """Numerator (or with `below` the denominator) with the true values put in for the unknowns;
        multiplied by their common denominator as often as its degree asks, so that it is a polynomial."""
        first = len(self.symbols.symbols)
        parts: dict[int, dict[Exponents, int]] = {}
        for exponents, coefficient in ratio.terms(below=below):
            parts.setdefault(sum(exponents[first:]), {})[exponents] = coefficient
        if max(parts, default=0) * (len(self._below).bit_length() - 1) > LONGEST:
            raise TooLong
        one = self.symbols.one.below
        total, most = self.symbols.zero, max(parts, default=0)
        for degree, terms in sorted(parts.items()):
            piece = self.field.polynomial(terms).at(self._images, self.symbols)
            common = self._below ** (most - degree)
            total = total + piece * Ratio(self.symbols, common, one, reduced=True)
        return total

    def row(self, difference: Ratio) -> Linear | None:
        """The equation `difference` = 0 as a linear one in the unknowns; None where it is not linear."""
        first = len(self.symbols.symbols)
        parts: dict[str, dict[Exponents, int]] = {}
        for exponents, coefficient in difference.terms():
            held = [i for i, e in enumerate(exponents[first:]) if e]
            if len(held) > 1 or (held and exponents[first + held[0]] > 1):
                return None
            name = self.unknowns[held[0]] if held else ""
            parts.setdefault(name, {})[exponents[:first]] = coefficient
        found = {name: self.symbols.polynomial(terms) for name, terms in parts.items()}
        constant = found.pop("", self.symbols.zero)
        return Linear.of(found, constant)


_VALUED = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)
_LETTER_UNIT = {"V": "V", "P": "W", "R": "Ω"}


def level(point: str) -> str:
    """The name of the unknown that is the potential of a point."""
    return f"φ {point}"


def _unit(circuit: Circuit, name: str) -> str:
    """The unit of what a symbol or an element stands for."""
    element = circuit.elements.get(name)
    kind = element.kind if element else circuit.role(name)
    return {Kind.RESISTOR: "Ω", Kind.BATTERY: "V", Kind.CURRENT_SOURCE: "A"}.get(kind or Kind.SWITCH, "")
