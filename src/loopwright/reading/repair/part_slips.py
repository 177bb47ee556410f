"""Slips in a circuit that was changed to be worked in: a part left out of a sum of parts, a share of the
wrong branch, a source's branch cut where a wire was meant, emfs added for an open voltage.

Where no place of a line is wrong by itself, the idea is told by the value that it gives, and the right result
is put in the place of that. It is named only where the two differ.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, product

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind
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
    numbers_in,
    over,
    put_in,
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
from .line_view import LineView, NameSort, results_above
from .missing_edits import TermsInStyle
from .places import Sides, signed_terms

_SumKey = Fraction | frozenset[Expr]
_Key = tuple[_SumKey, _SumKey | None]

MOST_SOURCES = 4
A_PART = -0.75  # how much likelier a part is left out of a sum of parts than another term
A_CONDUCTANCE = -0.5  # and that a branch is left out of a sum of conductances
AS_A_WIRE = -0.3  # how much likelier one resistance is left out of a combined one than a drop of a loop
BY_ITS_VALUE = 0.4  # how much less likely an idea is that only its value tells than a change of one place


def part_left_out(view: LineView) -> Iterator[Edit]:
    """A sum of the parts of a current or voltage, one for each source, with the part put in that it lacks."""
    for at, whole, given in _sums_of_parts(view):
        parts = parts_of_whole(view, whole)
        held = {body.name for _, body in signed_terms(given) if isinstance(body, Symbol)}
        if held and held <= parts.keys():
            for name in (n for n in parts if n not in held):
                wanted: Expr = Symbol(name) if parts[name] > 0 else Negative(Symbol(name))
                new = add(given, wanted)
                yield Edit("term-missing", (1 - at,), new, Change.MISSING, wanted, wanted, A_PART)


def number_of_a_part_left_out(view: LineView) -> Iterator[WideEdit]:
    """The same where the parts are put in as numbers; whether it is right with the one that is missing is for
    the judgement of rounded numbers to say."""
    ends = results_above(view)
    for at, whole, given in _sums_of_parts(view):
        if symbols_of(given):
            continue
        parts = {name: sign for name, sign in parts_of_whole(view, whole).items() if name in ends}
        sizes = {name: own.value for name in parts if (own := lone(ends[name])) is not None}
        held = [_of_size(body, sizes) for _, body in signed_terms(given)]
        there = {name for names in held for name in names}
        for name in (n for n in sizes if all(held) and n not in there):
            wanted = ends[name] if parts[name] > 0 else negate(ends[name])
            summed = add(given, wanted)
            left, right = (whole, summed) if at == 0 else (summed, whole)
            mended = Equation(left, right, view.equation.relation)
            yield WideEdit("term-missing", mended, Change.MISSING, (wanted,), A_PART)


def _sums_of_parts(view: LineView) -> Iterator[tuple[int, Expr, Expr]]:
    """Each side that may be for a sum of parts, with its number, and the other side."""
    sides = (view.equation.left, view.equation.right)
    for at, (whole, given) in enumerate((sides, sides[::-1])):
        if parts_of_whole(view, whole):
            yield at, whole, given


def parts_of_whole(view: LineView, whole: Expr) -> Mapping[str, int]:
    """The names of the parts that sources make of a current or voltage alone, in the order of the working,
    with the signs in which they add up to it."""
    meant = _plainly(view, whole)
    if meant is None or meant[1]:
        return {}
    return {
        name: sign
        for name in view.names
        if (own := _plainly(view, Symbol(name))) and own[1] and (sign := _as_times(own[0], meant[0]))
    }


def _of_size(body: Expr, sizes: Mapping[str, Fraction]) -> set[str]:
    """The names that have a number."""
    return {name for name, size in sizes.items() if isinstance(body, Number) and size == body.value}


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
    """A sum of what the sources of branches side by side drive into a wire, with the one put in that it
    lacks: E2/(R2 + R4) or J in E1/R1 + E3/R3; that may be one alone."""
    driven = [term for b in view.circuit.branches if (term := _driven(view, parts, b)) is not None]
    keys = [_key(term) for term in driven]
    for place in view.places:
        terms = place.expr.terms if isinstance(place.expr, Sum) else (place.expr,)
        held = [_key(body_of(term)) for term in terms]
        over_ohms = any(isinstance(body_of(term), Quotient) for term in terms)
        if isinstance(place.parent, Sum | Negative) or not over_ohms or not set(held) <= set(keys):
            continue
        for term, key in zip(driven, keys, strict=True):
            for wanted in (term, negate(term)) if held.count(key) < keys.count(key) else ():
                new = add(place.expr, wanted)
                yield Edit("source-missing", place.path, new, Change.MISSING, wanted, wanted, A_PART)


def _driven(view: LineView, parts: TermsInStyle, branch: Branch) -> Expr | None:
    """What the sources of a branch drive through a wire between its ends, in the style of the line; None for
    a branch without any."""
    emfs, ohms = emf_of(view.circuit, branch), resistance_of(view.circuit, branch)
    elements = (view.circuit.elements[p.element] for p in branch.passes)
    fixed = next((e.value for e in elements if e.kind is Kind.CURRENT_SOURCE), None)
    if fixed is not None:
        return parts.value(fixed, "A")
    if emfs == ZERO or ohms == ZERO:
        return None
    return body_of(over(parts.each(emfs, "V"), parts.each(ohms, "Ω")))


def _key(body: Expr) -> _Key:
    """What a term is known by, however its sums are ordered or added up: 10/43 and 10/(18 + 25)."""
    if isinstance(body, Quotient):
        return _sum_known_by(body.above), _sum_known_by(body.below)
    return _sum_known_by(body), None


def _sum_known_by(total: Expr) -> Fraction | frozenset[Expr]:
    terms = total.terms if isinstance(total, Sum) else (total,)
    if all(isinstance(body_of(term), Number) for term in terms):
        values = [(sign, body) for term in terms for sign, body in signed_terms(term)]
        return abs(sum((sign * body.value for sign, body in values if isinstance(body, Number)), Fraction(0)))
    return frozenset(map(body_of, terms))


def conductance_left_out(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A sum of one over each resistance, or over all that each branch holds, with the one put in that it
    lacks: 1/10 in 1/5 + 1/4, 1/(R4 + R5) in 1/R1 alone below a line, 0.1 in 0.05 + 0.2."""
    rows = [resistance_of(view.circuit, b) for b in view.circuit.branches]
    single = [term for row in rows for term in (row.terms if isinstance(row, Sum) else (row,))]
    own = [parts.each(each, "Ω") for each in (*single, *(row for row in rows if isinstance(row, Sum)))]
    own = [each for each in own if each != ZERO]
    keys = [_sum_known_by(each) for each in own]
    for place in view.places:
        below_line = isinstance(place.parent, Quotient) and place.path[-1] == 1
        terms = place.expr.terms if isinstance(place.expr, Sum) else (place.expr,) if below_line else ()
        held = [key for term in terms for key in _over_one(term, keys)]
        if not held or len(held) < len(terms):
            continue
        for each, key in zip(own, keys, strict=True):
            if held.count(key) < keys.count(key):
                wanted = over(ONE, each)
                new = add(place.expr, wanted)
                yield Edit("branch-missing", place.path, new, Change.MISSING, wanted, wanted, A_CONDUCTANCE)


