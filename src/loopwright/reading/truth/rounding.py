"""Rounded numbers: what the last figure written can bear.

A result such as `1.33 A` stands for everything that rounds to it. Common practice (no source): half a unit
of the last figure; a policy may add a tolerance.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ...expressions.fold import by_signs, fold
from ...expressions.nodes import Equation, Expr, Negative, Number, numbers_in
from ...expressions.tokens import scale_of
from ...quantities import simple

_SURE_FIGURES = 3  # before noughts at the end of a whole number


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
    numbers, which is exact. The noughts that end a whole number with a unit may fill it up behind three
    figures: 3960 mW for 3957 mW."""
    digits = digits_of(number)
    if "/" in digits:
        return Fraction(0)
    figures, _, power = digits.lower().partition("e")
    decimals = len(figures.partition(".")[2])
    if number.unit and figures.isdigit() and len(figures.lstrip("0").rstrip("0")) >= _SURE_FIGURES:
        decimals = len(figures.rstrip("0")) - len(figures)
    return Fraction(1, 2) * Fraction(10) ** (int(power or 0) - decimals) * scale_of(number.unit)


def figures(number: Number) -> int:
    """How many significant figures a number is written with."""
    digits = digits_of(number).lower().partition("e")[0]
    return len(digits.replace(".", "").strip("+-−").lstrip("0")) or 1


def is_decimal(number: Number) -> bool:
    """Whether it is written with decimals or a power of ten, so that it may be rounded."""
    digits = digits_of(number).lower()
    return "." in digits or "e" in digits


def ends_in_zero(number: Number) -> bool:
    """Whether it is written with a zero behind its decimals, 12.0 or 0.50: to so many figures it was brought
    by rounding."""
    _, point, decimals = digits_of(number).lower().partition("e")[0].partition(".")
    return bool(point) and decimals.endswith("0")


def is_brought_to_figures(number: Number) -> bool:
    """Whether it ends in two zeros behind its decimals, 0.300 or 12.00: then it is a rounded number, though a
    value of the problem may be as large, which is written with one at the most."""
    _, point, decimals = digits_of(number).lower().partition("e")[0].partition(".")
    return bool(point) and decimals.endswith("00")


def may_be_rounded(number: Number, other: Expr) -> bool:
    """Whether a result may have been rounded from its other side: it has decimals or a unit, or is a whole
    number worked out from some with decimals."""
    return is_decimal(number) or bool(number.unit) or any(map(is_decimal, numbers_in(other)))


def lone(expr: Expr) -> Number | None:
    """The number that a side consists of, if it is nothing else; its sign is not looked at."""
    match expr:
        case Number():
            return expr
        case Negative(Number() as inner):
            return inner
    return None


def value_of(expr: Expr, values: Mapping[str, Fraction]) -> Fraction:
    """What an expression comes to when every number in it is taken as exact, `values` giving those of the
    names. Raises ZeroDivisionError, and KeyError for a name without a value."""
    return fold(expr, by_signs(lambda number: number.value, values.__getitem__))


def has_values(item: Expr | Equation) -> bool:
    """Whether a number is written that must be a value: one with a unit or decimals, or one beyond the
    whole coefficients that come about in symbols."""
    return any(n.unit or is_decimal(n) or n.value.denominator != 1 or n.value > 4 for n in numbers_in(item))
