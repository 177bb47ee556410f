"""How everything asked besides the currents is found: one numbered line each, from the laws to the result.

A voltage follows by adding the drops and rises on a way from point to point, a power from the currents, a
resistance seen by series and parallel or from a test source, an expression from the lines above. Nothing
here is believed: `verify_asked` judges every line before it is shown.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from heapq import heappop, heappush

from ..algebra.ratios import Ratio
from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind, Pass
from ..circuit.targets import SOURCES, Asked, Target
from ..expressions.nodes import ZERO, Equation, Expr, Power, Symbol, add, negate, over, times
from ..expressions.said import Said, in_a_row
from ..expressions.tidy import tidy
from ..expressions.values import symbols_of
from ..laws.equations import Crossed, Crossing, crossings
from ..solve.asked import solved_without, value_of
from ..solve.exact import Solution, solve_posed, with_test_source
from ..solve.seen import made_one
from .rules import put_in
from .steps import AskedStep, Derivation

_Way = list[tuple[str, Pass, int]]


def asked_steps(
    circuit: Circuit, solution: Solution, derivation: Derivation, found: Mapping[Target, Expr], first: int
) -> tuple[AskedStep, ...]:
    """A step for each target of `found` (what is asked, with its closed form) that is no current, those
    that stand in an expression before it; numbered from `first`. Raises FaultyMaterial for a question
    that has no answer."""
    lines = derivation.lines
    steps: list[AskedStep] = []
    wanted = [q for target in found for q in (*target.parts, target) if q.kind is not Asked.CURRENT]
    for target in dict.fromkeys(wanted):
        result = found.get(target) or tidy(value_of(solution, target))
        step = _step(circuit, target, result)
        named = symbols_of(step.law) if step.currents is None else ()
        uses = tuple(sorted({lines[name] for name in named if name in lines}))
        step = replace(step, number=first + len(steps), uses=uses)
        steps.append(step)
        lines[target.as_text()] = step.number
    return tuple(steps)


def _step(circuit: Circuit, target: Target, result: Expr) -> AskedStep:
    match target.kind:
        case Asked.POTENTIAL:
            return _potential(circuit, target, result)
        case Asked.RESISTANCE:
            return _resistance(circuit, target, result)
        case Asked.POWER:
            law, why = _power(circuit, target)
            return AskedStep(0, target, law, law, result, (), why)
        case _:
            return AskedStep(0, target, target.name, target.name, result, (), ())


def _potential(circuit: Circuit, target: Target, result: Expr) -> AskedStep:
    a, b = target.names
    if not target.without:
        met, way = way_between(circuit, a, b)
        law = add(*(negate(step.term) for step in met))
        return AskedStep(0, target, law, law, result, (), way)
    solution = solved_without(circuit, target.without)
    met, way = way_between(solution.circuit, a, b)
    law = add(*(negate(step.term) for step in met))
    shown = _with_currents(law, solution.currents)
    out: Said = (*in_a_row([(Symbol(name),) for name in target.without]), " taken out: ")
    told = (*out, way[0][:1].lower() + way[0][1:], *way[1:]) if isinstance(way[0], str) else (*out, *way)
    return AskedStep(0, target, law, shown, result, (), told, solution.currents)


def _resistance(circuit: Circuit, target: Target, result: Expr) -> AskedStep:
    driven, start, end = with_test_source(circuit, target.names[0], target.names[1], target.without)
    out: Said = ("Every source set to zero" if _has_source(circuit) else "Without a source",)
    if target.without:
        out = (*out, ", ", *in_a_row([(Symbol(name),) for name in target.without]), " taken out")
    if start == end:
        return AskedStep(
            0, target, ZERO, ZERO, result, (), (*out, ": only wires lie between the points."), {}
        )
    currents = solve_posed(driven).currents
    whole = made_one(driven, start, end)
    if whole is not None:
        why: Said = (*out, ": series and parallel parts made one.")
        return AskedStep(0, target, whole, whole, result, (), why, currents)
    by_source = _by_its_source(circuit, target, result)
    if by_source is not None:
        return by_source
    met, _ = way_between(driven, start, end)
    law = add(*(negate(step.term) for step in met))
    shown = _with_currents(law, currents)
    a, b = target.names
    through = in_a_row([(Symbol(step.element),) for step in met])
    why = (
        *out,
        f", one ampere sent in at {a} and taken out at {b}: the drops across ",
        *through,
        " in volts.",
    )
    return AskedStep(0, target, law, shown, result, (), why, currents)


def _by_its_source(circuit: Circuit, target: Target, result: Expr) -> AskedStep | None:
    """What a lone ideal battery sees that lies straight across the two points: its emf over its current,
    which is known; None where there is no such battery."""
    if len(target.without) != 1 or sources_in(circuit) != target.without:
        return None
    source = circuit.elements[target.without[0]]
    branch, met = circuit.branch_of(source.name), circuit.pass_of(source.name)
    across = set(target.names) == {branch.start, branch.end} and branch.along == (met,)
    if not across or source.kind is not Kind.BATTERY or source.internal is not None:
        return None
    law = over(source.value, Symbol(branch.name))
    a, b = target.names
    between = f" through all that lies between {a} and {b}: the resistance is the emf over this current."
    why: Said = (Symbol(source.name), " drives ", Symbol(branch.name), between)
    law = law if met.sign > 0 else negate(law)
    return AskedStep(0, target, law, law, result, (), why)


def _has_source(circuit: Circuit) -> bool:
    return any(circuit.has_source(b) for b in circuit.branches)


def _with_currents(law: Expr, currents: Mapping[str, Ratio]) -> Expr:
    amounts = {name: tidy(currents[name]) for name in symbols_of(law) if name in currents}
    return put_in(Equation(law, ZERO), amounts).left


# -- powers ----------------------------------------------------------------------------------------


def _power(circuit: Circuit, target: Target) -> tuple[Expr, Said]:
    name = target.names[0]
    if name in circuit.elements:
        return _of_element(circuit, name, at_terminals=len(target.names) > 1)
    met = [p.element for b in circuit.branches for p in b.passes]
    if name == SOURCES:
        given = [_of_element(circuit, n)[0] for n in met if circuit.elements[n].has_sign]
        return add(*given), ("What every source delivers, added.",)
    return add(*(_heat(circuit, n) for n in met)), ("The heat in every resistance, added.",)


def _of_element(circuit: Circuit, name: str, *, at_terminals: bool = False) -> tuple[Expr, Said]:
    element, current = circuit.elements[name], Symbol(circuit.branch_of(name).name)
    sign = circuit.pass_of(name).sign
    if element.kind is Kind.RESISTOR:
        return _heat(circuit, name), ("Heat: the resistance times its current squared.",)
    if element.kind is Kind.CURRENT_SOURCE:
        outside = _across(circuit, name)
        law = times(element.value, outside if sign > 0 else negate(outside))
        return law, ("The current of the source times the rise of the potential across it.",)
    converted = times(element.value, current)
    converted = converted if sign > 0 else negate(converted)
    if at_terminals:
        lost = _heat(circuit, name)
        return add(converted, negate(lost)), ("What the emf delivers, less the heat inside.",)
    against = "" if sign > 0 else ", which is against the arrow"
    return converted, (f"The emf times the current out of its + terminal{against}.",)


def _heat(circuit: Circuit, name: str) -> Expr:
    element, current = circuit.elements[name], Symbol(circuit.branch_of(name).name)
    value = element.value if element.kind is Kind.RESISTOR else element.internal
    return ZERO if value is None else times(Power(current, 2), value)


def _across(circuit: Circuit, name: str) -> Expr:
    """The rise across a current source along the arrow of its branch: what drops on the rest of a loop."""
    b = circuit.branch_of(name)
    met, _ = way_between(circuit, b.end, b.start)
    rest = crossings(circuit, [(b.name, p, 1) for p in b.passes if p.element != name])
    return add(*(negate(step.term) for step in (*met, *rest)))


# -- ways from point to point ----------------------------------------------------------------------


def way_between(circuit: Circuit, a: str, b: str) -> tuple[tuple[Crossing, ...], Said]:
    """The rises and drops on the shortest way from a to b, and the way in words; the way passes nothing
    that leaves its voltage open."""
    way, along = _shortest(circuit, a, b)
    met = crossings(circuit, way)
    told: list[Said] = []
    for step in met:
        inside = "the internal resistance of " if step.crossed is Crossed.INTERNAL else ""
        told.append((f"a {'rise' if step.rise else 'drop'} in {inside}", Symbol(step.element)))
    branches = in_a_row([(*(("against ",) if sense < 0 else ("along ",)), Symbol(n)) for n, sense in along])
    steps: Said = in_a_row(told) if told else ("wires alone",)
    return met, (f"From {a} ", *branches, f" to {b}: ", *steps, ".")


def _shortest(circuit: Circuit, a: str, b: str) -> tuple[_Way, list[tuple[str, int]]]:
    ways: dict[str, list[tuple[str, str, int, tuple[Pass, ...]]]] = {}
    for name, start, end, passes in _pieces(circuit):
        ways.setdefault(start, []).append((end, name, 1, passes))
        ways.setdefault(end, []).append((start, name, -1, passes[::-1]))
    waiting: list[tuple[int, int, str, _Way, list[tuple[str, int]]]] = [(0, 0, a, [], [])]
    seen: set[str] = set()
    count = 0
    while waiting:
        cost, _, point, way, along = heappop(waiting)
        if point == b:
            return way, along
        if point in seen:
            continue
        seen.add(point)
        for to, name, sense, passes in ways.get(point, ()):
            count += 1
            steps = [(name, p, sense) for p in passes]
            on = along if along and along[-1] == (name, sense) else [*along, (name, sense)]
            heappush(waiting, (cost + len(crossings(circuit, steps)), count, to, [*way, *steps], on))
    raise AssertionError(f"no way leads from {a} to {b}")  # `value_of` has told that in its own words


def _pieces(circuit: Circuit) -> Iterable[tuple[str, str, str, tuple[Pass, ...]]]:
    """Every stretch of a branch between two named points that does not leave its voltage open."""
    for branch in circuit.branches:
        for start, end, passes in branch.stretches:
            if not any(circuit.elements[p.element].fixes_current for p in passes):
                yield branch.name, start, end, passes
