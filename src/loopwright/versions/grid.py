"""All choices of values as one grid of whole numbers, and polynomials evaluated on it block by block.

Every value of a symbol is a whole number of the symbol's own step (the largest of which all its choices are
multiples), so that closed forms become quotients of polynomials with whole coefficients in whole numbers. The
grid has an inner side, small enough to be held as one array, and an outer side, walked in a seeded order; a
polynomial is a short sum of outer parts times inner products, and the outer parts are worked once a row.
Numbers are 64-bit where a bound worked beforehand proves that they fit, and Python's own otherwise.
"""

from __future__ import annotations

import random
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import gcd, lcm, prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from ..algebra.ratios import Exponents, Ratio
from ..circuit.value_choices import ValueChoice

Numbers = NDArray[Any]  # of 64-bit whole numbers, or of Python's own
INNER = 4096  # candidates of the inner side, at most
BLOCK = 1 << 18  # candidates evaluated at once, about
SAFE = 1 << 62  # what a 64-bit number may reach, with room for one addition


@dataclass(frozen=True)
class GridPolynomial:
    """A polynomial with whole coefficients in the whole numbers of a grid: exponents (in the order of the
    grid's names) and coefficients. `bound`: its size is nowhere on the grid above this; `positive`: it is
    above 0 everywhere, as all coefficients are."""

    terms: tuple[tuple[Exponents, int], ...]
    bound: int
    positive: bool

    @cached_property
    def holds(self) -> frozenset[int]:
        """The positions of the names that it holds."""
        return frozenset(at for exponents, _ in self.terms for at, e in enumerate(exponents) if e)


@dataclass(frozen=True, slots=True)
class WholeRatio:
    """A closed form on the grid: one polynomial over another, nothing cancelled between values."""

    above: GridPolynomial
    below: GridPolynomial


@dataclass(frozen=True, slots=True)
class Places:
    """Candidates of a block: positions of rows and of columns, side by side."""

    rows: NDArray[np.int64]
    columns: NDArray[np.int64]

    def kept(self, which: NDArray[np.bool_]) -> Places:
        """Those for which `which` is true."""
        return Places(self.rows[which], self.columns[which])


