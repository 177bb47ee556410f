"""Slips in a circuit that was changed to be worked in: a part left out of a sum of parts, a share of the
wrong branch, a source's branch cut where a wire was meant, emfs added for an open voltage.

Where no place of a line is wrong by itself, the idea is told by the value that it gives, and the right result
is put in the place of that. It is named only where the two differ.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import combinations, product

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...expressions.nodes import (
    ONE,
    ZERO,
    Equation,
    Expr,
    Negative,
    Number,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    over,
    times,
)  # fmt: skip
from ...expressions.tidy import tidy
from ...expressions.values import symbols_of
from ...solve.exact import Solution, solve
from ..truth.changed import Home, each_alone, home_of, in_setting
from ..truth.rounding import lone
from ..working import CircuitChange
from .edits import Change, Edit, WideEdit, body_of
from .idea_values import emf_of, resistance_of, right_result, same_value
from .line_view import LineView, NameSort
from .missing_edits import TermsInStyle
from .places import Sides, signed_terms

MOST_SOURCES = 4
A_PART = -0.6  # how much likelier a part is left out of a sum of parts than another term
BY_ITS_VALUE = 0.4  # how much less likely an idea is that only its value tells than a change of one place


def part_left_out(view: LineView) -> Iterator[Edit]:
    """A sum of the parts of a current or voltage, one for each source, with the part put in that it lacks."""
    sides = (view.equation.left, view.equation.right)
    for at, (whole, given) in enumerate((sides, sides[::-1])):
        meant = _plainly(view, whole)
        if meant is None or meant[1]:
            continue
        parts = {
            name: signs
            for name in view.names
            if (own := _plainly(view, Symbol(name))) and own[1] and (signs := _as_times(own[0], meant[0]))
        }
        held = {body.name for _, body in signed_terms(given) if isinstance(body, Symbol)}
        if not held or not held <= parts.keys():
            continue
        for name, sign in parts.items():
            if name not in held:
                wanted: Expr = Symbol(name) if sign > 0 else Negative(Symbol(name))
                yield Edit(
                    "term-missing", (1 - at,), add(given, wanted), Change.MISSING, wanted, wanted, A_PART
                )


def _plainly(view: LineView, expr: Expr) -> tuple[Mapping[str, int], CircuitChange] | None:
    """What a name stands for in its own circuit, and that circuit; None for what is no quantity."""
    if not isinstance(expr, Symbol):
        return None
    meaning = view.names.get(expr.name)
    if meaning is None:
        return None
    homes = [home_of(view.circuit, name) for name in meaning]
    settings = {home.setting for home in homes}
    if len(settings) != 1:
        return None
    return {home.name: sign for home, sign in zip(homes, meaning.values(), strict=True)}, settings.pop()


def _as_times(one: Mapping[str, int], other: Mapping[str, int]) -> int:
    """+1 where two sums are the same, −1 where they are opposite, else 0."""
    if one == other:
        return 1
    return -1 if one == {name: -sign for name, sign in other.items()} else 0


def drop_left_out(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A voltage of a changed circuit with the drop put in that a current of that circuit makes."""
    sides = (view.equation.left, view.equation.right)
    for at, (whole, given) in enumerate((sides, sides[::-1])):
        meant = _plainly(view, whole)
        if meant is None or not meant[1] or any(n in view.circuit.currents for n in meant[0]):
            continue
        for name in view.currents:
            own = _plainly(view, Symbol(name))
            if own is None or own[1] != meant[1] or name in symbols_of(given):
                continue
            for ohms in parts.resistances:
                drop = times(ohms, Symbol(name)) if isinstance(ohms, Number) else times(Symbol(name), ohms)
                for wanted in (drop, negate(drop)):
                    new = add(given, wanted)
                    yield Edit("drop-missing", (1 - at,), new, Change.MISSING, wanted, wanted)


