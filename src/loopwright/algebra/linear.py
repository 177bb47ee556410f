"""Linear equations in unknowns with exact ratios as coefficients, and what can be said of sets of them.

Knows no circuits and no text. Elimination is the plain one over the field of fractions: every
intermediate ratio stays in lowest terms, which for the sizes worked by hand keeps them small.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from flint import fmpz_mpoly

from .common_form import over_one_denominator
from .ratios import Field, Ratio

# Measured 2026-11: with 10 000 the judge takes 2 s for five points all joined, minutes without; looking
# for what is shared in smaller rows as well took five times as long on a prism.
LARGE = 10_000  # terms: larger rows are divided by what their entries share


@dataclass(frozen=True)
class Linear:
    """One linear equation: the sum of coefficient × unknown, plus the constant, is 0.

    `coefficients`: by the name of the unknown, zeros left out. Also used for a linear expression, where a
    caller says so. Never changed once made.
    """

    coefficients: Mapping[str, Ratio]
    constant: Ratio

    @staticmethod
    def of(coefficients: Mapping[str, Ratio], constant: Ratio) -> Linear:
        """The equation with its zero coefficients dropped."""
        return Linear({name: c for name, c in coefficients.items() if c}, constant)

    @cached_property
    def field(self) -> Field:
        """The field of the coefficients."""
        return self.constant.field

    @cached_property
    def whole(self) -> Mapping[str, fmpz_mpoly]:
        """The same equation times its common denominator: a polynomial for each unknown, the constant term
        under the empty name; zeros are left out."""
        constant = {"": self.constant} if self.constant else {}
        return over_one_denominator(self.field, {**self.coefficients, **constant})[0]

    def __add__(self, other: Linear) -> Linear:
        total = dict(self.coefficients)
        for name, c in other.coefficients.items():
            total[name] = total[name] + c if name in total else c
        return Linear.of(total, self.constant + other.constant)

    def __mul__(self, factor: Ratio | int) -> Linear:
        return Linear.of({n: c * factor for n, c in self.coefficients.items()}, self.constant * factor)

    def __sub__(self, other: Linear) -> Linear:
        return self + other * -1

    def __bool__(self) -> bool:
        return bool(self.coefficients) or bool(self.constant)

    def put(self, unknown: str, value: Linear) -> Linear:
        """The equation with a linear expression `value` written in the place of `unknown`; itself where it
        does not hold the unknown."""
        factor = self.coefficients.get(unknown)
        if factor is None:
            return self
        rest = {n: c for n, c in self.coefficients.items() if n != unknown}
        return Linear(rest, self.constant) + value * factor

    def without(self, unknown: str, other: Linear) -> Linear:
        """This equation with `unknown` eliminated by means of `other`, which must hold it too.

        Each is multiplied by the coefficient that the unknown has in the other, and the one is subtracted.
        What comes out has polynomials without a common factor as coefficients, so that it can be written
        without fractions. Where the unknown's coefficient in `other` is negative both are turned round
        first: the terms of this equation keep their signs. Raises KeyError where one of the two lacks the
        unknown.
        """
        mine, theirs = self.whole, other.whole
        by, lead = mine[unknown], theirs[unknown]
        if int(lead.coefficient(0)) < 0:
            by, lead = -by, -lead
        parts = {name: part * lead for name, part in mine.items() if name != unknown}
        for name, part in theirs.items():
            if name != unknown:
                parts[name] = parts[name] - part * by if name in parts else -part * by
        parts = {name: part for name, part in parts.items() if not part.is_zero()}
        one = self.field.one.above
        common = self.field.zero.above
        for part in sorted(parts.values(), key=len):
            common = common.gcd(part)
            if common.is_one():
                break
        shorter = parts if common.is_one() else {n: part // common for n, part in parts.items()}
        found = {n: Ratio(self.field, part, one, reduced=True) for n, part in shorter.items()}
        constant = found.pop("", self.field.zero)
        return Linear(found, constant)

    def solved_for(self, unknown: str) -> Linear:
        """The linear expression that `unknown` equals by this equation; KeyError if it is not in it."""
        factor = self.coefficients[unknown]
        rest = {n: c for n, c in self.coefficients.items() if n != unknown}
        return Linear(rest, self.constant) * (-1 / factor)

    def residue(self, values: Mapping[str, Ratio]) -> Ratio:
        """What the left side comes to when every unknown has its value; zero where the equation is
        satisfied."""
        total = self.constant
        for name, c in self.coefficients.items():
            total = total + c * values[name]
        return total


@dataclass(frozen=True)
class Reduction:
    """What a list of equations determines. `rank`: how many of them are independent. `combinations`: for
    each, None where it says something new, else the multipliers of the equations above it that add up to
    it."""

    rank: int
    combinations: tuple[tuple[Ratio, ...] | None, ...]


def reduce_rows(rows: Sequence[Linear], unknowns: Iterable[str]) -> Reduction:
    """Examines rows in order: which bring something new, which are combinations of those above.

    The multipliers refer to all rows above (those redundant themselves get zero).
    Source: Gaussian elimination with the row operations kept; any linear-algebra textbook.
    """
    order = tuple(unknowns)
    kept: list[tuple[Linear, str, dict[int, Ratio]]] = []
    combinations: list[tuple[Ratio, ...] | None] = []
    for index, row in enumerate(rows):
        zero, one = row.field.zero, row.field.one
        history: dict[int, Ratio] = {index: one}
        for above, pivot, past in kept:
            factor = row.coefficients.get(pivot)
            if factor is None:
                continue
            row = row - above * factor
            for i, m in past.items():
                history[i] = history.get(i, zero) - m * factor
        pivot_name = next((n for n in order if n in row.coefficients), None)
        if pivot_name is None:
            combinations.append(None if row.constant else tuple(-history.get(i, zero) for i in range(index)))
            continue
        combinations.append(None)
        scale = 1 / row.coefficients[pivot_name]
        kept.append((row * scale, pivot_name, {i: m * scale for i, m in history.items()}))
    return Reduction(len(kept), tuple(combinations))


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


def linear_in(value: Ratio, unknowns: Sequence[str]) -> Linear | None:
    """The numerator of a value as a linear form in some of its field's symbols; None where it is none."""
    field, one = value.field, value.field.one.below
    rest, places = value.above, [value.field.position(name) for name in unknowns]
    coefficients: dict[str, Ratio] = {}
    for name, at in zip(unknowns, places, strict=True):
        slope = value.above.derivative(at)
        if slope.is_zero():
            continue
        degrees = slope.degrees()
        if any(degrees[i] for i in places):
            return None
        coefficients[name] = Ratio(field, slope, one, reduced=True)
        rest = rest - slope * field.context.gen(at)
    return Linear(coefficients, Ratio(field, rest, one, reduced=True))


