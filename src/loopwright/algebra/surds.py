"""Numbers with one square root over a field of fractions: p + q √n, added and multiplied exactly.

The root is never worked out: √n times √n is n, so that a root put back into its equation leaves exactly
zero or does not. Knows no circuits and no text.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from math import isqrt

from flint import fmpz

from .ratios import Ratio

_DIGITS = 40


@dataclass(frozen=True, slots=True)
class Surd:
    """`plain` + `factor` √`under`, all three of one field. Two surds met in one operation, where both
    have a root, share `under`."""

    plain: Ratio
    factor: Ratio
    under: Ratio

    def __add__(self, other: Surd | Ratio) -> Surd:
        if isinstance(other, Ratio):
            return Surd(self.plain + other, self.factor, self.under)
        factor = self.factor + other.factor if other.factor else self.factor
        return Surd(self.plain + other.plain, factor, self._root_of(other))

    def __mul__(self, other: Surd | Ratio) -> Surd:
        if isinstance(other, Ratio):
            return Surd(self.plain * other, self.factor * other if self.factor else self.factor, self.under)
        if not self.factor and not other.factor:
            return Surd(self.plain * other.plain, self.factor, self.under)
        return Surd(
            self.plain * other.plain + self.factor * other.factor * self.under,
            self.plain * other.factor + self.factor * other.plain,
            self._root_of(other),
        )

    def _root_of(self, other: Surd) -> Ratio:
        """What stands under the root of a sum or product with another."""
        return self.under if self.factor else other.under

    def __bool__(self) -> bool:
        """Whether it differs from zero; sure where `under` is no square."""
        return bool(self.plain) or bool(self.factor)

    def conjugate(self) -> Surd:
        """The same with the other sign of the root."""
        return Surd(self.plain, -self.factor, self.under)

    def inverse(self) -> Surd:
        """One over it, the root brought above the line. Raises ZeroDivisionError for zero."""
        if not self.factor:
            return Surd(1 / self.plain, self.factor, self.under)
        norm = self.plain * self.plain - self.factor * self.factor * self.under
        return Surd(self.plain / norm, -self.factor / norm, self.under)

    def value(self, numbers: Mapping[str, Fraction]) -> Fraction:
        """Its value for these numbers of the symbols, as a fraction that agrees with it to some forty
        decimals."""
        plain = self.plain.value(numbers)
        return plain + self.factor.value(numbers) * root(self.under.value(numbers)) if self.factor else plain


def root(amount: Fraction) -> Fraction:
    """The square root of a number that is not negative, to some forty figures; exact where it is rational."""
    above, below = amount.numerator * amount.denominator, amount.denominator
    whole = isqrt(above)
    if whole * whole == above:
        return Fraction(whole, below)
    scale = 10**_DIGITS
    return Fraction(isqrt(above * scale * scale), below * scale)


def primes_of(whole: int) -> tuple[tuple[int, int], ...]:
    """The primes of a positive whole number, each with its power."""
    return tuple((int(prime), int(power)) for prime, power in fmpz(whole).factor())


def without_squares(amount: Ratio) -> tuple[Ratio, Ratio]:
    """A polynomial as s² n: s and n. Only factors that are positive for positive values of the symbols are
    taken out, so that the root of s² is s; n is 1 where nothing else is left."""
    content, factors = amount.factors()
    square, rest = amount.field.one, amount.field.number(1 if content > 0 else -1)
    for prime, power in primes_of(abs(content)):
        square = square * prime ** (power // 2)
        rest = rest * prime ** (power % 2)
    for factor, power in factors:
        positive = factor.signs() == {True}
        taken = power // 2 if positive else 0
        square = square * factor**taken
        rest = rest * factor ** (power - 2 * taken)
    return square, rest
