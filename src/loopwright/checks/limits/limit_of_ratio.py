"""What a ratio does when one of its symbols goes to zero or grows without limit.

Compares the leading powers of the symbol in numerator and denominator. Knows no circuits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from ...algebra.ratios import Ratio

LimitEnd = Literal["0", "∞"]


@dataclass(frozen=True, slots=True)
class Unbounded:
    """A value that grows without limit.

    `sign`: +1 or −1 where it is the same for all positive values of the symbols, 0 where it depends
    on them. `leading_term`: the term that takes over, a ratio that still holds the symbol.
    """

    sign: int
    leading_term: Ratio


@dataclass(frozen=True, slots=True)
class Indeterminate:
    """A current that the changed circuit leaves open because a loop without resistance can carry any
    current. `at_rest`: its value when the branch taken to the limit carries nothing; `sense`: +1 or −1,
    what each ampere round the loop adds to it."""

    at_rest: Ratio
    sense: int


LimitOutcome = Ratio | Unbounded | Indeterminate


def limit_of(ratio: Ratio, name: str, to: LimitEnd) -> Ratio | Unbounded:
    """The limit of `ratio` as its symbol `name` goes to 0 or, through positive values, to infinity."""
    above, below, power = leading_coefficients(ratio, name, to)
    if power == 0:
        return above / below
    if (power > 0) == (to == "0"):
        return ratio.field.zero
    grown = above / below * ratio.field.symbol(name) ** power
    return Unbounded(sign_of(grown), grown)


def leading_coefficients(ratio: Ratio, name: str, to: LimitEnd) -> tuple[Ratio, Ratio, int]:
    """What takes over in the limit: the coefficients of the leading power of `name` above and below the
    line, and the power of `name` that is left between them."""
    if name not in ratio.field:
        return ratio.numerator, ratio.denominator, 0
    pick = min if to == "0" else max
    above, below = ratio.coefficients_in(name), ratio.coefficients_in(name, below=True)
    if not above:
        return ratio.field.zero, ratio.field.one, 0
    high, low = pick(above), pick(below)
    return above[high], below[low], high - low


def sign_of(ratio: Ratio) -> int:
    """+1 or −1 when the ratio has that sign for all positive values of its symbols; 0 for zero or
    when it cannot be read off (numerator or denominator has terms of both signs)."""
    signs, under = ratio.signs(), ratio.signs(below=True)
    if len(signs) != 1 or len(under) != 1:
        return 0
    return 1 if signs == under else -1
