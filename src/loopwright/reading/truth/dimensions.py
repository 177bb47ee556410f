"""Units of what is written: whether both sides of a claim, and all terms of a sum, can be the same
kind of quantity. A number without a unit may stand for a quantity of any kind, so what it multiplies
may be of any kind too.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction

from ...expressions.dimensions import PLAIN, Clash, Dimension, dimension
from ...expressions.nodes import Equation, numbers_in


def thousands(unit: str) -> Fraction:
    """What turns an amount in SI units into one in mA, kΩ, mW and volts; `unit` with or without a prefix."""
    bare = unit.removesuffix("²")
    factor = _THOUSANDS.get(bare[-1:], Fraction(1))
    return factor * factor if bare != unit else factor


_THOUSANDS = {"A": Fraction(1000), "Ω": Fraction(1, 1000), "W": Fraction(1000), "S": Fraction(1000)}


def clash(equation: Equation, of_name: Callable[[str], Dimension | None]) -> tuple[Dimension, ...] | None:
    """The dimensions that meet in a claim and do not fit; None when they do, or when no unit is written."""
    if not any(number.unit for number in numbers_in(equation)):
        return None
    try:
        dimension(equation, of_name)
    except Clash as met:
        return met.wanted, met.found
    return None


def numbers_are_values(equation: Equation, of_name: Callable[[str], Dimension | None]) -> bool:
    """Whether a claim fits together only when numbers without a unit stand for quantities: `I1 = 5` does,
    `I3 = 0.5 I4` does not."""
    try:
        dimension(equation, of_name, PLAIN)
    except Clash:
        return True
    return any(number.unit for number in numbers_in(equation))
