"""Results that come from a wrong idea of the whole circuit, seen by their values.

No part of such a line is wrong by itself, so nothing in it can be mended: the right result is put in its
place. Only for a lone current in a circuit of several loops.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Pass
from ...errors import FaultyMaterial
from ...expressions.nodes import ZERO, Equation, Expr, Number, Sum, Symbol, add, negate, numbers_in, over
from ...expressions.tidy import tidy
from ...graph.lines import Loop
from ...laws.laws import laws
from ...laws.loops import loop_count_needed
from ...solve.exact import Solution, solve
from ..truth.rounding import is_decimal
from .edits import Change, WideEdit, body_of
from .idea_values import amount, emf_of, resistance_of, right_result, same_value
from .law_terms import MOST_LOOPS
from .line_view import LineView, NameSort
from .places import Sides
from .trial_values import FAR

MOST_SOURCES = 4
A_PLAIN_IDEA = -0.3  # how much likelier an idea is where a line is written just as it has it


def idea_edits(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The right result in place of one that a wrong idea gives, for each idea that gives it."""
    circuit = view.circuit
    chance = 0.4 if sides.trial.numbers else 0.0  # numbers agree by accident where symbols do not
    if not 2 <= loop_count_needed(circuit) <= MOST_LOOPS:
        return
    try:
        solved = circuit.remembered(solve)
    except FaultyMaterial:
        return
    for lone, other, turned in (
        (view.equation.left, view.equation.right, False),
        (view.equation.right, view.equation.left, True),
    ):
        meaning = view.names.get(lone.name, {lone.name: 1}) if isinstance(lone, Symbol) else {}
        if (
            not isinstance(lone, Symbol)
            or view.sort(lone.name) is not NameSort.CURRENT
            or view.current_in(other)
        ):
            continue
        branch, sign = next(iter(meaning.items()))
        if len(meaning) > 1 or branch not in circuit.currents:
            continue
        met: set[str] = set()
        number_alone = isinstance(other, Number) or isinstance(body_of(other), Number)
        for entry, wrong in _ideas(circuit, circuit.branch(branch)):
            if entry not in met and same_value(sides, other, wrong):
                met.add(entry)
                right = right_result(view, sides, solved.currents[branch] * sign, other, "A")
                pair = (right, lone) if turned else (lone, right)
                plain = other == wrong and not view.levels  # potentials may be what such a line lacks
                if not plain and not number_alone and _told_later(view, sides):
                    continue
                as_taught = A_PLAIN_IDEA if plain else 0.0
                yield WideEdit(entry, Equation(*pair), Change.OTHER, (other,), chance + as_taught)


def _told_later(view: LineView, sides: Sides) -> bool:
    """Whether there is another trial to come that takes rounded numbers as wide as they may be: an idea that
    only the value of a formula tells is weighed there against all that may be wrong in the formula."""
    rounded = any(is_decimal(number) for number in numbers_in(view.equation))
    return rounded and bool(sides.trial.numbers) and sides.trial.slack < FAR


