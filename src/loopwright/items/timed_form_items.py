"""Items on forms in time: which function of the time or which closed form is right, and which limit shows
that one is wrong. The wrong ones are those of slips in time.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from ..algebra.ratios import NoLimit, Ratio
from ..checks.limits.limit_of_ratio import LimitEnd, Unbounded, limit_of
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.in_time import Moment, TimedKind, TimedQuestion
from ..errors import FaultyMaterial
from ..expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Negative,
    Quotient,
    Symbol,
    add,
    exponential,
    negate,
    over,
    times,
    written_symbols,
)
from ..expressions.said import as_text
from ..expressions.tidy import tidy
from ..expressions.writers import plain
from ..sheet.printable import is_printable
from ..sheet.timed_words import asked_in_time
from ..slips.catalogue import CATALOGUE
from ..slips.slips_in_time import SlipInTime, SlipsInTime
from ..solve.exact import Solution
from ..transients.course import Course
from ..transients.stages import stages, value_in_stages
from .ground import QuizGround
from .item import AnswerOption, ItemKind, QuizItem
from .number_forms import MOST, Look, choose_alike
from .slip_answers import slips_told
from .value_items import lettered

CANDIDATES = 10  # wrong forms looked at for one item
LONGEST_FORM = 40  # symbols of a form that is to be compared by eye
FEWEST_SILENT = 2  # limits of an item that do not show what is wrong
WORTH_ASKING = 3  # symbols of the shortest form that is asked for
_IN_NUMBERS = ("exponent-prefix",)  # slips that nobody makes in symbols
TIME = Symbol("t")


@dataclass(frozen=True, slots=True)
class WrittenForm:
    """A form by its parts: a value alone, or a start, an end and a time constant; and as it is written."""

    parts: tuple[Ratio, ...]
    written: Expr


def _written(form: Ratio | Course | None) -> WrittenForm | None:
    """A form as a person writes it; None for a course that is not one exponential and a constant."""
    if form is None:
        return None
    if isinstance(form, Ratio):
        return WrittenForm((form,), tidy(form))
    if form.slope or form.burst or len(form.decays) != 1:
        return None
    (decay,) = form.decays
    if not decay.is_plain or decay.power:
        return None
    tau = decay.rate.inverse().plain
    form_of_tau, grows = tidy(tau), False
    if isinstance(form_of_tau, Negative):  # a slip of the sign
        form_of_tau, grows = form_of_tau.body, True
    above: Expr = TIME
    below = form_of_tau
    if isinstance(form_of_tau, Quotient):
        above, below = times(form_of_tau.below, TIME), form_of_tau.above
    power = over(above, below)
    fading = exponential(power if grows else negate(power))
    parts = form.just_after, form.end, tau
    if decay.amplitude.plain == -form.end:
        return WrittenForm(parts, times(tidy(form.end), add(ONE, Negative(fading))))
    falling = times(tidy(decay.amplitude.plain), fading)
    return WrittenForm(parts, add(tidy(form.end), falling) if form.end else falling)


def _name(question: TimedQuestion) -> str:
    return as_text(asked_in_time(question))


def _head(question: TimedQuestion) -> Symbol:
    """What stands on the left of a form."""
    course = question.moment is Moment.COURSE
    return Symbol(f"{question.quantity}(t)" if course else question.quantity)


def formulas_in_time(ground: QuizGround) -> Iterator[QuizItem]:
    """Which of some forms of a quantity is right; the others are those of slips in time."""
    slips = ground.in_time
    if not is_printable(ground.circuit):
        return
    for at, right in _forms(slips):
        question = slips.questions[at]
        wrong = [
            (form, slip)
            for form, slip in _wrong(slips, at, right)
            if written_symbols(right.written) <= 2 * written_symbols(form.written)
            and written_symbols(form.written) <= 2 * written_symbols(right.written)
        ][:CANDIDATES]
        chosen = choose_alike(_look(right), [_look(form) for form, _ in wrong], MOST)
        if not chosen:
            continue
        name, head = _name(question), _head(question)
        yes = f"Yes: {name} = {plain.render(right.written)}."
        options = [AnswerOption("", (Equation(head, right.written),), yes, True)]
        for form, slip in (wrong[i] for i in chosen):
            told = slips_told([slip])
            options.append(AnswerOption("", (Equation(head, form.written),), told, slips=(slip.entry,)))
        yield QuizItem(
            "",
            ItemKind.FORMULA,
            f"Closed form of {name}",
            ("Which of these is ", *asked_in_time(question), "?"),
            options=lettered(options, f"{ground.seed} formula {name}"),
            about=name,
        )


def _forms(slips: SlipsInTime) -> list[tuple[int, WrittenForm]]:
    """The quantities, by their places, that have a form to be compared by eye, the shortest forms first;
    where switches move again, those before that."""
    found: list[tuple[int, WrittenForm]] = []
    for at, question in enumerate(slips.questions):
        form = _written(slips.form(slips.right, at))
        if form is None or question.move > 1 or not any(form.parts):
            continue
        if WORTH_ASKING <= written_symbols(form.written) <= LONGEST_FORM:
            found.append((at, form))
    return sorted(found, key=lambda pair: (written_symbols(pair[1].written), pair[0]))


def _wrong(slips: SlipsInTime, at: int, right: WrittenForm) -> Iterator[tuple[WrittenForm, SlipInTime]]:
    """The wrong forms of a quantity, each once, the most usual slips first and kinds of slip mixed."""
    met = {right.parts}
    found: dict[str, list[tuple[WrittenForm, SlipInTime]]] = {}
    for slip in sorted(slips.slips, key=lambda slip: CATALOGUE[slip.entry].usual):
        form = None if slip.entry in _IN_NUMBERS else _written(slips.form(slip, at))
        if form is None or form.parts in met or len(form.parts) != len(right.parts):
            continue
        met.add(form.parts)
        found.setdefault(slip.entry, []).append((form, slip))
    while found:
        for entry in list(found):
            yield found[entry].pop(0)
            if not found[entry]:
                del found[entry]


def _look(form: WrittenForm) -> Look:
    """What is seen of a form at a glance: whether it begins with a minus, and whether it is a sum."""
    told = plain.render(form.written)
    return told.startswith("−"), " + " in told or " − " in told


# -- limits ----------------------------------------------------------------------------------------

_Outcome = tuple[object, ...]


@dataclass(frozen=True, slots=True)
class _Case:
    """One limit. `head`: what is taken where; `right`: what the circuit drawn again comes to; `of`: what the
    wrong form comes to."""

    head: str
    right: _Outcome
    of: _Outcome


def limits_in_time(ground: QuizGround) -> Iterator[QuizItem]:
    """Which limit shows that a form is wrong: in the others offered it comes to what is right."""
    slips, circuit = ground.in_time, ground.circuit
    if not is_printable(circuit) or len(slips.stages) != 1:
        return
    for at, right in _forms(slips):
        question = slips.questions[at]
        changed = list(_changed(circuit, question))
        met: set[str] = set()
        for form, slip in _wrong(slips, at, right):
            if slip.entry in met or not any(form.parts) or written_symbols(form.written) > LONGEST_FORM:
                continue
            cases = [*_of_time(slips, question, form), *_of_elements(form, changed, circuit)]
            item = _limit_item(ground, question, form, slip, cases)
            if item is not None:
                met.add(slip.entry)
                yield item


def _of_time(slips: SlipsInTime, question: TimedQuestion, form: WrittenForm) -> Iterator[_Case]:
    """The two ends of a function of the time, against the circuit redrawn for each."""
    if question.moment is not Moment.COURSE:
        return
    (stage,) = slips.stages
    for head, solved, value in (
        ("t → 0 (just after the move)", stage.start, form.parts[0]),
        ("t → ∞ (long after the move)", stage.end, form.parts[1]),
    ):
        redrawn = _redrawn(solved, question)
        if redrawn is not None:
            yield _Case(head, (redrawn,), (value,))


def _redrawn(solution: Solution | None, question: TimedQuestion) -> Ratio | None:
    try:
        if solution is None:
            return None
        match question.kind:
            case TimedKind.CURRENT:
                return solution.currents[question.names[0]]
            case TimedKind.ACROSS:
                return solution.across(question.names[0])
            case TimedKind.DIFFERENCE:
                return solution.difference(*question.names)
    except (FaultyMaterial, KeyError):
        return None
    return None


_ALTERED: tuple[tuple[LimitEnd, str, Callable[[Circuit, str], Circuit]], ...] = (
    ("0", "shorted", Circuit.shorted),
    ("∞", "open", Circuit.opened),
)


def _changed(circuit: Circuit, question: TimedQuestion) -> Iterator[tuple[str, LimitEnd, str, _Outcome]]:
    """What a quantity comes to where a resistor is a wire or a gap: the circuit changed and worked afresh.
    The symbol, where it goes, in words, and the outcome."""
    met = [p.element for b in circuit.branches for p in b.passes]
    for name in met:
        element = circuit.elements[name]
        if element.kind is not Kind.RESISTOR or element.value != Symbol(name):
            continue
        if any(name in circuit.value(other).held() for other in met if other != name):
            continue
        for to, word, altered in _ALTERED:
            try:
                value = value_in_stages(stages(altered(circuit, name)), question)
            except (FaultyMaterial, KeyError, ArithmeticError):
                continue
            form = _written(value.exact if value.exact is not None else value.course)
            if form is not None:
                parts = tuple(part.at({}, circuit.field) for part in form.parts)
                yield name, to, f"{name} → {to} ({name} {word})", parts


def _of_elements(
    form: WrittenForm, changed: list[tuple[str, LimitEnd, str, _Outcome]], circuit: Circuit
) -> Iterator[_Case]:
    for symbol, to, head, right in changed:
        if len(right) != len(form.parts):
            continue
        try:
            comes_to = tuple(limit_of(part, symbol, to) for part in form.parts)
        except NoLimit:
            continue
        yield _Case(head, right, comes_to)


def _limit_item(
    ground: QuizGround, question: TimedQuestion, form: WrittenForm, slip: SlipInTime, cases: list[_Case]
) -> QuizItem | None:
    shows = [case for case in cases if case.of != case.right]
    silent = [case for case in cases if case.of == case.right]
    if not shows or len(silent) < FEWEST_SILENT:
        return None
    name = _name(question)
    chance = random.Random(f"{ground.seed} {name} {slip.place}")
    options = [_option(chance.choice(shows), question, slip, right=True)]
    options += [_option(each, question, slip, right=False) for each in silent[: MOST - 1]]
    return QuizItem(
        "",
        ItemKind.LIMIT,
        f"Which limit shows that a form of {name} is wrong",
        ("Which of these limits shows it?",),
        stem=(("Somebody has found this for ", *asked_in_time(question), ", and it is wrong:"),),
        shown=((_head(question), form.written),),
        options=lettered(options, f"{ground.seed} limit {name} {slip.place}"),
        about=name,
    )


def _option(case: _Case, question: TimedQuestion, slip: SlipInTime, *, right: bool) -> AnswerOption:
    formula, redrawn = _told(case.of), _told(case.right)
    name = _name(question)
    if right:
        said = f"Yes: there the form comes to {formula}, and the circuit drawn again gives {redrawn} for "
        said += f"{name}. What was done: {slips_told([slip])}"
    else:
        said = f"No: there the form comes to {formula}, and so does {name} in the circuit drawn again. "
        said += "It is wrong all the same."
    return AnswerOption("", (case.head,), said, right, (slip.entry,) if right else ())


def _told(outcome: _Outcome) -> str:
    parts = [_told_part(part) for part in outcome]
    if len(parts) == 1:
        return parts[0]
    return f"a start of {parts[0]}, an end of {parts[1]} and a time constant of {parts[2]}"


def _told_part(part: object) -> str:
    if isinstance(part, Unbounded):
        return "what grows without limit"
    return plain.render(tidy(part)) if isinstance(part, Ratio) else "nothing definite"
