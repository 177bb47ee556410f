"""Values in time as numbers with their rounding: what a written number may stand for is an interval.

A course is a sum of terms c t^p e^(−r t), where it swings times cos(w t) or sin(w t), with an interval for
each factor c, each rate r and each w. Two courses can be equal when their terms can be paired so that rates,
turnings and factors meet, and what is left unpaired can be nothing.
Intervals are of floating point, widened by far more than its error: what they decide is told as rounded only.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from math import ceil, cos, exp, inf, isfinite, log, pi, sqrt

from ...expressions.fold import Arithmetic, fold
from ...expressions.nodes import Applied, Exponential, Expr, Number, Root, Symbol

_SLACK = 1e-11  # of a value: what floating point may have lost on the way


class NotNumeric(ArithmeticError):
    """A value that is no sum of such terms."""


@dataclass(frozen=True, slots=True)
class NumberSpan:
    """All numbers from `low` to `high`."""

    low: float
    high: float

    def __add__(self, other: NumberSpan) -> NumberSpan:
        return NumberSpan(self.low + other.low, self.high + other.high)

    def __neg__(self) -> NumberSpan:
        return NumberSpan(-self.high, -self.low)

    def __mul__(self, other: NumberSpan) -> NumberSpan:
        ends = [a * b for a in (self.low, self.high) for b in (other.low, other.high)]
        return NumberSpan(min(ends), max(ends))

    @property
    def size(self) -> float:
        """The largest size of its numbers."""
        return max(abs(self.low), abs(self.high))

    @property
    def middle(self) -> float:
        """The number half-way."""
        return (self.low + self.high) / 2

    def meets(self, other: NumberSpan, slack: float = 0.0) -> bool:
        """Whether the two have a number in common, as far as floating point can tell."""
        near = _SLACK * max(self.size, other.size) + slack
        return self.low <= other.high + near and other.low <= self.high + near

    def over(self) -> NumberSpan:
        """One over it. Raises ZeroDivisionError where it holds zero."""
        if self.low <= 0 <= self.high:
            raise ZeroDivisionError("one over zero")
        return NumberSpan(1 / self.high, 1 / self.low)


ZERO = NumberSpan(0.0, 0.0)
ONE = NumberSpan(1.0, 1.0)
_HALF = NumberSpan(0.5, 0.5)


@dataclass(frozen=True, slots=True)
class NumberTerm:
    """`factor` t^`power` e^(−`rate` t) cos(`turning` t); its sine in place of the cosine where `sine`."""

    factor: NumberSpan
    rate: NumberSpan = ZERO
    power: int = 0
    turning: NumberSpan = ZERO
    sine: bool = False

    @property
    def is_steady(self) -> bool:
        """Whether it does not change in time."""
        return not self.power and self.rate == ZERO and self.turning == ZERO

    def pairs_with(self, other: NumberTerm) -> bool:
        """Whether the two may be the same function of the time, up to their factors."""
        if (self.power, self.sine) != (other.power, other.sine):
            return False
        return self.rate.meets(other.rate) and self.turning.meets(other.turning)


@dataclass(frozen=True, slots=True)
class RoundedCourse:
    """A sum of terms, no two of one rate and power. `size`: the largest of what was added up to make it, by
    which what floating point loses is measured."""

    terms: tuple[NumberTerm, ...]
    size: float = 0.0

    @property
    def plain(self) -> NumberSpan:
        """The number that it is. Raises NotNumeric where it changes in time."""
        if not all(t.is_steady for t in self.terms):
            raise NotNumeric("it changes in time")
        total = ZERO
        for term in self.terms:
            total = total + term.factor
        return total

    def at(self, time: NumberSpan) -> NumberSpan:
        """Its value at a time."""
        total = ZERO
        for term in self.terms:
            value = term.factor
            for _ in range(term.power):
                value = value * time
            if term.rate != ZERO:
                value = value * _exp(-(term.rate * time))
            if term.turning != ZERO:
                value = value * _wave(term.turning * time, sine=term.sine)
            total = total + value
        return total


def constant(value: NumberSpan) -> RoundedCourse:
    """A number as a course."""
    return RoundedCourse((NumberTerm(value),), value.size)


def turned(course: RoundedCourse) -> RoundedCourse:
    """A course with the other sign."""
    return RoundedCourse(tuple(replace(t, factor=-t.factor) for t in course.terms), course.size)


def summed(parts: Sequence[NumberTerm], size: float) -> RoundedCourse:
    """The sum of terms, those of one rate and power made one."""
    kept: list[NumberTerm] = []
    for part in parts:
        for at, other in enumerate(kept):
            if other.pairs_with(part):
                rate, turning = _either(other.rate, part.rate), _either(other.turning, part.turning)
                kept[at] = NumberTerm(other.factor + part.factor, rate, part.power, turning, part.sine)
                break
        else:
            kept.append(part)
    return RoundedCourse(tuple(kept), max([size, *(t.factor.size for t in parts)], default=size))


def can_be_equal(one: RoundedCourse, other: RoundedCourse) -> bool:
    """Whether two courses agree for some numbers in their intervals."""
    size = max(one.size, other.size)
    left = list(other.terms)
    for term in one.terms:
        met = [o for o in left if o.pairs_with(term)]
        if not met:
            if not term.factor.meets(ZERO, _SLACK * size):
                return False
            continue
        total = met[0].factor
        for more in met[1:]:
            total = total + more.factor
        if not term.factor.meets(total, _SLACK * size):
            return False
        for each in met:
            left.remove(each)
    return all(term.factor.meets(ZERO, _SLACK * size) for term in left)


def product_of(one: NumberTerm, other: NumberTerm) -> tuple[NumberTerm, ...]:
    """The product of two terms; of two that swing, the swings of the sum and of the difference."""
    both = NumberTerm(one.factor * other.factor, one.rate + other.rate, one.power + other.power)
    swings = [term for term in (one, other) if term.turning != ZERO]
    if len(swings) < 2:
        return (replace(both, turning=swings[0].turning, sine=swings[0].sine) if swings else both,)
    apart = one.turning + -other.turning if one.turning != other.turning else ZERO
    back, half, sine = apart.middle < 0, both.factor * _HALF, one.sine != other.sine
    added = replace(both, turning=one.turning + other.turning, sine=sine)
    less = replace(both, turning=-apart if back else apart, sine=sine)
    added = replace(added, factor=-half if one.sine and other.sine else half)
    less = replace(less, factor=-half if sine and other.sine is not back else half)
    return (added,) if sine and apart == ZERO else (added, less)


def _either(one: NumberSpan, other: NumberSpan) -> NumberSpan:
    """What holds both; nothing where one is nothing."""
    if ZERO in (one, other):
        return ZERO
    return NumberSpan(min(one.low, other.low), max(one.high, other.high))


def _wave(angle: NumberSpan, *, sine: bool) -> NumberSpan:
    """The cosines, or sines, of all angles in an interval, in radians."""
    shift = pi / 2 if sine else 0.0
    low, high = angle.low - shift, angle.high - shift
    ends = [cos(low), cos(high)]
    turns = ceil(low / pi)  # the first half turn in it, where the cosine is greatest or least
    ends += [cos(n * pi) for n in (turns, turns + 1) if n * pi <= high]
    return NumberSpan(min(ends), max(ends))


def _exp(span: NumberSpan) -> NumberSpan:
    try:
        return NumberSpan(exp(span.low), exp(span.high))
    except OverflowError as large:
        raise NotNumeric("a power of e beyond all bounds") from large


class NumberArithmetic(Arithmetic[RoundedCourse]):
    """Numbers of written expressions. `of_number`: what a written number may stand for; `of_name`: what a
    name stands for; raises KeyError for a strange one."""

    __slots__ = ("of_name", "of_number")

    def __init__(
        self, of_number: Callable[[Number], NumberSpan], of_name: Callable[[str], RoundedCourse]
    ) -> None:
        self.of_number, self.of_name = of_number, of_name

    def number(self, number: Number) -> RoundedCourse:
        """A number as written."""
        return constant(self.of_number(number))

    def symbol(self, symbol: Symbol) -> RoundedCourse:
        """A name, a power of e, a logarithm or a root."""
        match symbol:
            case Exponential(body=body):
                return self._exponential(fold(body, self))
            case Applied(function="ln", body=body):
                inner = fold(body, self)
                if len(inner.terms) == 1 and _fades_alone(inner.terms[0]):
                    term = inner.terms[0]
                    whole = _log(term.factor)
                    return summed([NumberTerm(whole), NumberTerm(-term.rate, ZERO, 1)], whole.size)
                span = inner.plain
                whole = _log(span)
                lost = inner.size / span.size if span.size else 1.0
                return RoundedCourse((NumberTerm(whole),), max(whole.size, lost))
            case Applied(function=("sin" | "cos") as function, body=body):
                return self._swinging(fold(body, self), sine=function == "sin")
            case Root(body=body):
                span = fold(body, self).plain
                if span.low < 0:
                    raise NotNumeric("the root of a negative number")
                return constant(NumberSpan(sqrt(span.low), sqrt(span.high)))
        return self.of_name(symbol.name)

    def _exponential(self, body: RoundedCourse) -> RoundedCourse:
        rate, fixed = ZERO, ZERO
        for term in body.terms:
            if term.rate != ZERO or term.turning != ZERO or term.power > 1:
                raise NotNumeric("no power of e with a steady rate")
            if term.power:
                rate = rate + -term.factor
            else:
                fixed = fixed + term.factor
        factor = _exp(fixed)
        return RoundedCourse(
            (NumberTerm(factor, rate),), factor.size * max(1.0, body.size if fixed.size else 1.0)
        )

    def _swinging(self, body: RoundedCourse, *, sine: bool) -> RoundedCourse:
        """The cosine or sine of an angle that grows with the time: cos(w t + p) is cos p cos(w t) less
        sin p sin(w t)."""
        turning, phase = ZERO, ZERO
        for term in body.terms:
            if term.rate != ZERO or term.turning != ZERO or term.power > 1:
                raise NotNumeric("no angle that grows steadily")
            if term.power:
                turning = turning + term.factor
            else:
                phase = phase + term.factor
        back = turning.middle < 0
        turning, phase = (-turning, -phase) if back else (turning, phase)
        sign = -ONE if back and sine else ONE
        if turning == ZERO:
            return constant(sign * _wave(phase, sine=sine))
        cosine, other = _wave(phase, sine=sine), _wave(phase, sine=not sine)
        other = other if sine else -other
        terms = (
            NumberTerm(sign * cosine, turning=turning),
            NumberTerm(sign * other, turning=turning, sine=True),
        )
        return RoundedCourse(terms, 1.0)

    def add(self, one: RoundedCourse, other: RoundedCourse) -> RoundedCourse:
        """The sum."""
        return summed([*one.terms, *other.terms], max(one.size, other.size))

    def negate(self, value: RoundedCourse) -> RoundedCourse:
        """Minus a value."""
        return RoundedCourse(tuple(replace(t, factor=-t.factor) for t in value.terms), value.size)

    def multiply(self, one: RoundedCourse, other: RoundedCourse) -> RoundedCourse:
        """The product, term by term."""
        found = [term for a in one.terms for b in other.terms for term in product_of(a, b)]
        return summed(found, one.size * other.size)

    def invert(self, value: RoundedCourse) -> RoundedCourse:
        """One over a value of one term."""
        terms = value.terms if len(value.terms) < 2 else (NumberTerm(value.plain),)
        if not terms:
            raise ZeroDivisionError("one over zero")
        (term,) = terms
        if (term.power > 0 and term.rate == ZERO) or term.turning != ZERO:
            raise NotNumeric("one over the time, or over a swing")
        factor = term.factor.over()
        lost = max(1.0, value.size / term.factor.size)  # a difference of near numbers keeps few figures
        return RoundedCourse((NumberTerm(factor, -term.rate, -term.power),), factor.size * lost)


def _fades_alone(term: NumberTerm) -> bool:
    return term.rate != ZERO and not term.power and term.turning == ZERO


def _log(span: NumberSpan) -> NumberSpan:
    if span.low <= 0 or not isfinite(span.high) or span.high == inf:
        raise NotNumeric("the logarithm of what is not positive")
    return NumberSpan(log(span.low), log(span.high))


def number_value(
    expr: Expr, of_number: Callable[[Number], NumberSpan], of_name: Callable[[str], RoundedCourse]
) -> RoundedCourse:
    """The value of an expression. Raises NotNumeric, ZeroDivisionError, and what `of_name` raises."""
    return fold(expr, NumberArithmetic(of_number, of_name))


def crossing(left: RoundedCourse, right: RoundedCourse) -> float | None:
    """The one time after the start at which two courses meet; None where there is none, or no one."""
    rates = [t for t in (*left.terms, *right.terms) if t.rate.size]
    lines = [t for t in (*left.terms, *right.terms) if t.power]
    if (not rates and not lines) or any(t.turning.size for t in (*left.terms, *right.terms)):
        return None
    if rates:
        rate = rates[0].rate.middle
        if any(abs(t.rate.middle - rate) > 1e-6 * abs(rate) or t.power for t in rates) or lines or rate == 0:
            return None
        shift = sum(
            s * t.factor.middle for c, s in ((left, 1), (right, -1)) for t in c.terms if not t.rate.size
        )
        grown = sum(s * t.factor.middle for c, s in ((left, 1), (right, -1)) for t in c.terms if t.rate.size)
        ratio = -shift / grown if grown else 0.0
        return -log(ratio) / rate if ratio > 0 and ratio != 1 else None
    if any(t.power != 1 for t in lines):
        return None
    slope = sum(s * t.factor.middle for c, s in ((left, 1), (right, -1)) for t in c.terms if t.power)
    fixed = sum(s * t.factor.middle for c, s in ((left, 1), (right, -1)) for t in c.terms if not t.power)
    return -fixed / slope if slope else None
