"""Rounded numbers: what the last figure written can bear.

A result such as `1.33 A` stands for everything that rounds to it. Intervals are worked with in exact
fractions. Common practice (no source): half a unit of the last figure; a policy may add a tolerance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ...expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    numbers_in,
)
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
    try:
        left = _interval(equation.left, values, exact)
        right = _interval(equation.right, values, exact)
    except (ZeroDivisionError, KeyError):
        return False
    low, high = left[0] - right[1], left[1] - right[0]
    size = max(_size(equation.left, values), _size(equation.right, values))
    return low <= 0 <= high and high - low <= WIDEST * size


def value_of(expr: Expr, values: Mapping[str, Fraction]) -> Fraction:
    """What an expression comes to when every number in it is taken as exact, `values` giving those of the
    names. Raises ZeroDivisionError."""
    return _interval(expr, values, None)[0]


def has_values(item: Expr | Equation) -> bool:
    """Whether a number is written that must be a value: one with a unit or decimals, or one beyond the
    whole coefficients that come about in symbols."""
    return any(n.unit or is_decimal(n) or n.value.denominator != 1 or n.value > 4 for n in numbers_in(item))


def _size(expr: Expr, values: Mapping[str, Fraction]) -> Fraction:
    """The largest term of a side."""
    terms = expr.terms if isinstance(expr, Sum) else (expr,)
    met = [_interval(t, values, frozenset()) for t in terms]
    return max((max(abs(low), abs(high)) for low, high in met), default=Fraction(0))


def _interval(expr: Expr, values: Mapping[str, Fraction], exact: frozenset[Fraction] | None) -> Interval:
    match expr:
        case Number(value, _, _):
            if exact is None or value in exact or not is_decimal(expr) or figures(expr) < FEWEST_FIGURES:
                return value, value
            half = half_unit(expr)
            return value - half, value + half
        case Symbol(name):
            return values[name], values[name]
        case Negative(body):
            low, high = _interval(body, values, exact)
            return -high, -low
        case Sum(terms):
            met = [_interval(term, values, exact) for term in terms]
            return sum((m[0] for m in met), Fraction(0)), sum((m[1] for m in met), Fraction(0))
        case Product(factors):
            found = (Fraction(1), Fraction(1))
            for factor in factors:
                found = _times(found, _interval(factor, values, exact))
            return found
        case Power(base, exponent):
            found = inner = _interval(base, values, exact)
            for _ in range(exponent - 1):
                found = _times(found, inner)
            return found
        case Quotient(above, below):
            return _times(_interval(above, values, exact), _over(_interval(below, values, exact)))
        case Parallel(parts):
            turned = [_over(_interval(part, values, exact)) for part in parts]
            return _over((sum((t[0] for t in turned), Fraction(0)), sum((t[1] for t in turned), Fraction(0))))


def _times(one: Interval, other: Interval) -> Interval:
    corners = [a * b for a in one for b in other]
    return min(corners), max(corners)


def _over(interval: Interval) -> Interval:
    low, high = interval
    if low <= 0 <= high:
        raise ZeroDivisionError
    return 1 / high, 1 / low
