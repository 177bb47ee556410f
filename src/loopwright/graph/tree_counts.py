"""How many spanning trees a network has, before any is written down: the determinant of its Laplacian.

Source: the matrix-tree theorem; G. Kirchhoff 1847, N. Biggs, Algebraic Graph Theory, chapter 6 (from
memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from math import log10

from flint import fmpz_mat


def told_count(count: int) -> str:
    """A count for a sentence: in full, or where nobody would read it, to the power of ten."""
    return f"{count:,}" if count < 10**15 else f"about 10^{round((count.bit_length() - 1) * log10(2))}"


def counted_trees(points: int, lines: Iterable[tuple[int, int, int]]) -> int:
    """The sum over the spanning trees of the product of the weights of their lines: with weight 1 for
    each, their number. `lines`: the two points, numbered from 0, and a whole number. Exact."""
    size = points - 1  # the first point is struck out
    entries = [[0] * size for _ in range(size)]
    for start, end, weight in lines:
        i, j = start - 1, end - 1
        if i == j:
            continue
        for k in (i, j):
            if k >= 0:
                entries[k][k] += weight
        if i >= 0 and j >= 0:
            entries[i][j] -= weight
            entries[j][i] -= weight
    return int(fmpz_mat(entries).det()) if size > 0 else 1
