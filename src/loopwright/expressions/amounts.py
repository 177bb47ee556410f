"""Numbers with units as expressions: rounded for running text, or as the person wrote them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise

from ..quantities import Quantity, rounded, simple
from .nodes import Expr, Negative, Number, alike, numbers_in, parts_of
from .tokens import scale_of


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


def shortened(value: Fraction, figures: int) -> Expr:
    """A bare number as it is written in a working: exactly where its decimals end within two figures more,
    else to so many figures, and to all before the point, since noughts there would pass for figures. The
    number keeps its exact value behind what is shown."""
    size = abs(value)
    text = simple(size)
    if "/" in text or len(text.replace(".", "").strip("0")) > figures + 2:
        text = rounded(size, "", max(figures, len(str(int(size))))).digits
    number = Number(size) if Fraction(text) == size else Number(size, "", text)
    return Negative(number) if value < 0 else number


def joint(left: Expr, right: Expr, relation: str = "=") -> str:
    """What stands between two sides: about equal where one of them shows a number shorter than it is."""
    return joints((left, right), relation)[0]


def joints(sides: Sequence[Expr], relation: str = "=") -> tuple[str, ...]:
    """What stands before each side of a chain but the first."""
    if relation != "=":
        return (relation,) * (len(sides) - 1)
    short = [any(_is_shortened(number) for number in numbers_in(side)) for side in sides]
    return tuple("≈" if one or other else "=" for one, other in pairwise(short))


def as_shown(item: Expr) -> Expr:
    """The same with every number worth what is shown of it, as a reader takes it."""
    if isinstance(item, Number):
        return replace(item, value=_worth(item.text, item.unit)) if _is_shortened(item) else item
    held = parts_of(item)
    return alike(item, [as_shown(part) for part in held]) if held else item


def _is_shortened(number: Number) -> bool:
    return bool(number.text) and _worth(number.text, number.unit) != number.value


@lru_cache(maxsize=4096)  # a number stands on many lines of a page
def _worth(text: str, unit: str) -> Fraction:
    """What is shown of a number, in the SI unit."""
    return Fraction(text) * scale_of(unit)