EliminationSteps = list[
    tuple[str, Mapping[str, fmpz_mpoly]]
]  # unknown -> a row in which those before it are gone


def echelon(rows: Iterable[Linear], unknowns: Sequence[str]) -> EliminationSteps:
    """The rows in steps, those that bring nothing new left out.

    Cross-multiplied elimination on polynomials: nothing is brought to lowest terms on the way.
    """
    kept: EliminationSteps = []
    for row in rows:
        reduced = _without(row.whole, kept)
        pivot = next((n for n in unknowns if n in reduced), None)
        if pivot is not None:
            kept.append((pivot, reduced))
    return kept


def follows(target: Linear, steps: EliminationSteps) -> bool:
    """Whether the target is a combination, over the field of fractions, of the rows of an `echelon`."""
    return not _without(target.whole, steps)


def holds(row: Linear, numerators: Mapping[str, fmpz_mpoly], below: fmpz_mpoly) -> bool:
    """Whether the equation is satisfied by values given over one denominator."""
    parts = row.whole
    total = parts[""] * below if "" in parts else row.field.zero.above
    for name, c in parts.items():
        if name and name in numerators:
            total = total + c * numerators[name]
    return bool(total.is_zero())


def _without(row: Mapping[str, fmpz_mpoly], kept: EliminationSteps) -> Mapping[str, fmpz_mpoly]:
    """The row with every pivot of the rows kept so far eliminated from it, by cross-multiplication; empty
    where it is a combination of them."""
    for pivot, above in kept:
        factor, lead = row.get(pivot), above[pivot]
        if factor is None:
            continue
        changed: dict[str, fmpz_mpoly] = {}
        for name in (*row, *(n for n in above if n not in row)):
            value = row[name] * lead if name in row else None
            taken = above[name] * factor if name in above else None
            total = -taken if value is None and taken is not None else value
            if value is not None and taken is not None:
                total = value - taken
            if total is not None and not total.is_zero():
                changed[name] = total
        row = changed if sum(map(len, changed.values())) < LARGE else _without_content(changed)
    return row


def _without_content(row: dict[str, fmpz_mpoly]) -> dict[str, fmpz_mpoly]:
    """The row divided by what all its entries share, so that cross-multiplying does not pile factors up."""
    shared: fmpz_mpoly | None = None
    for value in sorted(row.values(), key=len):
        shared = value if shared is None else shared.gcd(value)
        if shared.is_constant():
            return row
    return row if shared is None else {name: value // shared for name, value in row.items()}
