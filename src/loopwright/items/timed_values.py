"""What can be asked as a value of a circuit in time, and what slips in time give for it.

What the problem asks for comes first, then the time constant, and every current and storage just after and
long after the move.
"""

from __future__ import annotations

from fractions import Fraction

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import UNIT_OF_TIMED, Moment, TimedKind, TimedQuestion, timed_questions
from ..expressions.said import Said, as_text
from ..sheet.timed_words import asked_in_time
from ..slips.catalogue import CATALOGUE
from ..slips.models import refuse_without_numbers
from ..slips.slips_in_time import SlipInTime, SlipsInTime, TimedAnswer
from .asked_value import AskedValue, along_its_arrow, of_points, size_of
from .number_forms import common_unit
from .slip_answers import SlipAnswer, kinds_mixed

_HINT = (
    "Look again at what each storage does just after the move and long after it, and at the resistance that "
    "it sees."
)
_BELIEVED = 1000  # times the right value: nobody writes down what is further off
_FIGURES = 12  # of a value that is not exact
_POSITIVE = (TimedKind.TIME_CONSTANT, TimedKind.WHEN, TimedKind.ENERGY, TimedKind.HEAT)
_SIGNED = (TimedKind.CURRENT, TimedKind.DIFFERENCE, TimedKind.ACROSS, TimedKind.CHARGE)


def asked_in_items(circuit: Circuit) -> tuple[TimedQuestion, ...]:
    """The quantities that items ask for."""
    found = [*timed_questions(circuit), TimedQuestion(TimedKind.TIME_CONSTANT, (), Moment.NONE)]
    for moment in (Moment.JUST_AFTER, Moment.LONG_AFTER):
        found += [TimedQuestion(TimedKind.CURRENT, (name,), moment) for name in circuit.currents]
        for name in circuit.storages:
            if circuit.elements[name].kind is Kind.CAPACITOR:
                found.append(TimedQuestion(TimedKind.ACROSS, (name,), moment))
    plain = {(q.kind, q.names, q.moment, q.at, q.of, q.move): q for q in reversed(found)}
    return tuple(reversed(plain.values()))


def values_in_time(slips: SlipsInTime) -> tuple[AskedValue, ...]:
    """What has a value in numbers, each with what slips give for it, kinds of slip mixed. Raises
    FaultyMaterial where a number is missing."""
    circuit = slips.circuit
    refuse_without_numbers(circuit)
    right = slips.answers(slips.right, circuit.numbers)
    told = [(slip, slips.answers(slip, circuit.numbers)) for slip in slips.slips]
    told.sort(key=lambda pair: CATALOGUE[pair[0].entry].usual)
    found: list[AskedValue] = []
    for at, question in enumerate(slips.questions):
        value = _plain(right[at], question)
        if value is None:
            continue
        wrong: dict[Fraction, list[SlipInTime]] = {}
        for slip, answers in told:
            given = _plain(answers[at], question)
            if given is not None and given != value and _is_likely(given, value, question):
                wrong.setdefault(given, []).append(slip)
        models = tuple(kinds_mixed([SlipAnswer(given, tuple(made)) for given, made in wrong.items()]))
        size = value or size_of(models)
        name = as_text(asked_in_time(question))
        unit = common_unit(size, UNIT_OF_TIMED[question.kind], circuit.figures)
        found.append(
            AskedValue(
                name,
                in_words(circuit, question),
                unit,
                value,
                models,
                {"": size},
                question.kind in _SIGNED,
                question.kind is TimedKind.CURRENT,
                _HINT,
            )
        )
    return tuple(found)


def _is_likely(given: Fraction, right: Fraction, question: TimedQuestion) -> bool:
    """Whether somebody might write a value down: not a time before the move, nor what is beyond belief."""
    if given <= 0 and question.kind in _POSITIVE:
        return False
    return not given or not right or 1 / _BELIEVED < abs(given / right) < _BELIEVED


def _plain(answer: TimedAnswer, question: TimedQuestion) -> Fraction | None:
    """The value of an answer that is one number."""
    if isinstance(answer, str) or question.moment is Moment.COURSE or len(answer) != 1:
        return None
    (number,) = answer
    return Fraction(f"{number:.{_FIGURES}g}")


def in_words(circuit: Circuit, question: TimedQuestion) -> Said:
    """What is asked, in words: `I1 just after, read along its arrow from foot to top`."""
    name = asked_in_time(question)
    match question.kind:
        case TimedKind.CURRENT:
            return (*name, along_its_arrow(circuit, question.names[0]))
        case TimedKind.DIFFERENCE:
            return (*name, of_points(*question.names))
        case TimedKind.ACROSS | TimedKind.CHARGE:
            what = "voltage" if question.kind is TimedKind.ACROSS else "charge"
            return (*name, f", the {what} of {question.names[0]} along the arrow of its branch")
        case TimedKind.TIME_CONSTANT:
            return (*name, ", the time constant")
        case TimedKind.HEAT:
            return (*name, f", all the heat in {question.names[0]} from the move on")
        case TimedKind.WHEN:
            return (*name, ", counted from the move")
    return name
