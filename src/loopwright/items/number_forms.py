"""Numbers that are to stand side by side: one unit, the same figures, and none that its look gives away.

A right answer that alone is round, alone is negative or alone is so long is found without any physics. So
wrong ones are chosen with which it shares each of these (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from ..quantities import PREFIXES, rounded

MINUS = "−"
ALLOWED = Fraction(1, 100)  # of the right value: how far off a number may be
OF_NOTHING = Fraction(1, 200)  # of the largest value: the same where the right one is zero
FEWEST, MOST = 2, 4  # wrong options of an item
Look = tuple[object, ...]  # what is seen of something at a glance, one thing after another
LOOKED_AT = 12  # of the most usual wrong answers, from which those of an item are chosen
LOOKED_AT_ALIKE = 3  # of those that look like the right one, the same


@dataclass(frozen=True, slots=True)
class CommonUnit:
    """The unit in which all numbers of an item are written: `symbol` with its prefix, its `scale` in SI."""

    symbol: str
    scale: Fraction
    figures: int

    def digits(self, value: Fraction) -> str:
        """A value (SI units) as digits, with a true minus sign and as many figures as all others."""
        return _digits(value / self.scale, self.figures)

    def written(self, value: Fraction) -> str:
        """A value with its unit."""
        return f"{self.digits(value)} {self.symbol}".strip()


def common_unit(value: Fraction, unit: str, figures: int) -> CommonUnit:
    """The unit with the prefix that suits this value, for it and for all beside it."""
    symbol = rounded(value, unit, figures).symbol
    prefix = symbol.removesuffix(unit)
    return CommonUnit(symbol, Fraction(10) ** PREFIXES[prefix], figures)


def _digits(value: Fraction, figures: int) -> str:
    """The value to so many significant figures, written out without a power of ten."""
    if not value:
        return "0." + "0" * (figures - 1) if figures > 1 else "0"
    shown = rounded(abs(value), "", figures).value
    before = len(str(int(shown))) if shown >= 1 else 0
    first = 0 if before else _noughts(shown)
    places = max(0, figures - before + first)
    count = round(shown * 10**places)
    text = str(count).rjust(places + 1, "0")
    text = f"{text[:-places]}.{text[-places:]}" if places else text
    return f"{MINUS if value < 0 else ''}{text}"


def _noughts(value: Fraction) -> int:
    """How many noughts a value below 1 has behind the point."""
    found = 0
    while value * 10 < 1:
        value, found = value * 10, found + 1
    return found


def look(digits: str) -> Look:
    """What is seen of a number at a glance: its sign, whether it ends in a nought, its length."""
    plain = digits.removeprefix(MINUS)
    return digits.startswith(MINUS), plain.endswith("0"), len(plain)


def choose(right: str, wrong: Sequence[str], most: int = MOST) -> tuple[int, ...]:
    """Which of the wrong numbers (the best first) to put beside the right one: as many as `most`, the best
    ones with which it is not told apart by its look. Empty where no such choice is to be had."""
    return choose_alike(look(right), [look(digits) for digits in wrong], most)


def choose_alike(seen: Look, looks: Sequence[Look], most: int = MOST) -> tuple[int, ...]:
    """The same for anything of which it is known how it looks: `seen`, what is seen of the right one."""
    alike = [at for at, other in enumerate(looks) if other[1:] == seen[1:]]
    places = sorted({*range(min(len(looks), LOOKED_AT)), *alike[:LOOKED_AT_ALIKE]})
    for count in range(most, FEWEST - 1, -1):
        for way in sorted(combinations(places, count), key=lambda way: (sum(way), way)):
            if all(any(looks[at][i] == each for at in way) for i, each in enumerate(seen)):
                return way
    return ()


def tolerance_of(size: Fraction, figures: int, *, exists: bool) -> Fraction:
    """How far off a number may be: a hundredth of it, but no less than its rounding to the figures that are
    shown."""
    if not exists:
        return simple_above(abs(size) * OF_NOTHING)
    last = Fraction(10)
    while last > abs(size):
        last /= 10
    while last * 10 <= abs(size):
        last *= 10
    return simple_above(max(abs(size) * ALLOWED, last / 10 ** (figures - 1) * Fraction(51, 100)))


def simple_above(value: Fraction) -> Fraction:
    """The least number of two figures that is not below this one: what is told as a tolerance."""
    step = Fraction(1)
    while value < 10 * step:
        step /= 10
    while value >= 100 * step:
        step *= 10
    return -(-value // step) * step
