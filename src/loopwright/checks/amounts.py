"""Exact values as amounts with a unit, rounded for running text."""

from __future__ import annotations

from fractions import Fraction

from ..expressions.nodes import Expr, Negative, Number
from ..quantities import rounded


def amount(value: Fraction, unit: str, figures: int = 3) -> Expr:
    """The value to so many significant figures, with the SI prefix that leaves 1 to 999 before it."""
    shown = rounded(abs(value), unit, figures)
    size = Number(Fraction(shown.digits), shown.symbol, shown.digits)
    return Negative(size) if value < 0 else size
