"""What each slip leads to in a circuit in time: the answers to all that is asked, of somebody who makes that
one slip and goes on rightly from it.

A slip in a course or at one of its ends gives another stage; every answer, and what later stages begin with,
follows from that. A slip in an amount gives another answer to one question. One slip at a time.
"""

from __future__ import annotations

import random
from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from fractions import Fraction
from functools import cached_property
from math import isclose

from ..algebra.ratios import Ratio
from ..circuit.changed import batteries_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import Moment, TimedKind, TimedQuestion, timed_questions
from ..errors import FaultyMaterial
from ..findings import Finding
from ..solve.exact import Solution
from ..transients.amounts import scaled, summed
from ..transients.course import Course
from ..transients.stages import between, by_move, carried_on, renumbered, stages, value_in_stages
from ..transients.timed_numbers import number_of
from ..transients.timed_values import TimedValue, course_of, timed_value
from ..transients.transient import Transient, begun
from .models import refuse_without_numbers
from .models_of_time import redrawn_wrongly
from .told_in_time import Courses, as_told, between_ends, otherwise

TimedAnswer = tuple[float, ...] | str
"""What a question is answered by: a number, the parts of a course one after another, or words."""
CLOSE = 1e-9  # of themselves: answers that are nearer than this are the same
_LATE = 3  # time constants after which a value is taken for the one long after


@dataclass(frozen=True)
class ToldStage(Transient):
    """A stage as somebody has it: the drops across elements follow from the currents told, and potential
    differences from these drops, along the way with the fewest elements."""

    def difference(self, a: str, b: str) -> Course:
        """The course of the potential at a minus that at b."""
        drops = [(self.across(element), sign) for element, sign in _way(self.circuit, a, b)]
        zero = self.circuit.field.zero
        return summed(*drops) if drops else Course(zero, (), zero, zero)


def _way(circuit: Circuit, a: str, b: str) -> list[tuple[str, int]]:
    """The elements met from one point to another, with +1 where their branch is followed along its arrow."""
    pieces = [piece for branch in circuit.branches for piece in branch.stretches]
    known: dict[str, list[tuple[str, int]]] = {a: []}
    waiting = deque([a])
    while waiting:
        here = waiting.popleft()
        for start, end, met in pieces:
            for this, that, sign in ((start, end, 1), (end, start, -1)):
                if this != here:
                    continue
                way = known[here] + [(p.element, sign) for p in met[::sign]]
                if that not in known or len(way) < len(known[that]):
                    known[that] = way
                    waiting.append(that)
    return known[b]


@dataclass(frozen=True)
class SlipInTime:
    """One slip. `entry`: its key in the catalogue; `place`: what was done, in words; `stages`: the stages as
    somebody then has them; `instead`: questions, by their places, that are answered by something else than
    what follows from the stages; `unshifted`: the stage, by its place, whose time is counted from the first
    move, or −1."""

    entry: str
    place: str
    stages: tuple[Transient, ...]
    instead: Mapping[int, Ratio] = field(default_factory=dict)
    unshifted: int = -1

    @cached_property
    def known(self) -> dict[int, TimedValue]:
        """Answers, by the place of the question, that stand in symbols."""
        return {}


@dataclass(frozen=True, slots=True)
class SlipClassesInTime:
    """Slips by what they lead to whatever the numbers: those of a class lead to the same, the `unseen` change
    nothing that is asked."""

    classes: tuple[tuple[SlipInTime, ...], ...]
    unseen: tuple[SlipInTime, ...]


