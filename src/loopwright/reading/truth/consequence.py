"""What follows from what: the rows written so far, and whether a claim holds wherever they all hold.

A claim follows from linear rows when it vanishes on the whole set of their solutions. That is decided
at random points of this set modulo a prime, in two samples (Schwartz, J. ACM 27, 701, 1980), and for
linear claims once more exactly. It says how lines hang together; whether a line is true is decided
elsewhere, and exactly.
"""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations

from ...algebra.linear import Linear, echelon, follows
from ...algebra.modular import PRIME, modular
from ...algebra.number_rows import CONSTANT, rows_for_multipliers, solve_number_rows, solve_residue_rows
from ...algebra.ratios import Ratio
from ..verdicts import How
from .meaning import Meanings
from .which_law import Sample

SampleValues = dict[str, int]  # of unknowns modulo the prime; of a row, as `number_rows` has it
NEAREST = 9  # lines above among which pairs are tried
WINDOW = 30  # lines above that are all looked at; of those further up only what says something new
MOST_UNTRUE = 8  # untrue lines further up that are looked at


@dataclass(frozen=True, slots=True)
class ClaimRow:
    """One linear claim as a row of coefficients.

    `line`: the number of its line (0 for what holds along a branch). `linear`: exactly; `samples`: the same
    with random values for the symbols, modulo a prime, once for each sample. `true`: whether it is true of
    the circuit; `law`: whether it is one of its laws.
    """

    line: int
    linear: Linear
    samples: tuple[SampleValues, ...]
    true: bool
    law: bool = False


class Rows:
    """The linear claims written so far in one view, and what follows from sets of them."""

    def __init__(self, meanings: Meanings, samples: Sequence[Sample]) -> None:
        self.meanings, self.samples = meanings, samples
        self.rows: list[ClaimRow] = []
        self._told: list[int] = []  # places of the true rows that are no combination of those before them
        self._untrue: list[int] = []  # places of the first untrue ones
        self._point: SampleValues | None = None  # a random solution of the rows told

    def add(self, line: int, linear: Linear, true: bool, law: bool) -> ClaimRow:
        """Adds a claim to those that later ones may follow from."""
        row = replace(self.row(line, linear, true), law=law)
        if true and self._is_new(row):
            self._told.append(len(self.rows))
            self._point = None
        elif not true and len(self._untrue) < MOST_UNTRUE:
            self._untrue.append(len(self.rows))
        self.rows.append(row)
        return row

    def _is_new(self, row: ClaimRow) -> bool:
        """Whether a true row says more than all true rows before it."""
        if len(self._told) >= len(self.meanings.unknowns):
            return False
        if self._point is None:
            self._point = self.point([self.rows[i].samples[0] for i in self._told], 0)
        at = {**(self._point or {}), "": 1}
        return sum(x * at[n] for n, x in row.samples[0].items()) % PRIME != 0

    @property
    def near(self) -> tuple[ClaimRow, ...]:
        """The rows just above, and of those further up as many as say all that these say, in order: no more
        of them in a long working than in a short one."""
        start = max(len(self.rows) - WINDOW, 0)
        further = sorted(i for i in (*self._told, *self._untrue) if i < start)
        return (*(self.rows[i] for i in further), *self.rows[start:])

    def row(self, line: int, linear: Linear, true: bool = True) -> ClaimRow:
        """A claim as a row, without adding it."""
        parts = {**linear.coefficients, "": linear.constant}
        sampled = tuple({n: sample.of(r) for n, r in parts.items()} for sample in self.samples)
        return ClaimRow(line, linear, sampled, true)

    def support(self, target: WantedRow, rows: Sequence[ClaimRow]) -> tuple[ClaimRow, ...] | None:
        """Some of these rows from which the target follows, as few as can be found: one, or two near the
        end, or else a set from which none can be left out. None where it does not follow from all
        together."""
        if not self._follows(target, rows):
            return None
        unknowns = set(target.difference.held()).intersection(self.meanings.unknowns)
        for row in reversed(rows):
            held = row.linear.coefficients.keys()  # one row alone gives a linear claim in its own unknowns
            speaks = held == unknowns if target.linear is not None else held >= unknowns
            if speaks and self._follows(target, (row,)):
                return (row,)
        for one, other in combinations(list(reversed(rows))[:NEAREST], 2):
            speaks = unknowns.issubset({*one.linear.coefficients, *other.linear.coefficients})
            if speaks and self._follows(target, (other, one)):
                return (other, one)
        kept = list(rows)
        for row in rows:
            fewer = [r for r in kept if r is not row]
            if self._follows(target, fewer):
                kept = fewer
        return tuple(kept)

    def _follows(self, target: WantedRow, rows: Sequence[ClaimRow]) -> bool:
        for at, sample in enumerate(self.samples):
            point = self.point([row.samples[at] for row in rows], at)
            if point is None or target.at(sample, point):
                return False
        if target.linear is None or not all(row.true for row in rows):
            return True
        return follows(target.linear, echelon([row.linear for row in rows], self.meanings.unknowns))

    def point(self, rows: Iterable[SampleValues], seed: int) -> SampleValues | None:
        """A random solution of the rows in one sample: a value modulo the prime for every unknown; None
        where the rows contradict one another. What holds there holds wherever the rows do, but for a chance
        near one in 10^18."""
        found = solve_residue_rows(list(rows), self.meanings.unknowns)
        if found.refused:
            return None
        chance = random.Random(seed + 17)
        return found.at({n: chance.randrange(PRIME) for n in self.meanings.unknowns})

    def fixed(self, ratios: Sequence[Ratio], rows: Sequence[ClaimRow]) -> list[Fraction] | None:
        """The numbers that the rows give some ratios, for rows and ratios without symbols; None where the
        rows contradict one another, or leave one of the ratios open."""
        parts = [{**row.linear.coefficients, CONSTANT: row.linear.constant} for row in rows]
        numbers = [{n: r.constant() or Fraction(0) for n, r in part.items()} for part in parts]
        answers = solve_number_rows(numbers, self.meanings.unknowns)
        if answers.refused:
            return None
        found: list[list[Fraction]] = []
        for free in (Fraction(17, 5), Fraction(29, 7)):  # what differs between them is left open
            point = answers.at({n: free + at for at, n in enumerate(answers.open)})
            try:
                found.append([ratio.value(point) for ratio in ratios])
            except ArithmeticError:
                return None
        return found[0] if found[0] == found[1] else None

    def consistent(self, rows: Sequence[ClaimRow]) -> bool:
        """Whether the rows have a common solution."""
        return self.point([row.samples[0] for row in rows], 0) is not None


