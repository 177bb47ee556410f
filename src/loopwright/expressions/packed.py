"""Polynomials as short rows of whole numbers, for the search of `factoring`: fast to split and divide.

A polynomial is a tuple of (packed exponents, coefficient), the name-first term first. The exponents
of one monomial share a whole number, a few bits to a symbol with a guard bit above, so that a product
of monomials is a sum and divisibility one subtraction. Knows no written form.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import cached_property, lru_cache
from math import gcd

from ..algebra.ratios import Exponents, Field

PackedTerm = tuple[int, int]
Poly = tuple[PackedTerm, ...]


class Packing:
    """How polynomials in `names` with exponents below 2**(width - 1) are packed, and their algebra."""

    def __init__(self, names: tuple[str, ...], width: int) -> None:
        self.names, self.width = names, width
        self.units, self.fields = _places(len(names), width)
        ones = sum(self.units)
        self.guard = ones << width - 1
        self.affine = width == 2  # degree 1 in every symbol: fields are single bits
        self._bits = sum(self.fields)
        self._powers = self._bits - ones

    @cached_property
    def _field(self) -> Field:
        return Field(self.names)

    def poly(self, terms: Iterable[tuple[Exponents, int]], order: tuple[int, ...]) -> Poly:
        """The polynomial from exponent tuples, whose entry `order[i]` is the exponent of `names[i]`."""
        pairs = tuple(zip(order, self.units, strict=True))
        return tuple(sorted(((sum([e[at] * u for at, u in pairs]), c) for e, c in terms), reverse=True))

    def exponents(self, monomial: int) -> Exponents:
        """The exponent of every name in a monomial."""
        return tuple((monomial & f) // u for f, u in zip(self.fields, self.units, strict=True))

    def repacked(self, p: Poly, other: Packing) -> Poly:
        """The polynomial in another packing of the same names."""
        pairs = tuple(zip(self.fields, self.units, other.units, strict=True))
        return tuple([(sum([(m & f) // u * v for f, u, v in pairs]), c) for m, c in p])

    # -- looking at monomials ----------------------------------------------------------------------

    def common(self, p: Poly) -> int:
        """The greatest monomial that divides every term."""
        common = p[0][0]
        for m, _ in p:
            common = self.shared(common, m)
            if not common:
                break
        return common

    def shared(self, m: int, n: int) -> int:
        """The greatest common monomial: the smaller exponent in every field, found in all at once."""
        if self.affine:
            return m & n
        at_least = ((m | self.guard) - n) & self.guard  # guard bits of the fields where m is not below n
        smaller_is_n = at_least - (at_least >> self.width - 1)
        return (n & smaller_is_n) | (m & self._bits & ~smaller_is_n)

    def is_affine(self, p: Poly) -> bool:
        """Whether no symbol has a power in any term."""
        return self.affine or not held_of(p) & self._powers

    def symbols(self, monomial: int) -> int:
        """How many symbols a monomial is written with."""
        return monomial.bit_count() if self.affine else sum(1 for f in self.fields if monomial & f)

    def stripped(self, p: Poly) -> tuple[int, int, Poly]:
        """The common number (with the sign of the first term), the common monomial, and what is left;
        nothing is left of a single term."""
        if len(p) == 1:
            return p[0][1], p[0][0], ()
        number = gcd(*[c for _, c in p])
        if p[0][1] < 0:
            number = -number
        monomial = self.common(p)
        if monomial or number != 1:
            p = tuple([(m - monomial, c // number) for m, c in p])
        return number, monomial, p

    def divided(self, q: Poly, by: Poly) -> Poly:
        """The terms t for which every term of t · `by` is a term of `q` (algebraic division)."""
        guard = self.guard
        first, lead = by[0]
        terms = dict(q)
        found = []
        for m, c in q:
            if ((m | guard) - first) & guard != guard or c % lead:
                continue
            step, k = m - first, c // lead
            if all(terms.get(step + n) == k * d for n, d in by):
                found.append((step, k))
        return tuple(found)

    def separate(self, q: Poly) -> tuple[Poly, ...]:
        """The terms of `q` in groups such that no symbol stands in two of them."""
        groups: list[int] = []
        for m, _ in q:
            spread = m if self.affine else sum(f for f in self.fields if m & f)
            for g in groups:
                if g & spread:
                    spread |= g
            groups = [*(g for g in groups if not g & spread), spread]
        if len(groups) == 1:
            return (q,)
        split = [tuple(t for t in q if t[0] & g) for g in groups]
        constant = tuple(t for t in q if not t[0])
        return tuple(sorted((g for g in (*split, constant) if g), reverse=True))

    # -- products ----------------------------------------------------------------------------------

    def product(self, q: Poly) -> tuple[Poly, ...]:
        """The factors of a stripped `q`, repeated by their powers; nothing when it is irreducible."""
        return self._disjoint_product(q) if self.affine else self._any_product(q)

    def _disjoint_product(self, q: Poly) -> tuple[Poly, ...]:
        """Of degree 1 in every symbol: factors hold different symbols, so that symbols x, y of different
        ones are spread independently over the n terms and their counts obey n(x, y) n = n(x) n(y).
        Symbols that disobey stay in one factor; what is then left apart is tried."""
        n = len(q)
        if n in _PRIMES:
            return ()
        held = held_of(q)
        apart = [u for u in self.units if u & held]
        monomials = [m for m, _ in q]
        having = {u: [m for m in monomials if m & u] for u in apart}
        reached = [apart.pop(0)]
        for x in reached:
            with_x = having[x]
            for y in tuple(apart):
                if len([m for m in with_x if m & y]) * n != len(with_x) * len(having[y]):
                    apart.remove(y)
                    reached.append(y)
        if not apart:
            return ()
        share, rest = sum(reached), sum(apart)
        first = q[0][0]
        one = tuple((m & share, c) for m, c in q if m & rest == first & rest)
        other = tuple((m & rest, c) for m, c in q if m & share == first & share)
        left, right, lead = dict(one), dict(other), q[0][1]
        if len(one) * len(other) != n or any(
            left.get(m & share, 0) * right.get(m & rest, 0) != lead * c for m, c in q
        ):
            return self._any_product(q)
        parts = (self.stripped(one)[2], self.stripped(other)[2])
        return tuple(factor for part in parts for factor in (self._disjoint_product(part) or (part,)))

    def _any_product(self, q: Poly) -> tuple[Poly, ...]:
        _, found = self._field.polynomial({self.exponents(m): c for m, c in q}).factors()
        if len(found) == 1 and found[0][1] == 1:
            return ()
        order = tuple(range(len(self.names)))
        parts = [(self.stripped(self.poly(f.terms(), order))[2], power) for f, power in found]
        return tuple(part for part, power in sorted(parts, reverse=True) for _ in range(power))


@lru_cache(maxsize=256)
def _places(count: int, width: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The exponent 1 of each of so many symbols, and the bits of its field, the first symbol's highest."""
    units = tuple([1 << at * width for at in reversed(range(count))])
    return units, tuple([unit * ((1 << width - 1) - 1) for unit in units])


def held_of(p: Poly) -> int:
    """One whole number with a bit set for every symbol that any term holds (and perhaps more than one)."""
    held = 0
    for m, _ in p:
        held |= m
    return held


def minus(p: Poly) -> Poly:
    """The polynomial with every sign reversed."""
    return tuple((m, -c) for m, c in p)


_PRIMES = frozenset(n for n in range(2, 2000) if all(n % k for k in range(2, int(n**0.5) + 1)))
