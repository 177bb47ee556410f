"""Terms as polynomials: equal products are collected as soon as they meet.

Also for resistances that are sums, numbers, or fractions of polynomials: a branch in a tree then
counts with the denominator of its resistance, one that is left out with the numerator.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..algebra.ratios import Field, Polynomial, Ratio


class PolynomialTerms:
    """Sums of products as polynomials of a field; meets `forests.Terms`."""

    def __init__(self, field: Field, resistances: Sequence[Ratio]) -> None:
        self.zero = field.zero.above
        self._out = {0: field.one.above}
        self._in = {0: field.one.above}
        self.above = [r.above for r in resistances]
        self.below = [r.below for r in resistances]
        self.whole = all(b.is_one() for b in self.below)

    def chosen(self, met: int, kept: Sequence[int]) -> Polynomial:
        """The sum over the sets kept."""
        out = [_multiplied(self._out, met & ~way, self.above) for way in kept]
        if not self.whole:
            out = [
                value * _multiplied(self._in, way, self.below) for value, way in zip(out, kept, strict=True)
            ]
        return self._sum(out)

    def total(self, products: Sequence[tuple[Polynomial, Polynomial]]) -> Polynomial:
        """The sum of the products."""
        return self._sum([one * other for one, other in products])

    def _sum(self, left: list[Polynomial]) -> Polynomial:
        """A sum taken in pairs, so that no long one is gone through for every short one."""
        while len(left) > 1:
            left = [a + b for a, b in zip(left[::2], left[1::2], strict=False)] + left[len(left) & ~1 :]
        return left[0] if left else self.zero


def _multiplied(known: dict[int, Polynomial], factors: int, of: Sequence[Polynomial]) -> Polynomial:
    """The product of those polynomials of `of` whose bits are set in `factors`. `known` remembers it, with
    the products on the way to it."""
    found = known.get(factors)
    if found is not None:
        return found
    left, missing = factors, []
    while left not in known:
        missing.append(left.bit_length() - 1)
        left ^= 1 << missing[-1]
    found = known[left]
    for place in reversed(missing):
        left |= 1 << place
        known[left] = found = found * of[place]
    return found