@dataclass(frozen=True, slots=True)
class WantedRow:
    """What is to be shown to follow from rows: that `difference` (left minus right of a claim) is 0 or, for
    a rounded claim, that it comes to what was rounded away, `beside`. `linear`: the claim as a linear
    equation, where it is one."""

    difference: Ratio
    linear: Linear | None
    beside: Fraction = Fraction(0)

    def at(self, sample: Sample, point: Mapping[str, int]) -> bool:
        """Whether the claim FAILS at a point of a sample, so that it does not follow from rows that hold
        there."""
        try:
            value = modular(self.difference, {**sample.values, **point})
        except ValueError:  # its denominator vanishes there
            return True
        wanted = self.beside.numerator * pow(self.beside.denominator, -1, PRIME)
        return (value - wanted) % PRIME != 0


def how(target: ClaimRow | None, used: Sequence[ClaimRow]) -> How:
    """In which simple way a claim follows from the rows used."""
    if target is None or len(used) > 2 or (len(used) == 2 and used[0].line == used[1].line):
        return How.COMBINATION
    if len(used) == 1:
        return How.MULTIPLE
    shares = []
    for at, wanted in enumerate(target.samples):
        one, other = used[0].samples[at], used[1].samples[at]
        found = _share(wanted, one, other)
        if found is None:
            return How.COMBINATION
        shares.append(found)
    if all(a == b for a, b in shares):
        return How.SUM
    if all((a + b) % PRIME == 0 for a, b in shares):
        return How.DIFFERENCE
    gone = [
        n
        for n in used[0].linear.coefficients
        if n in used[1].linear.coefficients and n not in target.linear.coefficients
    ]
    simple = any(_is_one(row.linear.coefficients[n]) for n in gone for row in used)
    return How.SUBSTITUTION if simple else How.COMBINATION


def _is_one(ratio: Ratio) -> bool:
    return ratio.constant() in (1, -1)


def _share(wanted: SampleValues, one: SampleValues, other: SampleValues) -> tuple[int, int] | None:
    """The multipliers x and y with which x `one` + y `other` = `wanted`, modulo the prime, as two columns
    tell it; None where the two rows are multiples of one another."""
    rows, names = rows_for_multipliers(wanted, (one, other))
    found = solve_residue_rows(rows, names)
    if found.open:
        return None
    first, second = (found.base[name] for name in names)
    return first, second
