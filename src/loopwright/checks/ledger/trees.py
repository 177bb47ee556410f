"""Spanning trees counted by whole-number arithmetic: the matrix-tree theorem.

Unrelated to the routes that give the closed forms. Stands on `circuit` alone: what hangs together is
found here once more, since the closed forms rest on `graph.connections` and a check shares nothing with them.
Source: Kirchhoff 1847; any textbook of graph theory (e.g. Biggs, Algebraic Graph Theory, ch. 6,
from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from fractions import Fraction
from math import prod

from flint import fmpq, fmpq_mat

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit


def weighted_trees(circuit: Circuit, values: Mapping[str, int] | None = None) -> Fraction:
    """The sum over spanning trees of the product of the resistances not in the tree.

    `values`: whole numbers for the symbols, by default 1 for each: then, with a symbol of its own on
    every resistance, the sum is the number of terms of the determinant. Branches that fix their
    current are left out; branches without resistance are in every tree.
    """
    numbers = values or dict.fromkeys(circuit.field.symbols, 1)
    free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
    weights = {b.name: _value(circuit.resistance(b.name), numbers) for b in free}
    at = _made_one(circuit.points, [(b.start, b.end) for b in free if not weights[b.name]])
    linked = [(at[b.start], at[b.end], weights[b.name]) for b in free if weights[b.name]]
    part = _made_one(sorted(set(at.values())), [(start, end) for start, end, _ in linked])
    total = prod((weight for _, _, weight in linked), start=Fraction(1))
    for root in sorted(set(part.values())):
        points = [p for p in part if part[p] == root]
        total *= _laplacian_determinant(points, [e for e in linked if e[0] in points])
    return total


def _value(ratio: Ratio, numbers: Mapping[str, int]) -> Fraction:
    above, below = (
        sum(
            c * prod(numbers[n] ** e for n, e in zip(ratio.field.symbols, es, strict=False) if e)
            for es, c in terms
        )
        for terms in (ratio.terms(), ratio.terms(below=True))
    )
    return Fraction(above, below)


def _made_one(points: Iterable[str], pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """For each point the one that stands for all that the pairs join it to."""
    group = {p: p for p in points}
    for start, end in pairs:
        one, other = group[start], group[end]
        group = {p: one if at == other else at for p, at in group.items()}
    return group


def _laplacian_determinant(points: list[str], edges: list[tuple[str, str, Fraction]]) -> Fraction:
    """The determinant of the Laplacian (conductances as weights) with its first point struck out."""
    row = {p: i - 1 for i, p in enumerate(points)}
    size = len(points) - 1
    matrix = fmpq_mat(size, size)
    for start, end, weight in edges:
        i, j, g = row[start], row[end], fmpq(weight.denominator, weight.numerator)
        for at, other in ((i, j), (j, i)):
            if start != end and at >= 0:
                matrix[at, at] += g
                if other >= 0:
                    matrix[at, other] -= g
    found = matrix.det()
    return Fraction(int(found.p), int(found.q))
