"""The value of whatever is asked of a circuit with storages, exactly where it can be told exactly.

Signs of power as on every sheet: a resistor's counts as positive when taken in as heat, a source's when
delivered. Units: SI.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from math import inf, log
from typing import TypeVar

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import Moment, TimedKind, TimedQuestion
from ..errors import BrokenPromise, FaultyMaterial
from ..expressions.nodes import Expr, Number, Symbol, add, applied, negate, over, times
from ..expressions.tidy import tidy
from ..findings import Finding
from ..quantities import rounded
from .amounts import scaled, squared_area
from .course import Course
from .image import image
from .number_course import NumberCourse
from .transient import Transient

_LEFT = Fraction(1, 10**12)  # of the largest part of a course: less was never measured
_FADED = "practically: less than 10⁻¹² of its greatest value is left"
ASIDE = "never: it stays on one side"
_Amount = TypeVar("_Amount", Ratio, float)
_NO_FORM = "has no form in symbols: more than two rates depend on one another"
_AWAY = "never: it grows the other way"
_CLOSE = 1e-9  # of the whole change: as near as floating point brings the time at which a value is reached
_MOST_STEPS = 100_000  # in search of the time at which a value is reached


@dataclass(frozen=True, slots=True)
class TimedValue:
    """What is found. `exact`: a value in the circuit's symbols; `course`: one in the symbols and the time;
    `number`: one in numbers alone, rounded as floating point is. `words`: in its place or beside it. `form`:
    how a number comes about, in the circuit's symbols and τ."""

    question: TimedQuestion
    exact: Ratio | None = None
    course: Course | None = None
    number: float | None = None
    words: str = ""
    form: Expr | None = None


def timed_value(stage: Transient, question: TimedQuestion) -> TimedValue:
    """The answer to one question. Raises FaultyMaterial where it has none."""
    match question.kind:
        case TimedKind.TIME_CONSTANT:
            return _time_constant(stage, question)
        case TimedKind.HEAT:
            return _heat(stage, question)
        case TimedKind.WHEN:
            return _when(stage, question)
        case TimedKind.CAPACITANCE | TimedKind.INDUCTANCE:
            return TimedValue(question, exact=_equivalent(stage.circuit, question))
    if question.moment is Moment.BEFORE:
        return TimedValue(question, exact=_before(stage, question))
    if question.kind in (TimedKind.POWER, TimedKind.CHARGE, TimedKind.ENERGY):
        return _made_of(stage, question)
    return _at_moment(stage, question)


def course_of(stage: Transient, question: TimedQuestion) -> Course:
    """The course of a current, a voltage or a charge."""
    match question.kind:
        case TimedKind.CURRENT:
            return stage.currents[question.names[0]]
        case TimedKind.DIFFERENCE:
            return stage.difference(*question.names)
        case TimedKind.CHARGE:
            return scaled(stage.across(question.names[0]), stage.circuit.value(question.names[0]))
        case _:
            return stage.across(question.names[0])


def _at_moment(stage: Transient, question: TimedQuestion) -> TimedValue:
    course = course_of(stage, question)
    match question.moment:
        case Moment.COURSE:
            return TimedValue(question, course=course, words=_NO_FORM if course.first is not None else "")
        case Moment.JUST_AFTER:
            return TimedValue(question, exact=course.just_after, words=burst_words(course, question))
        case Moment.LONG_AFTER:
            if course.long_after is None:
                return TimedValue(question, words="grows without limit")
            return TimedValue(question, exact=course.long_after)
        case _:
            return _at_time(stage, question)


def _at_time(stage: Transient, question: TimedQuestion) -> TimedValue:
    """A value at a time; where next to nothing of a course that ends at nothing is left, that is said."""
    found = _number_at(stage, question, lambda s: course_of(s, question))
    if found is None:
        return TimedValue(question)
    run = stage.run(lambda s: course_of(s, question))
    largest = max((abs(part) for swing in run.swings for part in (swing.cosine, swing.sine)), default=0)
    if found and not run.slope and abs(found) < _LEFT * max(largest, abs(run.end)):
        return TimedValue(question, number=0.0, words=_FADED)
    return TimedValue(question, number=found)


def burst_words(course: Course, question: TimedQuestion) -> str:
    """What happens in no time at t = 0, where something does."""
    if not course.burst:
        return ""
    if question.kind is TimedKind.CURRENT:
        return "a charge passes in no time at t = 0; the value is the one behind it"
    return "at t = 0 itself it has no value; the value is the one behind it"


