"""Linear equations in exact numbers: the one answer, what stays open, or a contradiction."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from flint import fmpq, fmpq_mat

CONSTANT = ""  # the key under which a row holds what stands without an unknown

NumberRow = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class Answers:
    """All that satisfies the equations: `base`, and any multiple of each of `ways` added to it.

    Without `ways` there is one answer. `base` has 0 for each unknown that is left free; both are
    canonical (from the reduced echelon form), so that equal sets of answers compare as equal.
    """

    base: Mapping[str, Fraction]
    ways: tuple[Mapping[str, Fraction], ...] = ()

    def fixed(self) -> dict[str, Fraction]:
        """The unknowns that have one value in all answers."""
        return {n: v for n, v in self.base.items() if not any(way[n] for way in self.ways)}


def solve_number_rows(rows: Sequence[NumberRow], unknowns: Sequence[str]) -> Answers | None:
    """What satisfies the rows (each adds up to zero, its constant under `CONSTANT`); None where they
    contradict one another. Raises KeyError for a row with a name that is no unknown.

    Source: Gauss-Jordan elimination over the rational numbers.
    """
    width = len(unknowns)
    column = {name: i for i, name in enumerate(unknowns)}
    column[CONSTANT] = width
    entries = [fmpq(0)] * (len(rows) * (width + 1))
    for i, row in enumerate(rows):
        for name, value in row.items():
            at = i * (width + 1) + column[name]
            entries[at] += fmpq(value.numerator, value.denominator)
    reduced, rank = fmpq_mat(len(rows), width + 1, entries).rref()
    base = dict.fromkeys(unknowns, Fraction(0))
    lead: dict[int, int] = {}
    for i in range(rank):
        pivot = next(j for j in range(width + 1) if reduced[i, j] != 0)
        if pivot == width:
            return None
        lead[pivot] = i
        base[unknowns[pivot]] = -_fraction(reduced[i, width])
    ways = tuple(
        {
            name: Fraction(int(j == free)) if j not in lead else -_fraction(reduced[lead[j], free])
            for j, name in enumerate(unknowns)
        }
        for free in range(width)
        if free not in lead
    )
    return Answers(base, ways)


def _fraction(value: fmpq) -> Fraction:
    return Fraction(int(value.p), int(value.q))
