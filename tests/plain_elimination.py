"""Gauss's elimination as in any textbook, in fractions of polynomials: unrelated to the program's ways."""

from __future__ import annotations

from collections.abc import Sequence

from loopwright.algebra.linear import Linear
from loopwright.algebra.ratios import Ratio


def solve_linear(rows: Sequence[Linear], unknowns: Sequence[str]) -> dict[str, Ratio] | None:
    """The one solution of the rows for all `unknowns`, or None where there is none or more than one."""
    kept: list[tuple[Linear, str]] = []
    for row in rows:
        for above, pivot in kept:
            if pivot in row.coefficients:
                row = row - above * row.coefficients[pivot]
        pivot_name = min(
            (n for n in unknowns if n in row.coefficients),
            key=lambda n: len(row.coefficients[n].terms()),
            default=None,
        )
        if pivot_name is None:
            if row.constant:
                return None
            continue
        kept.append((row * (1 / row.coefficients[pivot_name]), pivot_name))
    if len(kept) < len(unknowns):
        return None
    values: dict[str, Ratio] = {}
    for row, pivot in reversed(kept):
        total = -row.constant
        for name, c in row.coefficients.items():
            if name != pivot:
                total = total - c * values[name]
        values[pivot] = total
    return values
