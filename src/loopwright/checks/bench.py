"""An equation set put in exact numbers, and what one slip in it does to the currents.

One slip changes one entry of the system, so that the wrong currents follow from the right ones and
the inverse matrix: x' = x − f b, b the column of the inverse that belongs to the equation slipped in
(Sherman and Morrison, Ann. Math. Stat. 21, 124, 1950). All numbers are fractions; nothing is rounded.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from flint import fmpq, fmpq_mat

from ..circuit.circuit import Circuit
from .slips import Row, Slip, Term

Key = tuple[str, bool]  # an element, and whether its inside resistance is meant
Values = Mapping[Key, fmpq]


class NoBench(ArithmeticError):
    """The equations have no single answer for these values."""


class Bench:
    """The right equations for one set of values.

    `infinite`: a resistance taken to infinity. Its branch then carries nothing; what stands in the
    place of its current is its voltage, and of the terms with this current only those with the
    resistance itself are left. Raises NoBench when there is no single answer.
    """

    def __init__(
        self, rows: Sequence[Row], currents: Sequence[str], values: Values, infinite: Key | None = None
    ):
        self.values, self.infinite = values, infinite
        self.column = {name: i for i, name in enumerate(currents)}
        self.dead = next((t.current for r in rows for t in r.terms if _is(t, infinite)), "")
        size = len(currents)
        matrix = [[fmpq(0)] * size for _ in range(size)]
        right = [fmpq(0)] * size
        for i, row in enumerate(rows):
            for term in row.terms:
                if term.current:
                    matrix[i][self.column[term.current]] += self.coefficient(term)
                else:
                    right[i] -= self.coefficient(term)
        try:
            inverse = fmpq_mat(size, size, [entry for line in matrix for entry in line]).inv()
        except ZeroDivisionError as trouble:
            raise NoBench("no single answer") from trouble
        found = inverse * fmpq_mat(size, 1, right)
        self.inverse = [[inverse[i, j] for j in range(size)] for i in range(size)]
        self.x = [found[i, 0] for i in range(size)]

    def coefficient(self, term: Term) -> fmpq:
        """The term's coefficient with its sign."""
        if term.current and term.current == self.dead:
            return fmpq(term.sign if _is(term, self.infinite) else 0)
        return self.values[term.element, term.inside] * term.sign if term.element else fmpq(term.sign)

    def factor(self, slip: Slip) -> fmpq | None:
        """f of the slip; None when the slip leaves the equations without a single answer."""
        change = self.coefficient(slip.term) * (-2 if slip.turned else -1)
        if not slip.term.current:
            return change
        j = self.column[slip.term.current]
        below = 1 + change * self.inverse[j][slip.at]
        return None if below == 0 else change * self.x[j] / below

    def moves(self, slip: Slip) -> bool:
        """Whether the slip changes any current; a slip that leaves no single answer does."""
        f = self.factor(slip)
        if f is None:
            return True
        return f != 0 and any(
            self.inverse[i][slip.at] != 0 for name, i in self.column.items() if name != self.dead
        )

    def wrong(self, slip: Slip) -> list[fmpq] | None:
        """The wrong currents, in order; None when there is no single answer."""
        f = self.factor(slip)
        if f is None:
            return None
        return [x - f * line[slip.at] for x, line in zip(self.x, self.inverse, strict=True)]

    def reach(self, row: Row) -> list[fmpq]:
        """How far an equation is thrown off per f, for a slip in each equation of the set."""
        size = len(self.x)
        total = [fmpq(0)] * size
        for term in row.terms:
            if term.current:
                line, c = self.inverse[self.column[term.current]], self.coefficient(term)
                total = [t + c * entry for t, entry in zip(total, line, strict=True)]
        return total


def element_values(circuit: Circuit, numbers: Mapping[str, fmpq]) -> dict[Key, fmpq]:
    """Every element's value and inside resistance for these values of the symbols."""
    found: dict[Key, fmpq] = {}
    for b in circuit.branches:
        for p in b.passes:
            for inside, ratio in ((False, circuit.value(p.element)), (True, circuit.inside(p.element))):
                above = _value(ratio.terms(), numbers, ratio.field.symbols)
                below = (
                    fmpq(1)
                    if ratio.is_polynomial
                    else _value(ratio.terms(below=True), numbers, ratio.field.symbols)
                )
                found[p.element, inside] = above / below
    return found


def _value(
    terms: list[tuple[tuple[int, ...], int]], numbers: Mapping[str, fmpq], symbols: Sequence[str]
) -> fmpq:
    total = fmpq(0)
    for exponents, coefficient in terms:
        piece = fmpq(coefficient)
        for name, exponent in zip(symbols, exponents, strict=False):
            for _ in range(exponent):
                piece *= numbers[name]
        total += piece
    return total


def _is(term: Term, key: Key | None) -> bool:
    return bool(term.current) and (term.element, term.inside) == key