def _number_at(
    stage: Transient, question: TimedQuestion, pick: Callable[[Transient], Course]
) -> float | None:
    if question.at is None or not stage.circuit.has_all_numbers:
        return None
    if question.at < 0:
        raise FaultyMaterial(
            Finding(
                "time/no-move",
                f'"{question.written}" asks for a time before the switch moves.',
                "Ask for it before.",
            )
        )
    return float(stage.run(pick).at(question.at))


# -- quantities made of others ---------------------------------------------------------------------


def _made_of(stage: Transient, question: TimedQuestion) -> TimedValue:
    """Power, charge or energy at a moment, from voltage and current there."""
    name, circuit = question.names[0], stage.circuit
    voltage, current = stage.across(name), stage.currents[circuit.branch_of(name).name]
    if question.kind is TimedKind.CHARGE and question.moment is Moment.COURSE:
        return _at_moment(stage, question)
    if question.moment is Moment.AT:
        branch = circuit.branch_of(name).name
        v = _number_at(stage, question, lambda s: s.across(name))
        i = _number_at(stage, question, lambda s: s.currents[branch])
        if v is None or i is None:
            return TimedValue(question)
        value = float(circuit.value(name).value(circuit.numbers))
        return TimedValue(question, number=_combined(circuit, question, v, i, value))
    if question.moment is Moment.COURSE:
        fault = f"{question.quantity}(t) is asked; powers and energies are told at a moment."
        raise FaultyMaterial(
            Finding("file/unreadable-target", fault, "Ask it just after, long after or at 3 ms.")
        )
    ends = [
        c.just_after if question.moment is Moment.JUST_AFTER else c.long_after for c in (voltage, current)
    ]
    if ends[0] is None or ends[1] is None:
        return TimedValue(question, words="grows without limit")
    v_end, i_end = ends[0], ends[1]
    return TimedValue(question, exact=_combined(circuit, question, v_end, i_end, circuit.value(name)))


def _combined(
    circuit: Circuit, question: TimedQuestion, voltage: _Amount, current: _Amount, value: _Amount
) -> _Amount:
    element = circuit.elements[question.names[0]]
    if question.kind is TimedKind.CHARGE:
        return value * voltage
    if question.kind is TimedKind.ENERGY:
        held = voltage if element.kind is Kind.CAPACITOR else current
        return value * held * held / 2
    return -(voltage * current) if element.has_sign else voltage * current


def _before(stage: Transient, question: TimedQuestion) -> Ratio:
    """A value just before the move: what the storages hold, with the switches as they were."""
    circuit = stage.circuit
    solution = stage.before
    if solution is None:
        fault = (
            f'"{question.written or question.quantity}" is asked, but the circuit before does not decide it.'
        )
        raise FaultyMaterial(
            Finding("time/start-open", fault, "Ask for it just after.", about=question.names)
        )
    name = question.names[0]
    match question.kind:
        case TimedKind.CURRENT:
            return solution.currents[name]
        case TimedKind.DIFFERENCE:
            return solution.difference(*question.names)
        case TimedKind.ACROSS:
            return solution.across(name)
    current = solution.currents[circuit.branch_of(name).name]
    needs_voltage = current or question.kind is TimedKind.CHARGE or question.kind is TimedKind.ENERGY
    voltage = solution.across(name) if needs_voltage else circuit.field.zero
    return _combined(circuit, question, voltage, current, circuit.value(name))


# -- times and areas -------------------------------------------------------------------------------


def _time_constant(stage: Transient, question: TimedQuestion) -> TimedValue:
    rates = stage.rates
    if not stage.is_whole:
        return TimedValue(question, words=_NO_FORM)
    if len(rates) != 1:
        words = "nothing changes in time" if not rates else f"there are {len(rates)} time constants"
        return TimedValue(question, words=words)
    return TimedValue(question, exact=stage.circuit.field.one / rates[0].plain)


def _heat(stage: Transient, question: TimedQuestion) -> TimedValue:
    """All the heat from the move on: the area under R i², each product of exponentials by itself."""
    circuit, name = stage.circuit, question.names[0]
    branch = circuit.branch_of(name).name
    course = stage.currents[branch]
    if course.long_after is None or course.long_after:
        return TimedValue(question, words="grows without limit, for a current stays")
    if course.burst:
        return TimedValue(question, words="has no value: a charge passes in no time")
    if stage.is_whole:
        try:
            return TimedValue(question, exact=circuit.value(name) * squared_area(course))
        except ArithmeticError:
            pass  # roots of different numbers: in numbers alone
    if not circuit.has_all_numbers:
        return TimedValue(question, words=_NO_FORM)
    heat = circuit.value(name).value(circuit.numbers) * stage.run(lambda s: s.currents[branch]).squared_area()
    return TimedValue(question, number=float(heat))


