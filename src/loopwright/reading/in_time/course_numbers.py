"""Values in time as numbers with their rounding: what a written number may stand for is an interval.

A course is a sum of terms c t^p e^(−r t) with an interval for each factor c and each rate r. Two courses can
be
equal when their terms can be paired so that rates and factors meet, and what is left unpaired can be nothing.
Intervals are of floating point, widened by far more than its error: what they decide is told as rounded only.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from math import exp, inf, isfinite, log, sqrt

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


@dataclass(frozen=True, slots=True)
class NumberTerm:
    """`factor` t^`power` e^(−`rate` t)."""

    factor: NumberSpan
    rate: NumberSpan = ZERO
    power: int = 0


@dataclass(frozen=True, slots=True)
class RoundedCourse:
    """A sum of terms, no two of one rate and power. `size`: the largest of what was added up to make it, by
    which what floating point loses is measured."""

    terms: tuple[NumberTerm, ...]
    size: float = 0.0

    @property
    def plain(self) -> NumberSpan:
        """The number that it is. Raises NotNumeric where it changes in time."""
        if any(t.power or t.rate != ZERO for t in self.terms):
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
            total = total + value
        return total


def constant(value: NumberSpan) -> RoundedCourse:
    """A number as a course."""
    return RoundedCourse((NumberTerm(value),), value.size)


def summed(parts: Sequence[NumberTerm], size: float) -> RoundedCourse:
    """The sum of terms, those of one rate and power made one."""
    kept: list[NumberTerm] = []
    for part in parts:
        for at, other in enumerate(kept):
            if other.power == part.power and other.rate.meets(part.rate):
                rate = NumberSpan(min(other.rate.low, part.rate.low), max(other.rate.high, part.rate.high))
                rate = ZERO if ZERO in (other.rate, part.rate) else rate
                kept[at] = NumberTerm(other.factor + part.factor, rate, part.power)
                break
        else:
            kept.append(part)
    return RoundedCourse(tuple(kept), max([size, *(t.factor.size for t in parts)], default=size))


def can_be_equal(one: RoundedCourse, other: RoundedCourse) -> bool:
    """Whether two courses agree for some numbers in their intervals."""
    size = max(one.size, other.size)
    left = list(other.terms)
    for term in one.terms:
        met = [o for o in left if o.power == term.power and o.rate.meets(term.rate)]
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
                if len(inner.terms) == 1 and inner.terms[0].rate != ZERO and not inner.terms[0].power:
                    term = inner.terms[0]
                    whole = _log(term.factor)
                    return summed([NumberTerm(whole), NumberTerm(-term.rate, ZERO, 1)], whole.size)
                span = inner.plain
                whole = _log(span)
                lost = inner.size / span.size if span.size else 1.0
                return RoundedCourse((NumberTerm(whole),), max(whole.size, lost))
            case Root(body=body):
                span = fold(body, self).plain
                if span.low < 0:
                    raise NotNumeric("the root of a negative number")
                return constant(NumberSpan(sqrt(span.low), sqrt(span.high)))
        return self.of_name(symbol.name)

    def _exponential(self, body: RoundedCourse) -> RoundedCourse:
        rate, fixed = ZERO, ZERO
        for term in body.terms:
            if term.rate != ZERO or term.power > 1:
                raise NotNumeric("no power of e with a steady rate")
            if term.power:
                rate = rate + -term.factor
            else:
                fixed = fixed + term.factor
        factor = _exp(fixed)
        return RoundedCourse(
            (NumberTerm(factor, rate),), factor.size * max(1.0, body.size if fixed.size else 1.0)
        )

    def add(self, one: RoundedCourse, other: RoundedCourse) -> RoundedCourse:
        """The sum."""
        return summed([*one.terms, *other.terms], max(one.size, other.size))

    def negate(self, value: RoundedCourse) -> RoundedCourse:
        """Minus a value."""
        terms = tuple(NumberTerm(-t.factor, t.rate, t.power) for t in value.terms)
        return RoundedCourse(terms, value.size)

    def multiply(self, one: RoundedCourse, other: RoundedCourse) -> RoundedCourse:
        """The product, term by term."""
        found = [
            NumberTerm(a.factor * b.factor, a.rate + b.rate, a.power + b.power)
            for a in one.terms
            for b in other.terms
        ]
        return summed(found, one.size * other.size)

    def invert(self, value: RoundedCourse) -> RoundedCourse:
        """One over a value of one term."""
        terms = value.terms if len(value.terms) < 2 else (NumberTerm(value.plain),)
        if not terms:
            raise ZeroDivisionError("one over zero")
        (term,) = terms
        if term.power > 0 and term.rate == ZERO:
            raise NotNumeric("one over the time")
        factor = term.factor.over()
        lost = max(1.0, value.size / term.factor.size)  # a difference of near numbers keeps few figures
        return RoundedCourse((NumberTerm(factor, -term.rate, -term.power),), factor.size * lost)


def _log(span: NumberSpan) -> NumberSpan:
    if span.low <= 0 or not isfinite(span.high) or span.high == inf:
        raise NotNumeric("the logarithm of what is not positive")
    return NumberSpan(log(span.low), log(span.high))


def number_value(
    expr: Expr, of_number: Callable[[Number], NumberSpan], of_name: Callable[[str], RoundedCourse]
) -> RoundedCourse:
    """The value of an expression. Raises NotNumeric, ZeroDivisionError, and what `of_name` raises."""
    return fold(expr, NumberArithmetic(of_number, of_name))