def _over_one(term: Expr, keys: Collection[_SumKey]) -> list[_SumKey]:
    """What a term is one over, 1/R or 0.1; none for what is no conductance."""
    if isinstance(term, Quotient) and term.above == ONE:
        key = _sum_known_by(term.below)
        return [key] if key in keys or isinstance(key, Fraction) else []
    if isinstance(term, Number) and term.value and 1 / term.value in keys:
        return [1 / term.value]
    return []


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
        if view.sorts(name) == {NameSort.RESISTANCE} and meant != name:
            yield from _resistance_left_out(view, sides, name, meant, given, turned)
        meaning = view.names.get(name.name, {})
        homes = [home_of(view.circuit, n) for n in meaning]
        if homes and lone(given) is None:
            yield from _resistor_left_out(view, sides, (name, given), homes, turned)
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


def _resistance_left_out(
    view: LineView, sides: Sides, name: Symbol, meant: Expr, given: Expr, turned: bool
) -> Iterator[WideEdit]:
    """A combined resistance that would be right if one of its resistors were a plain wire."""
    for left_out in symbols_of(meant):
        short = put_in(meant, {left_out: ZERO})
        if left_out not in symbols_of(given) and same_value(sides, given, short):
            pair = (meant, name) if turned else (name, meant)
            yield WideEdit(
                "term-missing", Equation(*pair), Change.OTHER, (given, Symbol(left_out)), AS_A_WIRE
            )


def _resistor_left_out(
    view: LineView, sides: Sides, result: tuple[Symbol, Expr], homes: Sequence[Home], turned: bool
) -> Iterator[WideEdit]:
    """A result that would be right if a resistor were a plain wire, of which nothing is written in it: what
    lies before a bridge, say, forgotten where the bridge is worked."""
    (name, given), circuit, setting = result, view.circuit, homes[0].setting
    signs = list(view.names[name.name].values())
    found = in_setting(circuit, setting)
    if found is None or any(home.setting != setting for home in homes):
        return
    unit = "A" if view.sort(name.name) is NameSort.CURRENT else "V"
    shown = right_result(view, sides, _right(found, homes, signs), given, unit)
    held = [number.value for number in numbers_in(given)]
    for resistor in found.circuit.elements.values():
        if resistor.kind is not Kind.RESISTOR or resistor.name not in circuit.elements:
            continue
        ohms = circuit.value(resistor.name).at({}, circuit.field)
        size = ohms.value(sides.trial.numbers) if sides.trial.numbers else None
        if size is not None and (size in held or size / 1000 in held):
            continue
        wired = in_setting(circuit, replace(setting, wired=(*setting.wired, resistor.name)))
        wrong = None if wired is None else tidy(_right(wired, homes, signs))
        if wrong is not None and same_value(sides, given, wrong) and not same_value(sides, shown, wrong):
            pair = (shown, name) if turned else (name, shown)
            parts = (given, Symbol(resistor.name))
            yield WideEdit("drop-missing", Equation(*pair), Change.OTHER, parts, BY_ITS_VALUE)


def _right(found: Solution, homes: Sequence[Home], signs: Sequence[int]) -> Ratio:
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
