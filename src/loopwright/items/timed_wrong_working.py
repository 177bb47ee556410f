"""Complete workings of a circuit in time with one slip carried through: what a storage holds, the value just
after and long after, the time constant, the function of the time, a value at a time, charge and energy.

Where the slip is made another thing is written than what is right; all lines after it are worked from what
stands there. Knows nothing of `finish` and of `reading`: the reader that looks for the slip has not written
it. For one move, one storage and one time constant.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import Moment, TimedKind
from ..expressions.amounts import amount
from ..expressions.nodes import ONE, Expr, Negative, Symbol, add, exponential, negate, over, times
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..slips.models import refuse_without_numbers
from ..slips.slips_in_time import SlipInTime, SlipsInTime
from ..transients.number_course import NumberCourse
from ..transients.transient import Transient

_TIME = Symbol("t")
_IN_FORM = ("rise-for-fall", "start-for-difference", "end-left-out")  # both ends are known when it is made
_ENDS_CHANGED = "start and end change places"
_IN_EXPONENT = ("exponent-sign", "exponent-prefix")  # the time constant is known when it is made


@dataclass(frozen=True, slots=True)
class LineInTime:
    """One line: what is done, and what is written."""

    said: str
    written: Said


@dataclass(frozen=True, slots=True)
class TimedHunt:
    """A complete working. `wrong`: the number of the line with the slip; `slip`: which."""

    lines: tuple[LineInTime, ...]
    wrong: int
    slip: SlipInTime


def can_be_worked(slips: SlipsInTime) -> bool:
    """Whether the circuit is one of those that are worked so."""
    stage = slips.stages[0]
    plain = len(slips.stages) == 1 and len(stage.circuit.storages) == 1 and len(stage.rates) == 1
    return plain and not any(c.slope or c.burst for c in stage.currents.values())


def right_working(slips: SlipsInTime) -> tuple[LineInTime, ...]:
    """The working without a slip. Raises FaultyMaterial where a number is missing."""
    refuse_without_numbers(slips.circuit)
    (stage,) = slips.stages
    return _lines(slips, stage, stage, stage)


def slipped_workings(slips: SlipsInTime) -> Iterator[TimedHunt]:
    """Every working with one slip that changes one of its lines."""
    (stage,) = slips.stages
    right = right_working(slips)
    for slip in slips.slips:
        told = slip.stages[0]
        if slip.instead or len(told.rates) != 1:
            continue
        in_form = slip.entry in _IN_FORM or slip.place == _ENDS_CHANGED
        ends = stage if in_form else told
        constant = stage if slip.entry in _IN_EXPONENT else told
        try:
            lines = _lines(slips, ends, constant, told)
        except (ArithmeticError, OverflowError, KeyError):
            continue
        unlike = [at for at, (one, other) in enumerate(zip(lines, right, strict=True), 1) if one != other]
        if unlike:
            yield TimedHunt(lines, unlike[0], slip)


def _lines(
    slips: SlipsInTime, ends: Transient, constant: Transient, told: Transient
) -> tuple[LineInTime, ...]:
    """The working, its ends, its time constant and its function of the time each from a stage."""
    circuit = slips.circuit
    (storage,) = circuit.storages
    capacitor = circuit.elements[storage].kind is Kind.CAPACITOR
    own = circuit.branch_of(storage).name
    held = (f"V({storage})", "V") if capacitor else (own, "A")
    found = [
        LineInTime("without a jump", _equal(held[0], "(0+)", ends.stored(storage).just_after, held[1], ends))
    ]
    asked = _current(slips, own, capacitor=capacitor)
    run = ends.currents[asked]
    found.append(LineInTime("just after", _equal(asked, "(0+)", run.just_after, "A", ends)))
    found.append(LineInTime("long after", _equal(asked, "(∞)", run.end, "A", ends)))
    if capacitor:
        end = ends.stored(storage).end
        found.append(LineInTime("long after", _equal(f"V({storage})", "(∞)", end, "V", ends)))
    tau = constant.rates[0].inverse().plain
    size = tau.value(circuit.numbers)
    shown = (Symbol("τ"), " = ", tidy(tau), " = ", amount(size, "s", circuit.figures))
    found.append(LineInTime("the time constant", shown))
    course = told.numbered(told.currents[asked])
    found.append(LineInTime("in between", (Symbol(f"{asked}(t)"), " = ", _course(course, "A", circuit))))
    if capacitor:
        course_held = told.numbered(told.stored(storage))
        found.append(
            LineInTime("in between", (Symbol(f"V({storage})(t)"), " = ", _course(course_held, "V", circuit)))
        )
    time = _time(slips)
    at = amount(time, "s", circuit.figures)
    value = amount(course.at(time), "A", circuit.figures)
    found.append(LineInTime("at a time", (Symbol(asked), "(", at, ") = ", value)))
    return tuple(found)


def _equal(name: str, moment: str, value: Ratio, unit: str, stage: Transient) -> Said:
    number = value.value(stage.circuit.numbers)
    return (Symbol(name), f"{moment} = ", amount(number, unit, stage.circuit.figures if number else 1))


def _current(slips: SlipsInTime, own: str, *, capacitor: bool) -> str:
    """The current that the working is about: the first asked for that changes, else that of the storage."""
    (stage,) = slips.stages
    asked = [q.names[0] for q in slips.questions if q.kind is TimedKind.CURRENT]
    free = (n for n in (*asked, own) if not stage.currents[n].stays)
    return next((n for n in free if capacitor or n != own), own)


def _time(slips: SlipsInTime) -> Fraction:
    """The time of the last line: one asked for, or about the time constant."""
    (stage,) = slips.stages
    for question in slips.questions:
        if question.moment is Moment.AT and question.at:
            return question.at
    tau = stage.rates[0].inverse().plain.value(slips.circuit.numbers)
    power = Fraction(1)
    while power > tau:
        power /= 10
    while power * 10 <= tau:
        power *= 10
    return max(1, round(tau / power)) * power


def _course(run: NumberCourse, unit: str, circuit: Circuit) -> Expr:
    """End and exponential, or E (1 − e^…) where it rises from nothing."""
    if not run.swings:
        return amount(run.end, unit, circuit.figures)
    (swing,) = run.swings
    fading = exponential(negate(over(_TIME, amount(1 / swing.rate, "s", circuit.figures))))
    if swing.cosine == -run.end:
        return times(amount(run.end, unit, circuit.figures), add(ONE, Negative(fading)))
    falling = times(amount(swing.cosine, unit, circuit.figures), fading)
    return add(amount(run.end, unit, circuit.figures), falling) if run.end else falling
