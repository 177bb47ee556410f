"""An equation set put in exact numbers, and what one slip in it does to the currents.

One slip changes one entry of the system, so that the wrong currents follow from the right ones and
the inverse matrix: x' = x − f b, b the column of the inverse that belongs to the equation slipped in
(Sherman and Morrison, Ann. Math. Stat. 21, 124, 1950). All numbers are fractions, worked modulo a large
prime: nothing is rounded, none grows, and a fraction other than 0 is taken for 0 only if the prime
divides its numerator (Schwartz, J. ACM 27, 701, 1980: for random values hardly ever).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from flint import nmod, nmod_mat

from ..algebra.modular import PRIME
from ..circuit.circuit import Circuit
from .equation_slips import EquationRow, EquationTerm, Slip

Key = tuple[str, bool]  # an element, and whether its internal resistance is meant
ResidueByKey = Mapping[Key, nmod]


def residue(whole: int) -> nmod:
    """A whole number modulo the prime."""
    return nmod(whole % PRIME, PRIME)


class NoWorkbench(ArithmeticError):
    """The equations have no single answer for these values."""


class Workbench:
    """A set of equations, right ones, solved at one set of values modulo the prime, ready to tell what
    single slips do.

    `values`: of each element, its internal resistance apart. `infinite`: a resistance taken to infinity. Its
    branch then carries nothing; what stands in the place of its current is its voltage, and of the terms
    with this current only those with the resistance itself are left. Raises NoWorkbench when there is no
    single answer.
    """

    def __init__(
        self,
        rows: Sequence[EquationRow],
        currents: Sequence[str],
        values: ResidueByKey,
        infinite: Key | None = None,
    ):
        self.values, self.infinite = values, infinite
        self.column = {name: i for i, name in enumerate(currents)}
        self.dead = next((t.current for r in rows for t in r.terms if _is(t, infinite)), "")
        size = len(currents)
        matrix = [[residue(0)] * size for _ in range(size)]
        right = [residue(0)] * size
        for i, row in enumerate(rows):
            for term in row.terms:
                if term.current:
                    matrix[i][self.column[term.current]] += self.coefficient(term)
                else:
                    right[i] -= self.coefficient(term)
        try:
            inverse = nmod_mat(size, size, [entry for line in matrix for entry in line], PRIME).inv()
        except ZeroDivisionError as trouble:
            raise NoWorkbench("no single answer") from trouble
        found = inverse * nmod_mat(size, 1, right, PRIME)
        self.inverse = [[inverse[i, j] for j in range(size)] for i in range(size)]
        self.x = [found[i, 0] for i in range(size)]

    def coefficient(self, term: EquationTerm) -> nmod:
        """The term's coefficient with its sign."""
        if term.current and term.current == self.dead:
            return residue(term.sign if _is(term, self.infinite) else 0)
        return self.values[term.element, term.internal] * term.sign if term.element else residue(term.sign)

    def factors(self, slips: Sequence[Slip]) -> list[nmod | None]:
        """For each slip the factor f by which its equation's column of the inverse moves the currents; None
        where the slip leaves the equations without a single answer."""
        found: list[nmod | None] = []
        for slip in slips:
            change = self.coefficient(slip.term) * (-2 if slip.turned else -1)
            if slip.term.current and bool(change):
                j = self.column[slip.term.current]
                below = 1 + change * self.inverse[j][slip.at]
                found.append(change * self.x[j] / below if bool(below) else None)
            else:
                found.append(change)
        return found

    def moved(self, slips: Sequence[Slip]) -> list[bool]:
        """Whether each slip changes any current; a slip that leaves no single answer does."""
        live = [i for name, i in self.column.items() if name != self.dead]
        moves = [any(self.inverse[i][at] for i in live) for at in range(len(self.x))]
        return [
            f is None or (bool(f) and moves[slip.at])
            for f, slip in zip(self.factors(slips), slips, strict=True)
        ]

    def wrong(self, slips: Sequence[Slip]) -> list[list[nmod] | None]:
        """The wrong currents of each slip, in order; None where there is no single answer."""
        columns = [[line[at] for line in self.inverse] for at in range(len(self.x))]
        return [
            None if f is None else [x - f * b for x, b in zip(self.x, columns[slip.at], strict=True)]
            for f, slip in zip(self.factors(slips), slips, strict=True)
        ]

    def reach(self, row: EquationRow) -> list[nmod]:
        """How far an equation is put out by a slip with f = 1 in each equation of the set in turn."""
        size = len(self.x)
        total = [residue(0)] * size
        for term in row.terms:
            if term.current:
                line, c = self.inverse[self.column[term.current]], self.coefficient(term)
                total = [t + c * entry for t, entry in zip(total, line, strict=True)]
        return total


def element_values(circuit: Circuit, numbers: Mapping[str, nmod]) -> dict[Key, nmod]:
    """Every element's value and internal resistance for these values of the symbols."""
    found: dict[Key, nmod] = {}
    for b in circuit.branches:
        for p in b.passes:
            for internal, ratio in (
                (False, circuit.value(p.element)),
                (True, circuit.internal_resistance(p.element)),
            ):
                above = _value(ratio.terms(), numbers, ratio.field.symbols)
                below = (
                    residue(1)
                    if ratio.is_polynomial
                    else _value(ratio.terms(below=True), numbers, ratio.field.symbols)
                )
                found[p.element, internal] = above / below
    return found


def _value(
    terms: list[tuple[tuple[int, ...], int]], numbers: Mapping[str, nmod], symbols: Sequence[str]
) -> nmod:
    total = residue(0)
    for exponents, coefficient in terms:
        piece = residue(coefficient)
        for name, exponent in zip(symbols, exponents, strict=False):
            for _ in range(exponent):
                piece *= numbers[name]
        total += piece
    return total


def _is(term: EquationTerm, key: Key | None) -> bool:
    return bool(term.current) and (term.element, term.internal) == key