class SlipsInTime:
    """The slips that can be made in a circuit in time, and what each leads to. Raises FaultyMaterial where
    its courses have no form in symbols. `asked`: what is asked (by default what the
    problem asks)."""

    def __init__(self, circuit: Circuit, asked: Sequence[TimedQuestion] | None = None) -> None:
        self.circuit = circuit
        self.stages = stages(circuit)
        if not all(stage.is_whole for stage in self.stages):
            raise FaultyMaterial(_NO_FORM)
        parts = (by_move(one, len(self.stages)) for one in asked or timed_questions(circuit))
        self.questions = tuple(dict.fromkeys(part for some in parts for part in some))
        self.right = SlipInTime("", "", self.stages)
        self.slips: tuple[SlipInTime, ...] = tuple(self._all())

    # -- answers -------------------------------------------------------------------------------------

    def answers(self, slip: SlipInTime, numbers: Mapping[str, Fraction]) -> tuple[TimedAnswer, ...]:
        """What somebody answers who makes this slip, with these numbers of the circuit's symbols."""
        told = renumbered(slip.stages, numbers)
        return tuple(self._answer(slip, told, at) for at in range(len(self.questions)))

    def form(self, slip: SlipInTime, at: int) -> Ratio | Course | None:
        """What is answered to one question in symbols; None where that is a number alone, or words."""
        if at in slip.instead:
            return slip.instead[at]
        try:
            value = self._value(slip, slip.stages, self.questions[at])
        except (FaultyMaterial, OverflowError, ZeroDivisionError):
            return None
        return value.exact if value.exact is not None else value.course

    def _answer(self, slip: SlipInTime, told: tuple[Transient, ...], at: int) -> TimedAnswer:
        question = self.questions[at]
        home = told[question.move - 1] if question.move else told[-1]
        if slip.entry == "exponent-sign" and question.kind is TimedKind.HEAT:
            return "grows without limit"
        if at in slip.instead:
            return (_number(slip.instead[at], home),)
        if (known := slip.known.get(at)) is not None:
            return _shown(known, home)
        try:
            value = self._value(slip, told, question)
        except (FaultyMaterial, OverflowError, ZeroDivisionError) as trouble:
            return type(trouble).__name__
        if value.exact is not None or value.course is not None:
            slip.known[at] = value
        return _shown(value, home)

    def _value(self, slip: SlipInTime, told: tuple[Transient, ...], question: TimedQuestion) -> TimedValue:
        if slip.unshifted >= 0 and question.moment is Moment.AT and question.at is not None:
            stage = told[slip.unshifted]
            if question.at >= begun(stage):
                return timed_value(stage, question)
        return value_in_stages(told, question)

    # -- slips ---------------------------------------------------------------------------------------

    def _all(self) -> Iterator[SlipInTime]:
        for place, stage in enumerate(self.stages):
            for entry, said, currents, across in (*otherwise(stage), *_more(stage)):
                told = _told(stage, currents, across)
                if entry == "exponent-sign":  # the time constant itself is as it was
                    vars(told)["rates"] = stage.rates
                yield SlipInTime(entry, self._where(said, place), self._followed(place, told))
            if stage.begins:
                said = self._where("the time is counted from the first move", place)
                yield SlipInTime("second-stage", said, self.stages, unshifted=place)
            if len(stage.rates) > 1:
                yield from self._ends_otherwise(place, stage)
        for at, question in enumerate(self.questions):
            for entry, said, value in self._amounts(question):
                yield SlipInTime(entry, f"{said} ({question.quantity})", self.stages, {at: value})

    def _ends_otherwise(self, place: int, stage: Transient) -> Iterator[SlipInTime]:
        """With several rates, wrong starts and ends as they are answered: no course is made of them."""
        for start in (True, False):
            moment = Moment.JUST_AFTER if start else Moment.LONG_AFTER
            asked = {at: q for at, q in enumerate(self.questions) if q.moment is moment}
            for entry, said, solved in redrawn_wrongly(stage, start=start):
                instead: dict[int, Ratio] = {}
                for at, question in asked.items():
                    if (question.move or 1) == place + 1 and question.kind in _AT_ENDS:
                        with suppress(FaultyMaterial, KeyError):
                            instead[at] = _in_solution(solved, question)
                if instead:
                    yield SlipInTime(entry, self._where(said, place), self.stages, instead)

    def _where(self, said: str, place: int) -> str:
        return f"{said}, after move {place + 1}" if len(self.stages) > 1 else said

    def _followed(self, place: int, told: Transient) -> tuple[Transient, ...]:
        """All stages, where one is told so and the later ones begin with what it leaves."""
        found = [*self.stages[:place], told]
        for true in self.stages[place + 1 :]:
            found.append(carried_on(found[-1], between(self.circuit, len(found)), true.begins))
        return tuple(found)

    def _amounts(self, question: TimedQuestion) -> Iterator[tuple[str, str, Ratio]]:
        """Other answers to one question by itself: the key, what was done, the value."""
        stage = self.stages[question.move - 1] if question.move else self.stages[-1]
        circuit = stage.circuit
        if question.kind in (TimedKind.CAPACITANCE, TimedKind.INDUCTANCE):
            yield from _combined_otherwise(circuit)
            return
        if question.moment is Moment.AT and question.at is not None and question.kind in _COURSES:
            end = course_of(stage, question).long_after
            if end is not None and self._is_late(stage, question.at):
                yield "settled-at-five", "the value long after is taken to be there already", end
            return
        try:
            right = value_in_stages(self.stages, question).exact
        except FaultyMaterial:
            right = None
        if right is None:
            return
        if question.kind in (TimedKind.ENERGY, TimedKind.HEAT):
            yield "half-forgotten", "the half is left out", right * 2
        if question.kind in (TimedKind.ACROSS, TimedKind.DIFFERENCE) and question.moment is Moment.JUST_AFTER:
            coils = [s for s in circuit.storages if circuit.elements[s].kind is Kind.COIL]
            if any(stage.held[s] for s in coils):
                for battery in batteries_in(circuit):
                    emf = circuit.value(battery)
                    for value in (emf, -emf):
                        said = f"no more than the emf {battery} is thought to be there"
                        yield "spark-limit", said, value

    def _is_late(self, stage: Transient, time: Fraction) -> bool:
        """Whether a time lies so late that all is taken to be over, by the circuit's own numbers."""
        if not stage.circuit.has_all_numbers:
            return False
        rates = [rate.value(stage.circuit.numbers) for rate in stage.rates if not _swings(stage, rate.under)]
        return bool(rates) and (time - begun(stage)) * min(rates) >= _LATE


