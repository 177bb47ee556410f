"""The times that a problem or a working asks for, whether a time told is one of them, and which question of a
problem a claim answers."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from ...circuit.circuit import Circuit
from ...circuit.in_time import Moment, TimedKind, TimedQuestion, timed_questions
from ...errors import FaultyMaterial
from ...transients.stages import value_in_stages
from ...transients.transient import Transient
from .course_numbers import NumberSpan
from .timed_names import Sort, TimedQuantity, When

A_TIME = TimedQuestion(TimedKind.WHEN, (), Moment.NONE)
_KINDS = {
    Sort.CURRENT: TimedKind.CURRENT,
    Sort.ACROSS: TimedKind.ACROSS,
    Sort.DIFFERENCE: TimedKind.DIFFERENCE,
    Sort.CHARGE: TimedKind.CHARGE,
    Sort.ENERGY: TimedKind.ENERGY,
    Sort.POWER: TimedKind.POWER,
    Sort.TIME_CONSTANT: TimedKind.TIME_CONSTANT,
    Sort.HEAT: TimedKind.HEAT,
    Sort.CAPACITANCE: TimedKind.CAPACITANCE,
    Sort.INDUCTANCE: TimedKind.INDUCTANCE,
}
_MOMENTS = {
    When.BEFORE: Moment.BEFORE,
    When.AFTER: Moment.JUST_AFTER,
    When.END: Moment.LONG_AFTER,
    When.COURSE: Moment.COURSE,
    When.AT: Moment.AT,
    When.UNSAID: Moment.NONE,
}


def question_of(quantity: TimedQuantity, when: When, at: Fraction | None) -> TimedQuestion | None:
    """The question that a quantity at a moment answers; None for what no problem asks. `at`: in seconds."""
    kind = _KINDS.get(quantity.sort)
    if kind is None or quantity.slope:
        return None
    names = () if kind is TimedKind.TIME_CONSTANT else quantity.of
    return TimedQuestion(kind, names, _MOMENTS[when], at)


class TimesAsked:
    """`wanted`: the times that the problem asks for, in seconds; `reached`: what is to reach which value at
    them, in SI units; `met`: those that conditions and equations of the working come to."""

    def __init__(
        self, wanted: Sequence[float], reached: Sequence[tuple[TimedQuantity, Fraction]] = ()
    ) -> None:
        self.wanted, self.reached = wanted, reached
        self.met: list[float] = []

    @property
    def any(self) -> bool:
        """Whether any time is asked for."""
        return bool(self.wanted or self.met)

    def right(self, time: float, noted: float) -> bool | None:
        """Whether a time that an equation comes to is one asked for; None where none is."""
        if not self.wanted:
            return None
        return any(abs(time - one) <= (1e-6 + 3 * noted) * abs(one) for one in self.wanted)

    def meets(self, seconds: NumberSpan, slack: float) -> bool:
        """Whether a time told may be one of those asked for."""
        for one in (*self.wanted, *self.met):
            near = (1e-9 + slack) * abs(one)
            if seconds.low - near <= one <= seconds.high + near:
                return True
        return False


def reached_at(circuit: Circuit) -> list[tuple[TimedQuantity, Fraction]]:
    """What a problem asks when it reaches which value, in SI units."""
    sorts = {kind: sort for sort, kind in _KINDS.items()}
    return [
        (TimedQuantity(sorts[question.of.kind], question.of.names), question.at)
        for question in timed_questions(circuit)
        if question.kind is TimedKind.WHEN and question.of is not None and question.at is not None
    ]


def times_of(circuit: Circuit, stages: tuple[Transient, ...]) -> list[float]:
    """The times that a problem asks for, in seconds, as far as they have a value."""
    found: list[float] = []
    for question in timed_questions(circuit):
        if question.kind is TimedKind.WHEN:
            try:
                value = value_in_stages(stages, question)
            except FaultyMaterial:
                continue
            if value.number is not None:
                found.append(value.number)
    return found