def equal_edits(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The true current in the place of that of another branch between the same two junctions, where the two
    are set equal."""
    circuit = view.circuit
    one, other = view.equation.left, view.equation.right
    if not isinstance(one, Symbol) or not isinstance(other, Symbol):
        return
    own = [view.names.get(side.name, {side.name: 1}) for side in (one, other)]
    if any(len(made) != 1 or not set(made) <= set(circuit.currents) for made in own):
        return
    branches = [circuit.branch(next(iter(made))) for made in own]
    if branches[0].name == branches[1].name or {*branches[0].points} & {*branches[1].points} != {
        branches[0].start,
        branches[0].end,
    }:
        return
    try:
        true = circuit.remembered(solve).currents[branches[0].name] * next(iter(own[0].values()))
    except FaultyMaterial:
        return
    right = amount(true.value(circuit.numbers), "A") if circuit.has_all_numbers else tidy(true)
    yield WideEdit("equal-split", Equation(one, right), Change.OTHER, (other,))


def gap_edits(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """The voltage across an open switch in the place of 0."""
    equation, circuit = view.equation, view.circuit
    if not any(circuit.elements[p.element].is_gap for b in circuit.branches for p in b.passes):
        return
    for lone, other, turned in (
        (equation.left, equation.right, False),
        (equation.right, equation.left, True),
    ):
        if not isinstance(lone, Symbol) or not isinstance(other, Number) or other.value:
            continue
        try:
            voltage = _across_gap(view, lone.name, circuit.remembered(solve))
        except FaultyMaterial:
            continue
        if voltage is not None:
            right = right_result(view, sides, voltage, other, "V")
            if circuit.has_all_numbers:  # with nothing but 0 in the line, it was tried in symbols
                right = amount(voltage.value(circuit.numbers), "V")
            pair = (right, lone) if turned else (lone, right)
            yield WideEdit("open-no-voltage", Equation(*pair), Change.OTHER, (other, right))


def _across_gap(view: LineView, name: str, solved: Solution) -> Ratio | None:
    """The voltage that a name stands for, where it is that of an open switch or of two points of a branch
    between which a gap lies; None where it is not."""
    elements = view.circuit.elements
    inside = [part.strip() for part in name[2:-1].split(",")] if name.startswith("V(") else []
    if len(inside) == 1:
        return solved.across(inside[0]) if inside[0] in elements and elements[inside[0]].is_gap else None
    ends = {sign: n.removeprefix("φ ") for n, sign in view.names.get(name, {}).items() if n[0] == "φ"}
    found = [ends[1], ends[-1]] if ends.keys() == {1, -1} else inside
    for b in view.circuit.branches if len(found) == 2 else ():
        if set(found) <= set(b.points):
            met = [b.start, *b.along, b.end]
            first, last = sorted(met.index(point) for point in found)
            passed = (item.element for item in met[first:last] if isinstance(item, Pass))
            if any(elements[e].is_gap for e in passed):
                return solved.difference(found[0], found[1])
    return None


def _ideas(circuit: Circuit, branch: Branch) -> Iterator[tuple[str, Expr]]:
    """What each wrong idea takes for the current of a branch, but for its sign."""
    sources = {b.name: emf_of(circuit, b) for b in circuit.branches if emf_of(circuit, b) != ZERO}
    own = resistance_of(circuit, branch)
    loops = [law.loop for law in laws(circuit).every_loop]
    held = [[n for n, _ in loop if n in sources] for loop in loops]
    alone = [(loop, names[0]) for loop, names in zip(loops, held, strict=True) if len(names) == 1]
    if _is_across(circuit, branch, list(sources)):
        yield "bridge-balanced", ZERO
    if branch.name in sources and own != ZERO:
        for each in dict.fromkeys((own, *(own.terms if isinstance(own, Sum) else ()))):
            yield "branch-alone", over(sources[branch.name], each)
    if branch.name not in sources and len(sources) == 1 and own != ZERO:
        for emf in sources.values():
            yield "whole-emf-each", over(emf, own)
    for loop, name in alone:
        if branch.name in dict(loop) and len(sources) > 1:
            entry = "own-mesh-only" if name == branch.name else "stronger-wins"
            yield entry, over(sources[name], _round(circuit, loop))
    if branch.name not in sources and len(sources) > 1 and own != ZERO:
        for emf in sources.values():
            yield "stronger-wins", over(emf, own)
        pushes = [_push(circuit.branch(name), emf, branch) for name, emf in sources.items()]
        yield "load-sees-sum", over(add(*pushes), own)
    if 1 < len(sources) <= MOST_SOURCES:
        everything = add(*(resistance_of(circuit, b) for b in circuit.branches))
        rounds = [_round(circuit, loop) for loop in loops if branch.name in dict(loop)]
        for signs in product((1, -1), repeat=len(sources) - 1):
            total = add(
                *(e if s > 0 else negate(e) for s, e in zip((1, *signs), sources.values(), strict=True))
            )
            for resistance in dict.fromkeys((everything, *rounds)):
                if resistance != ZERO:
                    yield "net-emf", over(total, resistance)


def _round(circuit: Circuit, loop: Loop) -> Expr:
    """All the resistance round a loop."""
    return add(*(resistance_of(circuit, circuit.branch(name)) for name, _ in loop))


def _push(source: Branch, emf: Expr, load: Branch) -> Expr:
    """An emf as it drives the load along its arrow, whichever way the arrow of its own branch runs."""
    return negate(emf) if source.start == load.start or source.end == load.end else emf


def _is_across(circuit: Circuit, branch: Branch, sources: list[str]) -> bool:
    """Whether a branch lies across a bridge: it shares no end with the one branch that holds a source."""
    if len(sources) != 1 or len(circuit.junctions) != 4:
        return False
    fed = circuit.branch(sources[0])
    return not {branch.start, branch.end} & {fed.start, fed.end}
