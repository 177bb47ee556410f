"""Rounded numbers: what the last figure written can bear.

A result such as `1.33 A` stands for everything that rounds to it. Intervals are worked with in exact
fractions. Common practice (no source): half a unit of the last figure; a policy may add a tolerance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ...expressions.fold import Arithmetic, by_signs, fold
from ...expressions.nodes import Equation, Expr, Negative, Number, Sum, Symbol, numbers_in
from ...expressions.tokens import scale_of
from ...quantities import simple

Interval = tuple[Fraction, Fraction]
WIDEST = Fraction(1, 100)  # of the terms of an equation: an interval wider than this decides nothing
FEWEST_FIGURES = 3  # of a rounded number within an equation; one with fewer is taken for exact


@dataclass(frozen=True, slots=True)
class Policy:
    """How numbers are judged. `tolerance`: the part of the true value that a result may be off beyond its
    own rounding (0: none). `figures`: the fewest significant figures of a rounded result; with fewer it
    has to be exact."""

    tolerance: Fraction = Fraction(0)
    figures: int = 2


def digits_of(number: Number) -> str:
    """The digits that a number is written with, without its unit: `1.50`, `2e3`, `1/6`."""
    return number.text or simple(number.value / scale_of(number.unit))


def half_unit(number: Number) -> Fraction:
    """Half a unit in the last figure of a number as written, in SI units; 0 for a fraction of whole
    numbers, which is exact."""
    digits = digits_of(number)
    if "/" in digits:
        return Fraction(0)
    figures, _, power = digits.lower().partition("e")
    decimals = len(figures.partition(".")[2])
    return Fraction(1, 2) * Fraction(10) ** (int(power or 0) - decimals) * scale_of(number.unit)


def figures(number: Number) -> int:
    """How many significant figures a number is written with."""
    digits = digits_of(number).lower().partition("e")[0]
    return len(digits.replace(".", "").strip("+-−").lstrip("0")) or 1


def is_decimal(number: Number) -> bool:
    """Whether it is written with decimals or a power of ten, so that it may be rounded."""
    digits = digits_of(number).lower()
    return "." in digits or "e" in digits


def lone(expr: Expr) -> Number | None:
    """The number that a side consists of, if it is nothing else; its sign is not looked at."""
    match expr:
        case Number():
            return expr
        case Negative(Number() as inner):
            return inner
    return None


def rounds_to(value: Fraction, side: Expr, policy: Policy) -> bool:
    """Whether a side that is one number is `value`, as rounded."""
    number = lone(side)
    if number is None:
        return False
    written = number.value if side is number else -number.value
    if written == value:
        return True
    if figures(number) < policy.figures and not policy.tolerance:
        return False
    within = half_unit(number) if figures(number) >= policy.figures else Fraction(0)
    return abs(written - value) <= max(within, policy.tolerance * abs(value))


def may_hold(equation: Equation, values: Mapping[str, Fraction], exact: frozenset[Fraction]) -> bool:
    """Whether an equation can hold for these values when each decimal in it is taken for rounded, those
    in `exact` apart; False where the intervals are too wide to tell."""
    intervals = _Intervals(values, exact)
    try:
        left, right = fold(equation.left, intervals), fold(equation.right, intervals)
    except (ZeroDivisionError, KeyError):
        return False
    low, high = left[0] - right[1], left[1] - right[0]
    every_decimal = _Intervals(values, frozenset())
    size = max(_size(equation.left, every_decimal), _size(equation.right, every_decimal))
    return low <= 0 <= high and high - low <= WIDEST * size


def value_of(expr: Expr, values: Mapping[str, Fraction]) -> Fraction:
    """What an expression comes to when every number in it is taken as exact, `values` giving those of the
    names. Raises ZeroDivisionError, and KeyError for a name without a value."""
    return fold(expr, by_signs(lambda number: number.value, values.__getitem__))


def has_values(item: Expr | Equation) -> bool:
    """Whether a number is written that must be a value: one with a unit or decimals, or one beyond the
    whole coefficients that come about in symbols."""
    return any(n.unit or is_decimal(n) or n.value.denominator != 1 or n.value > 4 for n in numbers_in(item))


def _size(expr: Expr, intervals: _Intervals) -> Fraction:
    """The largest term of a side."""
    terms = expr.terms if isinstance(expr, Sum) else (expr,)
    met = [fold(term, intervals) for term in terms]
    return max((max(abs(low), abs(high)) for low, high in met), default=Fraction(0))


@dataclass(frozen=True, slots=True)
class _Intervals(Arithmetic[Interval]):
    """From the least to the greatest that a value may be, decimals taken for rounded, those in `exact`
    apart."""

    values: Mapping[str, Fraction]
    exact: frozenset[Fraction]

    def number(self, number: Number) -> Interval:
        value = number.value
        if value in self.exact or not is_decimal(number) or figures(number) < FEWEST_FIGURES:
            return value, value
        half = half_unit(number)
        return value - half, value + half

    def symbol(self, symbol: Symbol) -> Interval:
        return self.values[symbol.name], self.values[symbol.name]

    def add(self, one: Interval, other: Interval) -> Interval:
        return one[0] + other[0], one[1] + other[1]

    def negate(self, value: Interval) -> Interval:
        return -value[1], -value[0]

    def multiply(self, one: Interval, other: Interval) -> Interval:
        corners = [a * b for a in one for b in other]
        return min(corners), max(corners)

    def invert(self, value: Interval) -> Interval:
        low, high = value
        if low <= 0 <= high:
            raise ZeroDivisionError
        return 1 / high, 1 / low
