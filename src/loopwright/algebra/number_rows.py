"""Linear equations in numbers: the one answer, what stays open, and which equations contradict others.

The numbers are fractions, or whole numbers modulo the prime (`modular`), where nothing grows. Either way
the elimination is the library's (python-flint: the reduced echelon form of a matrix) and is only read here.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import Any, Generic, TypeVar

from flint import fmpq, fmpq_mat, nmod_mat

from .modular import PRIME

CONSTANT = ""  # the key under which a row holds what stands without an unknown

AnyNumber = TypeVar("AnyNumber", int, Fraction)
NumberRow = Mapping[str, Fraction]
ResidueRow = Mapping[str, int]


@dataclass(frozen=True, slots=True)
class _Kind(Generic[AnyNumber]):
    """A kind of number. `matrix`: the library's, from height, width and entries row by row. `negative`:
    the number that one of its entries turned negative is. `brought_in`: a sum as a number of the kind."""

    matrix: Callable[[int, int, Sequence[AnyNumber]], Any]
    negative: Callable[[Any], AnyNumber]
    brought_in: Callable[[AnyNumber], AnyNumber]
    zero: AnyNumber
    one: AnyNumber


_FRACTIONS: _Kind[Fraction] = _Kind(
    lambda height, width, xs: fmpq_mat(height, width, [fmpq(x.numerator, x.denominator) for x in xs]),
    lambda entry: Fraction(-int(entry.p), int(entry.q)),
    lambda total: total,
    Fraction(0),
    Fraction(1),
)
_RESIDUES: _Kind[int] = _Kind(
    lambda height, width, xs: nmod_mat(height, width, xs, PRIME),
    lambda entry: -int(entry) % PRIME,
    lambda total: total % PRIME,
    0,
    1,
)


@dataclass(frozen=True, slots=True)
class Answers(Generic[AnyNumber]):
    """All that satisfies some equations.

    `settled`: for each unknown that is not left open, the row of what it equals: a constant under
    `CONSTANT`, and multiples of open ones. `open`: the unknowns that may have any value; as far as can be
    these are the last, so that equal sets of answers compare as equal. `refused`: the positions of the
    equations that contradict those before them; all others are satisfied.
    """

    unknowns: tuple[str, ...]
    settled: Mapping[str, Mapping[str, AnyNumber]]
    refused: tuple[int, ...]
    kind: _Kind[AnyNumber] = field(repr=False, compare=False)

    @property
    def open(self) -> tuple[str, ...]:
        """The unknowns left open."""
        return tuple(n for n in self.unknowns if n not in self.settled)

    def at(self, free: Mapping[str, AnyNumber]) -> dict[str, AnyNumber]:
        """The answer in which the open unknowns have these values; none may be missing."""
        found: dict[str, AnyNumber] = {}
        for name in self.unknowns:
            if (row := self.settled.get(name)) is None:
                found[name] = free[name]
                continue
            total = self.kind.zero
            for n, x in row.items():
                total += x * free[n] if n else x
            found[name] = self.kind.brought_in(total)
        return found

    @property
    def base(self) -> Mapping[str, AnyNumber]:
        """The answer in which all open unknowns are 0."""
        return self.at(dict.fromkeys(self.open, self.kind.zero))

    @property
    def ways(self) -> tuple[Mapping[str, AnyNumber], ...]:
        """What can be added to `base` any number of times: for each open unknown, what one more of it
        changes."""
        return tuple(map(self._way, self.open))

    def _way(self, free: str) -> Mapping[str, AnyNumber]:
        found = {name: row.get(free, self.kind.zero) for name, row in self.settled.items()}
        return {n: found.get(n, self.kind.one if n == free else self.kind.zero) for n in self.unknowns}


def solve_number_rows(rows: Sequence[NumberRow], unknowns: Sequence[str]) -> Answers[Fraction]:
    """What satisfies the rows (each adds up to zero, its constant under `CONSTANT`), in fractions.

    Raises KeyError for a row with a name that is no unknown.
    Source: Gauss-Jordan elimination; any textbook of linear algebra.
    """
    return _answers(_FRACTIONS, rows, tuple(unknowns))


def solve_residue_rows(rows: Sequence[ResidueRow], unknowns: Sequence[str]) -> Answers[int]:
    """The same modulo the prime: rows of any whole numbers, answers from 0 up to the prime."""
    return _answers(_RESIDUES, rows, tuple(unknowns))


def rows_for_multipliers(
    wanted: Mapping[str, AnyNumber], rows: Sequence[Mapping[str, AnyNumber]]
) -> tuple[list[dict[str, AnyNumber]], tuple[str, ...]]:
    """The equations for the multipliers with which `rows` add up to `wanted`, and the multipliers' names.

    A multiplier that these leave open belongs to a row that is a combination of those before it.
    """
    names = tuple(map(str, range(len(rows))))
    found: dict[str, dict[str, AnyNumber]] = {n: {CONSTANT: -x} for n, x in wanted.items()}
    for name, row in zip(names, rows, strict=True):
        for n, x in row.items():
            found.setdefault(n, {})[name] = x
    return list(found.values()), names


def _answers(
    kind: _Kind[AnyNumber], rows: Sequence[Mapping[str, AnyNumber]], unknowns: tuple[str, ...]
) -> Answers[AnyNumber]:
    width, names = len(unknowns), (*unknowns, CONSTANT)
    column = {name: j for j, name in enumerate(names)}
    lines = [[kind.zero] * (width + 1) for _ in rows]
    for line, row in zip(lines, rows, strict=True):
        for name, x in row.items():
            line[column[name]] = x
    leads = _echelon(kind.matrix(len(lines), width + 1, [x for line in lines for x in line]))
    contradictory = width in leads
    if contradictory:  # kept are the rows whose coefficients bring something new
        across = [line[j] for j in range(width) for line in lines]
        kept = _echelon(kind.matrix(width, len(lines), across))
        leads = _echelon(kind.matrix(len(kept), width + 1, [x for i in kept for x in lines[i]]))
    settled = {
        unknowns[lead]: {names[j]: kind.negative(x) for j, x in enumerate(row) if j > lead and x}
        for lead, row in leads.items()
    }
    answers = Answers(unknowns, settled, (), kind)
    if not contradictory:
        return answers
    base = {**answers.base, CONSTANT: kind.one}
    off = (kind.brought_in(sum((x * base[n] for n, x in row.items()), kind.zero)) for row in rows)
    return replace(answers, refused=tuple(i for i, x in enumerate(off) if x))


def _echelon(matrix: Any) -> dict[int, list[Any]]:
    """The rows of the reduced echelon form by the columns at which they begin."""
    reduced, rank = matrix.rref()
    width, entries = matrix.ncols(), reduced.entries()
    rows = [entries[i * width : (i + 1) * width] for i in range(rank)]
    return {next(j for j, x in enumerate(row) if x): row for row in rows}
