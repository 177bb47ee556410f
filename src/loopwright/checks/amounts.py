"""Exact values as amounts with a unit, rounded for running text."""

from __future__ import annotations

from fractions import Fraction

from ..expressions.nodes import Expr, Negative, Number

_PREFIXES = (
    (Fraction(10**6), "M"),
    (Fraction(10**3), "k"),
    (Fraction(1), ""),
    (Fraction(1, 10**3), "m"),
    (Fraction(1, 10**6), "µ"),
    (Fraction(1, 10**9), "n"),
)


def amount(value: Fraction, unit: str, figures: int = 3) -> Expr:
    """The value to so many significant figures, with the SI prefix that leaves 1 to 999 before it."""
    if value < 0:
        return Negative(amount(-value, unit, figures))
    if not value:
        return Number(Fraction(0), unit)
    rounded = significant(value, figures)
    scale, prefix = next((pair for pair in _PREFIXES if rounded >= pair[0]), _PREFIXES[-1])
    shown = rounded / scale
    return Number(shown, prefix + unit, _decimal(shown, figures))


def significant(value: Fraction, figures: int) -> Fraction:
    """A positive value rounded to so many significant figures, halves to even."""
    power = 0
    while value * Fraction(10) ** -power >= 10:
        power += 1
    while value * Fraction(10) ** -power < 1:
        power -= 1
    step = Fraction(10) ** (power - figures + 1)
    return round(value / step) * step


def _decimal(value: Fraction, figures: int) -> str:
    """The decimal text of a rounded value with all its significant figures, trailing zeros kept."""
    whole = int(value)
    places = max(0, figures - len(str(whole))) if whole else figures
    scaled = round(value * 10**places)
    digits = str(scaled).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits
