"""The ledger of named forms: what can be checked of them at exact points, without writing them out.

Every symbol gets a whole number drawn from its name (by a hash, so that a run can be repeated), and
everything is worked in fractions. Two formulas that differ agree at such a point with a chance below
their degree over 2^31 (J. T. Schwartz, J. ACM 27, 701, 1980; R. Zippel, EUROSAM 1979; from memory).
What would take the forms written out is told as not done.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ...algebra.ratios import NUMBERS, Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Element, Kind
from ...errors import FaultyMaterial
from ...expressions.said import counted
from ...laws.equations import loop_equation
from ...laws.laws import laws
from ...laws.loops import is_plain
from ...solve.by_elimination import currents_by_elimination
from ...solve.by_numbers import flow_in_numbers
from ...solve.closed_forms import predicted_terms
from ...solve.exact import Solution, solve_posed
from ...solve.named_forms import NamedForms
from .ledger import Ledger, LedgerEntry, listed, not_applicable
from .limits_at_points import limits_at_points, own_symbols

POINTS = 3
RANGE = 1 << 31
EXACT_STARS = 200  # terms up to which lines with stars are; a cube's 700 take minutes
EXACT = 20_000  # terms up to which lines of series and parallel alone are put together as formulas

AT_POINTS = f"at {POINTS} random points, in fractions"


@dataclass(frozen=True)
class CheckedPoint:
    """A circuit with a whole number for every symbol, and its currents there by the named forms."""

    forms: NamedForms
    values: Mapping[str, Fraction]

    @cached_property
    def circuit(self) -> Circuit:
        """The circuit in these numbers."""
        return replace(self.forms.circuit, numbers=self.values).in_numbers()

    def currents(self, **changed: Fraction) -> dict[str, Ratio]:
        """The currents by the named forms, with other values of some symbols."""
        values = {**self.values, **changed}
        return self.forms.currents(NUMBERS, {n: NUMBERS.number(v) for n, v in values.items()})

    @cached_property
    def found(self) -> Solution:
        """The currents that the named forms give here, as a solution of the circuit in numbers."""
        return Solution(self.circuit, self.currents(), NUMBERS.one)


def points_of(forms: NamedForms) -> tuple[CheckedPoint, ...]:
    """The points at which named forms are examined."""
    return tuple(
        CheckedPoint(forms, {name: Fraction(_drawn(f"{name} {n}")) for name in forms.circuit.symbols})
        for n in range(POINTS)
    )


def examine_named(forms: NamedForms) -> Ledger:
    """The checks of named forms at exact points, and which checks were not done."""
    points = points_of(forms)
    return Ledger(
        (
            _junctions(points),
            _loops(points),
            _power(points),
            _node_potentials(points),
            _written_out(forms),
            limits_at_points(forms, points[0].values, points[0].circuit),
            _superposition(points),
            _scaling(points),
            _trees(forms.circuit),
            *_not_done(),
        )
    )


def _junctions(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    method = f"the currents put into every junction equation, {AT_POINTS}"
    bad = [
        law.point
        for point in points
        for law in laws(point.circuit).junctions
        if law.linear.residue(point.found.currents)
    ]
    count = len(laws(points[0].circuit).junctions)
    result = f"Not satisfied at {listed(bad)}." if bad else f"{count} of {count} junction equations hold."
    return LedgerEntry("laws/junctions", "Junction rule", method, result, not bad)


def _loops(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    method = f"the currents put into a full set of loop equations, {AT_POINTS}"
    circuit = points[0].forms.circuit
    loops = [law.loop for law in laws(circuit).loops if is_plain(circuit, law.loop)]
    if not loops:
        return not_applicable(
            "laws/loops", "Loop rule", method, "Every loop passes an open branch or a current source."
        )
    bad = [
        law.place
        for point in points
        for law in (loop_equation(point.circuit, loop) for loop in loops)
        if law.linear.residue(point.found.currents)
    ]
    count = len(loops)
    result = f"Not satisfied round {listed(bad)}." if bad else f"{count} of {count} loop equations hold."
    return LedgerEntry("laws/loops", "Loop rule", method, result, not bad)


def _power(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    method = f"the powers taken by all elements added up, {AT_POINTS}"
    try:
        totals = [
            sum(
                (point.found.power_taken(p.element) for b in point.circuit.branches for p in b.passes),
                NUMBERS.zero,
            )
            for point in points
        ]
    except FaultyMaterial as trouble:
        why = " ".join(f.message for f in trouble.findings)
        return not_applicable("laws/power", "Power balance", method, why)
    passed = not any(totals)
    result = "They add up to nothing." if passed else "Something is left over."
    return LedgerEntry("laws/power", "Power balance", method, result, passed)


def _node_potentials(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    method = f"node potentials by one solution in whole numbers, {AT_POINTS}"
    differ: list[str] = []
    for point in points:
        wanted = flow_in_numbers(point.circuit).currents
        differ += [n for n, value in point.found.currents.items() if value.constant() != wanted[n]]
    count = len(points) * len(points[0].circuit.currents)
    result = f"They differ in {listed(differ)}." if differ else f"{count} of {count} currents are equal."
    return LedgerEntry("route/node-potentials", "Node potentials", method, result, not differ)


def _written_out(forms: NamedForms) -> LedgerEntry:
    """All lines put into one another, where they stay short: exact as formulas."""
    method = "the lines put into one another, against the closed forms; exact, as formulas"
    title, code = "As formulas", "form/written-out"
    stars = any(line.role == "conductance" for line in forms.lines)
    if stars and predicted_terms(forms.circuit) > EXACT_STARS:
        why = "Not done: put into one another the lines would be far longer than the closed forms."
        return LedgerEntry(code, title, method, why, None, left_out=True)
    if predicted_terms(forms.circuit) > EXACT:
        why = f"Not done: the closed forms have more than {EXACT} terms."
        return LedgerEntry(code, title, method, why, None, left_out=True)
    wanted = solve_posed(forms.circuit).currents
    found = forms.currents(forms.circuit.field)
    bad = [name for name in wanted if wanted[name] != found[name]]
    result = (
        f"Not equal: {listed(bad)}." if bad else f"{len(wanted)} of {len(wanted)} currents are identical."
    )
    return LedgerEntry(code, title, method, result, not bad)


def _superposition(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    code, title = "response/superposition", "Superposition"
    method = f"the currents of each source alone added up, {AT_POINTS}"
    circuit = points[0].forms.circuit
    sources = _sources(circuit)
    if len(sources) < 2:
        return not_applicable(code, title, method, "There is one source.")
    bad: set[str] = set()
    for point in points:
        alone = [
            point.currents(**{other: Fraction(0) for other in sources if other != name}) for name in sources
        ]
        for name, value in point.found.currents.items():
            if sum((part[name] for part in alone), NUMBERS.zero) != value:
                bad.add(name)
    result = (
        f"Not so for {listed(sorted(bad))}."
        if bad
        else f"The currents of {counted(len(sources), 'source')} add up."
    )
    return LedgerEntry(code, title, method, result, not bad)


def _scaling(points: tuple[CheckedPoint, ...]) -> LedgerEntry:
    """All emfs and resistances seven times as large leave every current as it is: volt over ohm."""
    code, title = "form/dimensions", "Dimensions"
    method = f"all emfs and all resistances seven times as large: no current changes, {AT_POINTS}"
    circuit = points[0].forms.circuit
    scaled = [n for n in circuit.symbols if circuit.role(n) in (Kind.BATTERY, Kind.RESISTOR)]
    held = {name for b in circuit.branches for p in b.passes for name in _pure(circuit, p.element)}
    if not held.issuperset(circuit.symbols):
        return not_applicable(code, title, method, "A value mixes quantities, or is a plain number.")
    bad = {
        name
        for point in points
        for name, value in point.currents(**{n: point.values[n] * 7 for n in scaled}).items()
        if value != point.found.currents[name]
    }
    result = f"Changed: {listed(sorted(bad))}." if bad else "No current changes."
    return LedgerEntry(code, title, method, result, not bad)


def _pure(circuit: Circuit, element: str) -> tuple[str, ...]:
    """The symbols of an element of whose first degree all its values are, so that multiplying these symbols
    multiplies the values alike."""
    e = circuit.elements[element]
    for value in (circuit.value(element), circuit.internal_resistance(element)):
        if value and (not value.is_polynomial or any(sum(powers) != 1 for powers, _ in value.terms())):
            return ()
    return tuple(dict.fromkeys((*circuit.value(e.name).held(), *circuit.internal_resistance(e.name).held())))


def _trees(circuit: Circuit) -> LedgerEntry:
    """The number of terms of the determinant found at the points, held against the determinant of the loops
    with 1 Ω for every resistance."""
    code, title = "form/spanning-trees", "Spanning trees"
    method = "terms counted from the points (Kirchhoff 1847), and by the loop determinant with 1 Ω each"
    names = {n for n in circuit.symbols if circuit.role(n) is Kind.RESISTOR}
    if len(names) != sum(map(_resistances, circuit.elements.values())) or names != {
        s for _, s in own_symbols(circuit)
    }:
        return not_applicable(code, title, method, "Not every resistance is a symbol of its own.")
    ones = replace(circuit, numbers=dict.fromkeys(circuit.symbols, Fraction(1))).in_numbers()
    found = currents_by_elimination(ones).determinant.constant()
    counted = predicted_terms(circuit)
    passed = found == counted
    result = f"{counted:,} both ways." if passed else f"{counted:,} against {found}."
    return LedgerEntry(code, title, method, result, passed)


def _resistances(element: Element) -> int:
    return (element.kind is Kind.RESISTOR) + (element.internal is not None)


def _not_done() -> tuple[LedgerEntry, ...]:
    why = "Not done: it would take the closed forms written out."
    entries = (
        ("form/unit-coefficients", "Coefficients", "every coefficient of the denominator is 1"),
        ("form/degrees", "Degrees", "the degree of every term"),
        ("response/reciprocity", "Reciprocity", "source and ammeter exchanged"),
    )
    return tuple(
        LedgerEntry(code, title, method, why, None, left_out=True) for code, title, method in entries
    )


def _sources(circuit: Circuit) -> list[str]:
    kinds = (Kind.BATTERY, Kind.CURRENT_SOURCE)
    return [name for name in circuit.symbols if circuit.role(name) in kinds]


def _drawn(text: str) -> int:
    return int.from_bytes(hashlib.sha256(text.encode()).digest()[:8], "big") % RANGE + 1
