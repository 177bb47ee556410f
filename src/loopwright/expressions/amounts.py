"""Numbers with units as expressions: rounded for running text, or as the person wrote them."""

from __future__ import annotations

from fractions import Fraction

from ..quantities import Quantity, rounded, simple
from .nodes import Expr, Negative, Number


def amount(value: Fraction, unit: str, figures: int = 3) -> Expr:
    """The value in SI units to so many significant figures, with the SI prefix that suits it."""
    return measured(rounded(value, unit, figures))


def measured(quantity: Quantity) -> Expr:
    """A quantity as an expression that shows the digits and the unit it is written with."""
    digits = quantity.digits.lstrip("-−")
    number = Number(abs(quantity.value), quantity.symbol, digits)
    return Negative(number) if quantity.value < 0 else number


def exactly(value: Fraction, unit: str) -> Expr:
    """A positive value as it stands, in the unit itself: `0.25 W`."""
    return Number(value, unit, simple(value))
