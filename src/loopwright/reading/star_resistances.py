"""The resistances of a star that stands for three resistors in a triangle: each is the product of the two
that meet at its point over the sum of the three. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Expr, Product, Quotient, Sum, Symbol, numbers_in
from ..expressions.values import symbols_of
from .truth.rounding import lone

MOST = 12  # resistors alone in their branches among which triangles are looked for


@dataclass(frozen=True, slots=True)
class Triangle:
    """Three resistors in a triangle: at each of its points the two that meet there."""

    resistors: tuple[str, ...]
    meeting: dict[str, tuple[str, str]]

    def star(self, point: str) -> Expr:
        """What the star has at one of the points."""
        one, other = map(Symbol, self.meeting[point])
        return Quotient(Product((one, other)), Sum(tuple(map(Symbol, self.resistors))))


def star_resistance(circuit: Circuit, name: str, given: Expr) -> Expr | None:
    """What a resistance called after a point must be, where the working gives it as a product over the sum
    of three resistors in a triangle; None for any other."""
    if not isinstance(given, Quotient):
        return None
    mark = name[1:].lstrip("_").casefold()
    for triangle in _triangles(circuit):
        point = next((p for p in triangle.meeting if p.casefold() == mark), "")
        if point and _is_sum(circuit, given.below, triangle.resistors):
            return triangle.star(point)
    return None


def _is_sum(circuit: Circuit, below: Expr, resistors: tuple[str, ...]) -> bool:
    """Whether what stands below a line is the sum of three resistors, in letters or in numbers."""
    if names := symbols_of(below):
        return isinstance(below, Sum) and set(names) == set(resistors) and len(below.terms) == len(resistors)
    total = sum((circuit.numbers.get(n, Fraction(0)) for n in resistors), Fraction(0))
    own = lone(below)
    worth = own.value if own is not None else sum((n.value for n in numbers_in(below)), Fraction(0))
    return bool(total) and (own is not None or isinstance(below, Sum)) and worth in (total, total / 1000)


def _triangles(circuit: Circuit) -> Iterator[Triangle]:
    ends = {
        b.passes[0].element: (b.start, b.end)
        for b in circuit.branches
        if len(b.passes) == 1 and circuit.elements[b.passes[0].element].kind is Kind.RESISTOR
    }
    for three in combinations(list(ends)[:MOST], 3):
        points = {p for n in three for p in ends[n]}
        met = {p: tuple(n for n in three if p in ends[n]) for p in points}
        if len(points) == 3 and all(len(own) == 2 for own in met.values()):
            yield Triangle(three, {p: (own[0], own[1]) for p, own in met.items()})
