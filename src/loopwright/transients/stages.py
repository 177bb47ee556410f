"""A circuit whose switches move more than once: stage after stage, each from what the one before leaves.

What a storage brings along at the time t1 is a value of its own, V(C1) at t1, under a symbol: the next stage
is exact in it, and its number carries some forty figures. Where a storage does not change in the stage
before, its value is carried over as it stands. Times count from the first move.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import inf

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import Moment, TimedKind, TimedQuestion, times_of_moves
from ..expressions.nodes import ZERO, Expr, Symbol
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of
from .timed_values import TimedValue, timed_value
from .transient import Transient, begun, transient

_LETTERS = {Kind.CAPACITOR: "V", Kind.COIL: "I"}
_IN_SYMBOLS = (
    "image",
    "currents",
    "before",
    "start",
    "end",
    "rates",
    "_across",
    "_poles",
    "seen",
    "is_whole",
)
_NEEDS = "needs a number for every symbol"


def stages(circuit: Circuit) -> tuple[Transient, ...]:
    """The stages of a circuit, one for each time at which switches move. Raises FaultyMaterial where nothing
    decides what a storage holds at the start."""
    times = times_of_moves(circuit)
    if len(times) == 1:
        return (transient(circuit),)
    found = [transient(between(circuit, 0))]
    for k in range(1, len(times)):
        found.append(carried_on(found[-1], between(circuit, k), times[k]))
    return tuple(found)


def between(circuit: Circuit, stage: int) -> Circuit:
    """The circuit from one time of moves to the next, as one whose switches move once, at 0; `stage`: 0 for
    the first."""
    times, elements = times_of_moves(circuit), dict(circuit.elements)
    for move in reversed(circuit.switching):
        if times.index(move.at) > stage:
            elements[move.switch] = replace(elements[move.switch], closed=move.before)
    made = tuple(replace(move, at="") for move in circuit.switching if move.at == times[stage])
    return replace(circuit, elements=elements, switching=made)


def carried_on(last: Transient, circuit: Circuit, time: str) -> Transient:
    """The stage that begins at a time with what the last one leaves."""
    taken = {*circuit.symbols, *circuit.currents, *circuit.elements, *last.circuit.symbols}
    start: dict[str, Expr] = {}
    numbers: dict[str, Fraction] = dict(last.circuit.numbers)
    carried: dict[str, str] = {}
    for name in circuit.storages:
        course = last.stored(name)
        if course.stays:
            start[name] = tidy(course.end) if course.end else ZERO
            continue
        own = f"{_LETTERS[circuit.elements[name].kind]}{name}"
        while own in taken:
            own += "′"
        taken.add(own)
        start[name], carried[own] = Symbol(own), name
        if last.circuit.has_all_numbers and time in circuit.numbers:
            span = circuit.numbers[time] - begun(last)
            numbers[own] = last.run(lambda stage, name=name: stage.stored(name)).at(span)  # type: ignore[misc]
    whole = replace(circuit, start=start, numbers=numbers)
    held = {name: ratio_of(value, whole.field) for name, value in start.items()}
    return Transient(whole, held, time, carried)


def renumbered(stages: tuple[Transient, ...], numbers: Mapping[str, Fraction]) -> tuple[Transient, ...]:
    """The stages for other numbers of the circuit's symbols, all that was worked in symbols taken over. Each
    symbol of what a storage brings along gets the number that the stage before leaves it."""
    found: list[Transient] = []
    for stage in stages:
        known = {**numbers}
        for own, name in stage.carried.items():
            span = known[stage.begins] - begun(found[-1])
            known[own] = found[-1].run(lambda s, name=name: s.stored(name)).at(span)  # type: ignore[misc]
        for own in found[-1].carried if found else ():
            known.setdefault(own, found[-1].circuit.numbers[own])
        fresh = replace(stage, circuit=stage.circuit.with_numbers(known, {}))
        vars(fresh).update((name, vars(stage)[name]) for name in _IN_SYMBOLS if name in vars(stage))
        found.append(fresh)
    return tuple(found)


def by_move(question: TimedQuestion, count: int) -> tuple[TimedQuestion, ...]:
    """A question of a circuit whose switches move so many times, with its move: a function of the time and a
    time constant are asked of every stage, a value before or just after of the first move, one long after of
    the last."""
    if count == 1 or question.move:
        return (question,)
    if question.moment is Moment.COURSE or question.kind is TimedKind.TIME_CONSTANT:
        return tuple(replace(question, move=k) for k in range(1, count + 1))
    if question.moment in (Moment.BEFORE, Moment.JUST_AFTER):
        return (replace(question, move=1),)
    return (replace(question, move=count),) if question.moment is Moment.LONG_AFTER else (question,)


def value_in_stages(stages: tuple[Transient, ...], question: TimedQuestion) -> TimedValue:
    """The answer to one question of a circuit in one or more stages. Raises FaultyMaterial where it has
    none."""
    if len(stages) == 1:
        return timed_value(stages[0], question)
    if question.move:
        return timed_value(stages[question.move - 1], question)
    if question.kind in (TimedKind.CAPACITANCE, TimedKind.INDUCTANCE):
        return timed_value(stages[-1], question)
    if not all(stage.circuit.has_all_numbers for stage in stages):
        return TimedValue(question, words=_NEEDS)
    if question.kind is TimedKind.HEAT:
        return _heat(stages, question)
    if question.kind is TimedKind.WHEN:
        return _when(stages, question)
    if question.at is None or question.at < 0:
        return timed_value(stages[0], question)
    stage = [s for s in stages if begun(s) <= question.at][-1]
    return replace(timed_value(stage, replace(question, at=question.at - begun(stage))), question=question)


def spans(stages: tuple[Transient, ...]) -> tuple[float, ...]:
    """How many seconds each stage lasts; the last one for ever."""
    starts = [float(begun(stage)) for stage in stages]
    return (*(late - early for early, late in pairwise(starts)), inf)


def _heat(stages: tuple[Transient, ...], question: TimedQuestion) -> TimedValue:
    """All the heat from the first move on, stage by stage."""
    circuit, name = stages[0].circuit, question.names[0]
    branch = circuit.branch_of(name).name
    last = timed_value(stages[-1], question)
    if last.words:
        return last
    if any(stage.currents[branch].burst for stage in stages):
        return TimedValue(question, words="has no value: a charge passes in no time")
    ohms = float(circuit.value(name).value(circuit.numbers))
    runs = [stage.run(lambda s: s.currents[branch]) for stage in stages]
    areas = [run.squared_area(span) for run, span in zip(runs, spans(stages), strict=True)]
    return TimedValue(question, number=ohms * sum(areas))


def _when(stages: tuple[Transient, ...], question: TimedQuestion) -> TimedValue:
    """The first time, from the first move on, at which a quantity has a value."""
    found = TimedValue(question)
    for stage, span in zip(stages, spans(stages), strict=True):
        found = timed_value(stage, question)
        if found.number is not None and found.number <= span:
            return replace(found, number=found.number + float(begun(stage)))
    return replace(found, number=None, words=found.words or "never")