def source_left_out(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A sum of emfs over resistances with the one put in that it lacks, E2/R2 in E1/R1 + E3/R3."""
    pairs = [
        over(parts.value(emf.value, "V"), parts.value(ohms[0].value, "Ω"))
        for b in view.circuit.branches
        for met in ([view.circuit.elements[p.element] for p in b.passes],)
        for emf in met
        for ohms in ([e for e in met if e.kind is Kind.RESISTOR],)
        if emf.kind is Kind.BATTERY and len(ohms) == 1
    ]
    for place in view.places:
        terms = place.expr.terms if isinstance(place.expr, Sum) else (place.expr,)
        bodies = [body_of(term) for term in terms]
        if isinstance(place.parent, Sum | Negative) or not all(body in pairs for body in bodies):
            continue
        for pair in pairs:
            if pair not in bodies:
                for wanted in (pair, negate(pair)):
                    new = add(place.expr, wanted)
                    yield Edit("source-missing", place.path, new, Change.MISSING, wanted, wanted, A_PART)


def conductance_left_out(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A sum of one over each resistance, with the one put in that it lacks: 1/10 in 1/5 + 1/4."""
    own = [parts.value(e.value, "Ω") for e in view.circuit.elements.values() if e.kind is Kind.RESISTOR]
    for place in view.places:
        terms = place.expr.terms if isinstance(place.expr, Sum) else ()
        below = [t.below for t in terms if isinstance(t, Quotient) and t.above == ONE]
        if len(below) < 2 or len(below) < len(terms) or not all(each in own for each in below):
            continue
        for ohms in own:
            if below.count(ohms) < own.count(ohms):
                wanted = over(ONE, ohms)
                new = add(place.expr, wanted)
                yield Edit("denominator-term", place.path, new, Change.MISSING, wanted, wanted, A_PART)


def part_ideas(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The right result in place of one that a wrong idea of the changed circuit gives."""
    equation = view.equation
    for name, given, turned in (
        (equation.left, equation.right, False),
        (equation.right, equation.left, True),
    ):
        if not isinstance(name, Symbol) or isinstance(given, Symbol):
            continue
        meant = view.meaning.get(name.name, name)  # P2, where that is the power of R2
        if isinstance(meant, Symbol) and meant.name.startswith("P("):
            yield from _powers_added(view, sides, name, meant.name[2:-1], given, turned)
        meaning = view.names.get(name.name, {})
        homes = [home_of(view.circuit, n) for n in meaning]
        if not homes or any(not home.setting for home in homes):
            continue
        found = in_setting(view.circuit, homes[0].setting)
        if found is None:
            continue
        right = _right(found, homes, list(meaning.values()))
        sort = view.sort(name.name)
        ideas = _of_currents if sort is NameSort.CURRENT else _of_open_voltages
        met: set[str] = set()
        for entry, wrong in ideas(view.circuit, found, homes[0]):
            if lone(given) is not None and entry != "superposed-open":
                continue  # a number alone may be anything
            if entry in met or not same_value(sides, given, wrong) or same_value(sides, tidy(right), wrong):
                continue
            met.add(entry)
            unit = "A" if sort is NameSort.CURRENT else "V"
            shown = right_result(view, sides, right, given, unit)
            pair = (shown, name) if turned else (name, shown)
            yield WideEdit(entry, Equation(*pair), Change.OTHER, (given,), BY_ITS_VALUE)


def _powers_added(
    view: LineView, sides: Sides, name: Symbol, resistor: str, given: Expr, turned: bool
) -> Iterator[WideEdit]:
    """The power of a resistor in place of the sum of those that each source alone makes in it."""
    circuit = view.circuit
    element = circuit.elements.get(resistor)
    alone = [in_setting(circuit, setting) for setting in each_alone(circuit)]
    if element is None or element.kind is not Kind.RESISTOR or len(alone) < 2:
        return
    branch, ohms = circuit.branch_of(resistor).name, circuit.value(resistor)
    total = circuit.field.zero
    for found in alone:
        if found is None:
            return
        part = found.currents[branch].at({}, circuit.field)
        total = total + part * part * ohms
    if not same_value(sides, given, tidy(total)):
        return
    whole = circuit.remembered(solve).currents[branch]
    right = right_result(view, sides, whole * whole * ohms, given, "W")
    if not same_value(sides, right, tidy(total)):
        pair = (right, name) if turned else (name, right)
        yield WideEdit("power-superposed", Equation(*pair), Change.OTHER, (given,), BY_ITS_VALUE)


def _right(found: Solution, homes: list[Home], signs: list[int]) -> Ratio:
    """The true value of a sum of unknowns of one changed circuit, in the symbols."""
    total = found.circuit.field.zero
    for home, sign in zip(homes, signs, strict=True):
        total = total + home.value(found) * sign
    return total


def _of_currents(circuit: Circuit, found: Solution, home: Home) -> Iterator[tuple[str, Expr]]:
    """What wrong ideas take for a current where some sources are at rest."""
    branch = found.circuit.branch(home.name)
    emf, own = emf_of(found.circuit, branch), resistance_of(found.circuit, branch)
    if home.setting.at_zero and not home.setting.out:
        cut = in_setting(circuit, CircuitChange(out=home.setting.at_zero))
        if cut is not None and home.name in cut.currents:
            yield "superposed-open", tidy(cut.currents[home.name])
    if emf != ZERO and own != ZERO:
        yield "branch-alone", over(emf, own)
    for other in found.circuit.branches:
        beside = {other.start, other.end} == {branch.start, branch.end} and other is not branch
        if beside and emf == emf_of(found.circuit, other) == ZERO:
            yield "divider-inverted", tidy(found.currents[other.name])


def _of_open_voltages(circuit: Circuit, found: Solution, home: Home) -> Iterator[tuple[str, Expr]]:
    """What wrong ideas take for a voltage where a resistor is out: emfs added up, or one of them."""
    met = (found.circuit.elements[p.element] for b in found.circuit.branches for p in b.passes)
    emfs = [e.value for e in met if e.kind is Kind.BATTERY]
    if not home.setting.out or not 1 < len(emfs) <= MOST_SOURCES:
        return
    for size in range(len(emfs), 1, -1):
        for chosen in combinations(emfs, size):
            for signs in product((1, -1), repeat=size - 1):
                yield (
                    "load-sees-sum",
                    add(*(e if s > 0 else negate(e) for s, e in zip((1, *signs), chosen, strict=True))),
                )
    for emf in emfs:
        yield "stronger-wins", emf
