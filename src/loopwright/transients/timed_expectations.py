"""What the person expects of a circuit in time, confirmed or refuted by two routes.

In time: the function of the time, and the circuit redrawn for that moment. In an element: the limit of the
closed form, and the circuit solved afresh in numbers, three times, ever nearer to the limit.
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ..algebra.ratios import Ratio
from ..checks.limits.expectations import INFINITE, ExpectationVerdict, Judgement
from ..checks.limits.limit_of_ratio import LimitEnd, Unbounded, limit_of
from ..circuit.circuit import Circuit
from ..circuit.claims import End, Expectation
from ..circuit.in_time import Moment, TimedKind, TimedQuestion
from ..circuit.timed_claims import TIME, TimedExpectation, timed_claim
from ..errors import FaultyMaterial
from ..expressions.nodes import ZERO, Equation, Expr, Symbol, number, put_in
from ..expressions.said import Said
from ..expressions.tidy import tidy
from ..expressions.values import ratio_of
from ..solve.exact import Solution
from .stages import by_move, stages, value_in_stages
from .timed_values import course_of
from .transient import Transient

_NEARER = (10**6, 10**8, 10**10)  # by how much a symbol lies beyond the others
_SHRINKS = 10  # at least so many times nearer at each of them


def judge_in_time(found: tuple[Transient, ...], circuit: Circuit) -> tuple[ExpectationVerdict, ...]:
    """The verdicts on all expectations of a circuit in time, in order. Raises FaultyMaterial where one cannot
    be read."""
    return tuple(_judged(timed_claim(text, circuit), found, circuit) for text in circuit.expect)


def _judged(said: TimedExpectation, found: tuple[Transient, ...], circuit: Circuit) -> ExpectationVerdict:
    return _in_time(said, found) if said.symbol == TIME else _in_symbol(said, found, circuit)


# -- as the time goes on ---------------------------------------------------------------------------


def _in_time(said: TimedExpectation, found: tuple[Transient, ...]) -> ExpectationVerdict:
    last = said.to is End.INFINITY
    stage = found[said.left.move - 1] if said.left.move else found[-1 if last else 0]
    course = course_of(stage, said.left)
    if not last and course.burst:
        return _undecided(said, "at t = 0 itself it has no value, for something passes in no time")
    value = course.long_after if last else course.just_after
    solved = stage.end if last else stage.start
    if value is None:  # a steady end would contradict it
        grows = said.right is None and solved is None
        return _verdict(said, grows, Unbounded(0, course.slope) if solved is None else None)
    if said.right is None:
        return _verdict(said, False, value)
    again = None if solved is None else value_redrawn(solved, said.left, stage.circuit)
    if again is None or again != value:
        return _undecided(said, "the circuit redrawn for that moment does not settle it")
    return _verdict(said, value == ratio_of(said.right, stage.circuit.field), value)


def value_redrawn(solved: Solution, question: TimedQuestion, circuit: Circuit) -> Ratio | None:
    """The quantity of a question in a redrawn circuit; None where that leaves it open."""
    try:
        if question.kind is TimedKind.CURRENT:
            return solved.currents[question.names[0]]
        if question.kind is TimedKind.DIFFERENCE:
            return solved.difference(*question.names)
        across = solved.across(question.names[0])
        return across * circuit.value(question.names[0]) if question.kind is TimedKind.CHARGE else across
    except FaultyMaterial:
        return None


# -- as a symbol goes to a limit -------------------------------------------------------------------


def _in_symbol(said: TimedExpectation, found: tuple[Transient, ...], circuit: Circuit) -> ExpectationVerdict:
    (question,) = by_move(said.left, len(found))[:1]
    told = value_in_stages(found, question)
    if told.exact is None:
        return _undecided(said, f"it {told.words or 'has no closed form'}")
    if any(name in stage.carried for name in told.exact.held() for stage in found):
        return _undecided(said, "it rests on what an earlier stage leaves")
    to: LimitEnd = "0" if said.to is End.ZERO else "∞"
    end = limit_of(told.exact, said.symbol, to)
    right = None if said.right is None else ratio_of(said.right, told.exact.field)
    if right is None:
        holds = isinstance(end, Unbounded)
    else:
        difference = limit_of(told.exact - right, said.symbol, to)
        holds = isinstance(difference, Ratio) and not difference
    if _comes_near(said, question, circuit) is not holds:
        return _undecided(said, "the closed form and the circuit solved afresh in numbers do not agree")
    return _verdict(said, holds, end)


def _comes_near(said: TimedExpectation, question: TimedQuestion, circuit: Circuit) -> bool:
    """Whether the circuit solved afresh, the symbol ever nearer to its limit, comes as near to what is
    expected."""
    others = [name for name in circuit.symbols if name != said.symbol]
    fixed = {name: Fraction(2 * n + 3, n + 2) for n, name in enumerate(others)}
    gaps: list[Fraction] = []
    for far in _NEARER:
        numbers = {**fixed, said.symbol: Fraction(1, far) if said.to is End.ZERO else Fraction(far)}
        values = {name: number(value) for name, value in numbers.items()}
        plain = circuit.with_put_in(values)
        plain = replace(plain, start={name: put_in(held, values) for name, held in circuit.start.items()})
        try:
            exact = value_in_stages(stages(plain), question).exact
        except FaultyMaterial:
            return False
        if exact is None:
            return False
        value = exact.value({})
        expected = Fraction(0) if said.right is None else ratio_of(said.right, circuit.field).value(numbers)
        gaps.append(1 / value if said.right is None and value else value - expected)
    if said.right is None and any(not gap for gap in gaps):
        return False
    return all(_SHRINKS * abs(late) <= abs(early) for early, late in pairwise(gaps))


# -- what is said of it ----------------------------------------------------------------------------


def _claim(said: TimedExpectation) -> Expectation:
    return Expectation(Symbol(said.left.quantity), "->", said.right, said.symbol, said.to)


def _case(said: TimedExpectation) -> Said:
    return (Equation(Symbol(said.symbol), ZERO if said.to is End.ZERO else INFINITE, "→"),)


def _claimed(said: TimedExpectation) -> Said:
    right: Expr = INFINITE if said.right is None else said.right
    return (*_tends(said, right), " as ", *_case(said))


def _tends(said: TimedExpectation, right: Expr) -> Said:
    """That it tends to something: as a formula where no moment is named."""
    what = _what(said)
    if len(what) == 1 and isinstance(what[0], Symbol):
        return (Equation(what[0], right, "→"),)
    return (*what, " tends to ", right)


def _what(said: TimedExpectation) -> Said:
    """What is expected of what: a quantity, and its moment where one is named."""
    left = said.left
    if left.moment in (Moment.NONE, Moment.COURSE) or said.symbol == TIME:
        after = f" after move {left.move}" if left.move and said.symbol != TIME else ""
        return (Symbol(left.quantity), *((after,) if after else ()))
    moved = f" move {left.move}" if left.move else ""
    return (Symbol(left.quantity), f" {left.moment}{moved}")


def _verdict(said: TimedExpectation, holds: bool, end: Ratio | Unbounded | None) -> ExpectationVerdict:
    if holds:
        told: Said = ("Confirmed: ", *_claimed(said), ".")
        return ExpectationVerdict(_claim(said), Judgement.CONFIRMED, end, None, told)
    true = _tends(said, tidy(end)) if isinstance(end, Ratio) else (*_what(said), " grows without limit")
    told = ("Refuted: as ", *_case(said), ", ", *true, ".")
    return ExpectationVerdict(_claim(said), Judgement.REFUTED, end, None, told)


def _undecided(said: TimedExpectation, why: str) -> ExpectationVerdict:
    told: Said = (*_claimed(said), f" cannot be decided: {why}.")
    return ExpectationVerdict(_claim(said), Judgement.UNDECIDED, None, None, told)