_COURSES = (TimedKind.CURRENT, TimedKind.DIFFERENCE, TimedKind.ACROSS, TimedKind.CHARGE)
_AT_ENDS = (TimedKind.CURRENT, TimedKind.DIFFERENCE, TimedKind.ACROSS)
_NO_FORM = Finding(
    "slips/no-form-in-time",
    "Slips are followed where every course has a form in symbols; here more than two rates depend on one "
    "another.",
    "Take a circuit with fewer storages, or storages that do not feel one another.",
)


def _swings(stage: Transient, under: Ratio) -> bool:
    return bool(under) and under.value(stage.circuit.numbers) < 0


def _in_solution(solution: Solution, question: TimedQuestion) -> Ratio:
    """A quantity in a redrawn circuit."""
    match question.kind:
        case TimedKind.CURRENT:
            return solution.currents[question.names[0]]
        case TimedKind.DIFFERENCE:
            return solution.difference(*question.names)
        case _:
            return solution.across(question.names[0])


def _told(stage: Transient, currents: Courses, across: Courses) -> ToldStage:
    """The stage with these courses of currents and storages."""
    circuit = stage.circuit
    drops: dict[str, Course] = {}
    for name, element in circuit.elements.items():
        if name in across:
            drops[name] = across[name]
        elif element.kind is Kind.RESISTOR:
            drops[name] = scaled(currents[circuit.branch_of(name).name], circuit.value(name))
        else:
            drops[name] = stage.across(name)
    told = as_told(ToldStage(circuit, stage.held, stage.begins, stage.carried), stage, currents, drops)
    vars(told)["rates"] = told.rates or stage.rates  # who sees nothing change still has a time constant
    return told