def _when(stage: Transient, question: TimedQuestion) -> TimedValue:
    """When a quantity reaches a value: t = tau ln((start - end)/(value - end)); by halving for two rates."""
    circuit = stage.circuit
    if question.of is None or question.at is None or not circuit.has_all_numbers:
        return TimedValue(question, words="needs a number for every symbol")
    of, course, wanted = question.of, course_of(stage, question.of), question.at
    run = stage.run(lambda s: course_of(s, of))
    begin = run.at(Fraction(0))
    if len(course.decays) == 1 and course.decays[0].is_plain and not course.slope and course.first is None:
        ratio = float((begin - run.end) / (wanted - run.end)) if wanted != run.end else 0.0
        if ratio < 1:
            return TimedValue(question, words=_never(begin, run.end, wanted))
        number, unit = log(ratio) / float(run.swings[0].rate), "A" if of.kind is TimedKind.CURRENT else "V"
        if abs(run.near(number) - float(wanted)) > _CLOSE * abs(float(begin - run.end)):
            raise BrokenPromise(f"{question.of.quantity} does not come to its value at the time found")
        return TimedValue(
            question, number=number, form=_logarithm(stage, course, wanted, unit, rises=begin < run.end)
        )
    return _by_halving(question, run, wanted)


def _logarithm(stage: Transient, course: Course, wanted: Fraction, unit: str, *, rises: bool) -> Expr | None:
    """τ ln((end - start)/(end - value)), both signs turned for what falls; None where τ would not say which
    time constant is meant."""
    if len(stage.rates) != 1 or stage.begins:
        return None
    start, end, one = course.just_after, course.end, 1 if rises else -1
    gap = (end - start) * one
    below = end.denominator * (gap * end.denominator).denominator  # one line for the fraction, not two
    size = times(Number(abs(wanted), rounded(wanted, unit).symbol), tidy(below))
    minus = (wanted < 0) != rises
    parts = [negate(size) if minus else size] if wanted else []
    if end:  # what is taken away stands last
        parts.insert(0 if minus else len(parts), tidy(end * below) if rises else negate(tidy(end * below)))
    left = add(*parts)
    return times(Symbol("τ"), applied("ln", over(tidy(gap * below), left)))


def _by_halving(question: TimedQuestion, run: NumberCourse, wanted: Fraction) -> TimedValue:
    rates = [float(swing.rate) for swing in run.swings]
    if not rates:
        if not run.slope:
            return TimedValue(question, words="never: it does not change")
        reached = (wanted - run.end) / run.slope
        return (
            TimedValue(question, number=float(reached)) if reached >= 0 else TimedValue(question, words=_AWAY)
        )
    turning = max(float(swing.turning) for swing in run.swings)
    span, step = 20 / min(rates), min(1 / (200 * min(rates)), 1 / (20 * turning) if turning else inf)
    early, one = 0.0, run.near(0.0) - float(wanted)
    for k in range(1, min(int(span / step), _MOST_STEPS) + 1):
        late = k * step
        other = run.near(late) - float(wanted)
        if one == 0 or one * other < 0:
            low, high = Fraction(early), Fraction(late)
            for _ in range(60):
                middle = (low + high) / 2
                same = float(run.at(middle) - wanted) * one > 0
                low, high = (middle, high) if same else (low, middle)
            return TimedValue(question, number=float(low))
        early, one = late, other
    return TimedValue(question, words="never, as far as twenty of the longest time constants")


def _never(begin: Fraction, end: Fraction, wanted: Fraction) -> str:
    between = min(begin, end) <= wanted <= max(begin, end)
    return "never: it only comes ever nearer to its end" if between else ASIDE


# -- what two points see ---------------------------------------------------------------------------


def _equivalent(circuit: Circuit, question: TimedQuestion) -> Ratio:
    """C(a, b) of a network of capacitors, L(a, b) of one of coils: from what the two points see at a rate
    s."""
    wanted = Kind.CAPACITOR if question.kind is TimedKind.CAPACITANCE else Kind.COIL
    held = dict.fromkeys(circuit.storages, circuit.field.zero)
    stage = image(circuit, held)
    seen = stage.seen(*question.names)
    value = circuit.field.one / seen[-1] if wanted is Kind.CAPACITOR and -1 in seen else seen.get(1)
    if len(seen) != 1 or value is None:
        others = "capacitors" if wanted is Kind.CAPACITOR else "coils"
        raise FaultyMaterial(
            Finding(
                "time/not-one-storage",
                f"{question.quantity} is asked, but what lies between the two points is not made of "
                f"{others} alone.",
                "Ask it of points between which only they lie, or ask for a time constant.",
            )
        )
    return value