class ChoiceGrid:
    """The grid of all choices. `choices`: by symbol; `fixed`: the numbers of the other symbols; `seed`: the
    order in which it is walked."""

    def __init__(
        self, choices: Mapping[str, Sequence[ValueChoice]], fixed: Mapping[str, Fraction], seed: int
    ) -> None:
        chance = random.Random(seed)
        self.names = tuple(choices)
        self.choices = tuple(tuple(chance.sample(list(c), len(c))) for c in choices.values())
        self.fixed = dict(fixed)
        self.steps = tuple(_step([c.value for c in column]) for column in self.choices)
        self.numbers = tuple(
            [int(c.value / step) for c in column]
            for column, step in zip(self.choices, self.steps, strict=True)
        )
        self.greatest = tuple(max(map(abs, numbers)) for numbers in self.numbers)
        self.inner = self._inner_side()
        self.outer = tuple(at for at in range(len(self.names)) if at not in self.inner)
        self.columns = prod(len(self.choices[at]) for at in self.inner)
        self.rows = prod(len(self.choices[at]) for at in self.outer)
        self.size = self.rows * self.columns
        self._stride, self._start = _walk(self.rows, chance.randrange(self.rows), chance.randrange(self.rows))
        self._inner_digits = _digits(np.arange(self.columns), [len(self.choices[at]) for at in self.inner])
        self._inner_products: dict[tuple[Exponents, bool], Numbers] = {}
        self._polynomials: dict[tuple[tuple[Exponents, int], ...], GridPolynomial] = {}

    def _inner_side(self) -> tuple[int, ...]:
        """The positions of the names on the inner side: the first ones (sources stand first among a
        circuit's symbols, and closed forms are linear in them), as many as there is room for."""
        found: list[int] = []
        for at, column in enumerate(self.choices):
            if prod(len(self.choices[i]) for i in found) * len(column) <= INNER:
                found.append(at)
            elif found:
                break
        return tuple(found)

    # -- closed forms ----------------------------------------------------------------------------

    def ratio(self, value: Ratio, scale: Fraction = Fraction(1)) -> WholeRatio:
        """A closed form times `scale`, as whole polynomials of the grid."""
        above = self._terms(value, below=False)
        below = self._terms(value, below=True)
        common = lcm(*(c.denominator for c in (*above.values(), *below.values())))
        common *= scale.denominator
        over = {e: int(c * common * scale) for e, c in above.items()}
        under = {e: int(c * common) for e, c in below.items()}
        shared = gcd(*over.values(), *under.values()) or 1
        if all(c < 0 for c in under.values()):
            shared = -shared
        return WholeRatio(self.polynomial(over, shared), self.polynomial(under, shared))

    def _terms(self, value: Ratio, *, below: bool) -> dict[Exponents, Fraction]:
        found: dict[Exponents, Fraction] = {}
        place = {name: at for at, name in enumerate(value.field.symbols)}
        varied = [place.get(name, -1) for name in self.names]
        # what a symbol brings in besides its power: its number, or its step
        worth = [self.fixed.get(name, Fraction(1)) for name in place]
        for name, step in zip(self.names, self.steps, strict=True):
            if name in place:
                worth[place[name]] = step
        bringing = [(at, factor) for at, factor in enumerate(worth) if factor != 1]
        for powers, coefficient in value.terms(below=below):
            amount = Fraction(coefficient)
            for at, factor in bringing:
                if powers[at]:
                    amount *= factor ** powers[at]
            exponents = tuple(powers[at] if at >= 0 else 0 for at in varied)
            found[exponents] = found[exponents] + amount if exponents in found else amount
        return found

    def polynomial(self, terms: Mapping[Exponents, int], over: int = 1) -> GridPolynomial:
        """The polynomial with these whole coefficients, each divided by `over`, which divides them all; the
        same object each time, so that a block works it once."""
        kept = tuple(sorted((e, c // over) for e, c in terms.items() if c))
        if kept in self._polynomials:
            return self._polynomials[kept]
        bound = sum(abs(c) * prod(g**p for g, p in zip(self.greatest, e, strict=True) if p) for e, c in kept)
        made = GridPolynomial(kept, bound, bool(kept) and all(c > 0 for _, c in kept))
        return self._polynomials.setdefault(kept, made)

    # -- walking ---------------------------------------------------------------------------------

    def row_numbers(self, first: int, count: int) -> list[int]:
        """Which rows are the ones from `first` on in the seeded order."""
        return [(self._stride * n + self._start) % self.rows for n in range(first, first + count)]

    @property
    def rows_at_once(self) -> int:
        """How many rows make a block."""
        return max(1, BLOCK // self.columns)

    def chosen(self, row: int, column: int) -> dict[str, ValueChoice]:
        """The values at one place, by symbol."""
        found: dict[int, int] = {}
        for side, number in ((self.outer, row), (self.inner, column)):
            for at in reversed(side):
                number, digit = divmod(number, len(self.choices[at]))
                found[at] = digit
        return {name: self.choices[at][found[at]] for at, name in enumerate(self.names)}

    def inner_product(self, exponents: Exponents, plain: bool) -> Numbers:
        """The product of the inner names with these exponents at every column."""
        key = (exponents, plain)
        if key not in self._inner_products:
            powers = {at: exponents[at] for at in self.inner}
            columns = self.numbers_at(self.inner, self._inner_digits, plain)
            self._inner_products[key] = self._product(self.inner, columns, powers, self.columns)
        return self._inner_products[key]

    def _product(
        self, side: Sequence[int], columns: Sequence[Numbers], powers: Mapping[int, int], length: int
    ) -> Numbers:
        """The product of the names of a side with these exponents; `columns`: their numbers."""
        found: Numbers | None = None
        for at, numbers in zip(side, columns, strict=True):
            for _ in range(powers.get(at, 0)):
                found = numbers if found is None else found * numbers
        return np.ones(length, dtype=np.int64) if found is None else found

    def numbers_at(self, side: Sequence[int], digits: Sequence[Numbers], plain: bool) -> list[Numbers]:
        """The numbers of the names of a side at these digits."""
        kind = np.int64 if plain else object
        return [np.array(self.numbers[at], dtype=kind)[d] for at, d in zip(side, digits, strict=True)]

    def block(self, rows: Sequence[int]) -> GridBlock:
        """The block of these rows and all columns."""
        return GridBlock(self, rows)


class GridBlock:
    """Some rows of the grid with all columns, and the polynomials worked there so far."""

    def __init__(self, grid: ChoiceGrid, rows: Sequence[int]) -> None:
        self.grid, self.rows = grid, list(rows)
        wide = grid.rows >= SAFE
        numbers = np.array(self.rows, dtype=object if wide else np.int64)
        self._digits = _digits(numbers, [len(grid.choices[at]) for at in grid.outer])
        self._numbers: dict[bool, list[Numbers]] = {}
        self._outer_parts: dict[tuple[int, bool], list[tuple[Numbers, Numbers | None]]] = {}

    def everywhere(self, polynomial: GridPolynomial, plain: bool) -> Numbers:
        """Its values: rows by columns, or one row or one column where that says it all."""
        total: Numbers | None = None
        for outer, inner in self._parts(polynomial, plain):
            part = outer[:, None] if inner is None else outer[:, None] * inner[None, :]
            total = part if total is None else total + part
        return np.zeros((1, 1), dtype=np.int64) if total is None else total

    def at(self, polynomial: GridPolynomial, places: Places, plain: bool) -> Numbers:
        """Its values at these places."""
        total: Numbers = np.zeros(len(places.rows), dtype=np.int64 if plain else object)
        for outer, inner in self._parts(polynomial, plain):
            part = outer[places.rows]
            total = total + (part if inner is None else part * inner[places.columns])
        return total

    def _parts(self, polynomial: GridPolynomial, plain: bool) -> list[tuple[Numbers, Numbers | None]]:
        """Outer values beside inner products (None: 1), which multiplied and added up are the polynomial."""
        key = (id(polynomial), plain)
        if key in self._outer_parts:
            return self._outer_parts[key]
        grid = self.grid
        gathered: dict[Exponents, Numbers] = {}
        for exponents, coefficient in polynomial.terms:
            inside = tuple(e if at in grid.inner else 0 for at, e in enumerate(exponents))
            powers = {at: exponents[at] for at in grid.outer}
            term = self._outer(powers, plain) * coefficient
            gathered[inside] = gathered[inside] + term if inside in gathered else term
        found = [
            (outer, grid.inner_product(inside, plain) if any(inside) else None)
            for inside, outer in gathered.items()
        ]
        self._outer_parts[key] = found
        return found

    def _outer(self, powers: Mapping[int, int], plain: bool) -> Numbers:
        if plain not in self._numbers:
            self._numbers[plain] = self.grid.numbers_at(self.grid.outer, self._digits, plain)
        return self.grid._product(self.grid.outer, self._numbers[plain], powers, len(self.rows))


def _step(values: Sequence[Fraction]) -> Fraction:
    """The largest step of which all values are whole multiples."""
    common = lcm(*(v.denominator for v in values))
    return Fraction(gcd(*(int(v * common) for v in values)), common)


def _walk(rows: int, shuffled: int, start: int) -> tuple[int, int]:
    """Stride, near to `shuffled`, and start of a walk that meets every row once."""
    stride = shuffled | 1
    while gcd(stride, rows) != 1:
        stride += 2 if rows % 2 == 0 else 1
    return stride, start


def _digits(numbers: Numbers, sizes: Sequence[int]) -> list[NDArray[np.int64]]:
    """Each number as digits, the last one running fastest."""
    found: list[NDArray[np.int64]] = []
    for size in reversed(sizes):
        numbers, digit = numbers // size, numbers % size
        found.append(digit.astype(np.int64))
    return found[::-1]