def _more(stage: Transient) -> Iterator[tuple[str, str, Courses, Courses]]:
    """Further courses that slips lead to: the whole emf on a capacitor, charges of joined plates added, and
    nothing between two capacitors."""
    circuit = stage.circuit
    across = {name: stage.across(name) for name in circuit.storages}
    capacitors = [n for n in circuit.storages if circuit.elements[n].kind is Kind.CAPACITOR]
    if len(stage.rates) == 1:
        for name in capacitors:
            for battery in batteries_in(circuit):
                run = between_ends(stage, across[name].just_after, circuit.value(battery))
                said = f"{name} is taken to come to the whole of {battery}"
                yield "charge-of-emf", said, stage.currents, {**across, name: run}
    if len(capacitors) == 2 and len(circuit.storages) == 2 and len(stage.rates) == 1:
        one, other = (circuit.value(name) for name in capacitors)
        first, second = (stage.held[name] for name in capacitors)
        for sign in (1, -1):
            joined = (one * first + other * second * sign) / (one + other)
            told = {n: between_ends(stage, across[n].just_after, joined) for n in capacitors}
            said = f"the charges of the joined plates are {'added' if sign > 0 else 'subtracted'}"
            yield "plates-added", said, stage.currents, {**across, **told}
    zero = circuit.field.zero
    for branch in circuit.branches:
        kinds = [circuit.elements[p.element].kind for p in branch.passes]
        held = [k for k, kind in enumerate(kinds) if kind is Kind.CAPACITOR]
        if len(held) > 1 and Kind.RESISTOR in kinds[held[0] : held[-1]]:
            said = f"what stands between two capacitors is thought to carry nothing ({branch.name})"
            nothing = Course(zero, (), zero, zero)
            yield "between-capacitors", said, {**stage.currents, branch.name: nothing}, across


def _combined_otherwise(circuit: Circuit) -> Iterator[tuple[str, str, Ratio]]:
    """Storages combined the wrong way."""
    values = [circuit.value(name) for name in circuit.storages]
    total = sum(values[1:], values[0])
    ones = sum((1 / value for value in values[1:]), 1 / values[0])
    yield "capacitors-combined", "all are added", total
    yield "capacitors-combined", "all are combined by their reciprocals", 1 / ones


def _number(value: Ratio, stage: Transient) -> float:
    return float(value.value(stage.circuit.numbers))


def _shown(value: TimedValue, stage: Transient) -> TimedAnswer:
    """An answer in numbers."""
    if value.course is not None:
        run = stage.numbered(value.course)
        parts: list[Fraction | int] = [run.end, run.slope]
        for s in sorted(run.swings, key=lambda s: (s.rate, s.turning, s.power)):
            parts += [s.power, s.rate, s.turning, s.cosine, s.sine]
        return tuple(map(float, parts))
    number = number_of(value, stage.circuit)
    return value.words if number is None else (float(number),)


def same_answers(one: Sequence[TimedAnswer], other: Sequence[TimedAnswer]) -> bool:
    """Whether two people answer everything alike, as near as numbers can tell."""
    return all(map(same_answer, one, other))


def same_answer(one: TimedAnswer, other: TimedAnswer) -> bool:
    """Whether two answers to a question are the same."""
    if isinstance(one, str) or isinstance(other, str):
        return one == other
    pairs = zip(one, other, strict=False)
    return len(one) == len(other) and all(isclose(a, b, rel_tol=CLOSE) for a, b in pairs)


def classes_in_time(table: SlipsInTime, numbers: Mapping[str, Fraction]) -> SlipClassesInTime:
    """The slips sorted by what they lead to whatever the numbers, which is seen by two further sets of
    numbers, each within half and twice of these; the times of moves stay, so that what is asked falls into
    the same stage. Raises FaultyMaterial where a number is missing."""
    refuse_without_numbers(table.circuit)
    chance = random.Random(1847)
    around = [dict(numbers), dict(numbers)]
    for point in around:
        point |= {n: numbers[n] * Fraction(chance.randint(50, 200), 100) for n in table.circuit.symbols}
    right = [table.answers(table.right, point) for point in around]
    found: list[tuple[list[tuple[TimedAnswer, ...]], list[SlipInTime]]] = []
    unseen: list[SlipInTime] = []
    for slip in table.slips:
        told = [table.answers(slip, point) for point in around]
        if all(map(same_answers, told, right)):
            unseen.append(slip)
            continue
        members = next((members for known, members in found if all(map(same_answers, told, known))), None)
        if members is None:
            found.append((told, [slip]))
        else:
            members.append(slip)
    return SlipClassesInTime(tuple(tuple(members) for _, members in found), tuple(unseen))
