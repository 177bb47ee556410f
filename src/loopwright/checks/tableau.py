"""Currents of a circuit in numbers from all its laws at once: exact, and another route than any formula.

The unknowns are every branch current and the potential of every point; the equations are one junction
rule for each point and one voltage for each branch, written down as they stand (the tableau of
G. D. Hachtel, R. K. Brayton and F. G. Gustavson, IEEE Trans. Circuit Theory 18, 101, 1971; from memory).
"""

from __future__ import annotations

from fractions import Fraction

from flint import fmpq, fmpq_mat

from ..circuit.circuit import Circuit
from ..circuit.connections import parts


def currents_in_numbers(circuit: Circuit) -> dict[str, Fraction] | None:
    """Every branch current of a circuit in plain numbers (SI units); None where they are not fixed."""
    free = [(b.name, b.start, b.end) for b in circuit.branches if circuit.fixed_current(b.name) is None]
    part = parts(circuit.points, free).part
    column = {name: i for i, name in enumerate(circuit.currents)}
    row = {p: len(column) + i for i, p in enumerate(circuit.points)}
    size = len(column) + len(row)
    entries = [[fmpq(0)] * size for _ in range(size)]
    right = [[fmpq(0)] for _ in range(size)]
    for b in circuit.branches:
        at = column[b.name]
        fixed = circuit.fixed_current(b.name)
        if fixed is not None:
            entries[at][at], right[at][0] = fmpq(1), _number(fixed.constant())
        else:
            entries[at][at] = -_number(circuit.resistance(b.name).constant())
            entries[at][row[b.start]] += 1
            entries[at][row[b.end]] -= 1
            right[at][0] = -_number(circuit.rise(b.name).constant())
        entries[row[b.start]][at] -= 1
        entries[row[b.end]][at] += 1
    for p, first in part.items():
        if p == first:  # its junction rule follows from the others of its part
            entries[row[p]] = [fmpq(int(i == row[p])) for i in range(size)]
            right[row[p]] = [fmpq(0)]
    try:
        found = fmpq_mat(entries).solve(fmpq_mat(right))
    except ZeroDivisionError:
        return None
    return {name: Fraction(int(v.p), int(v.q)) for name, i in column.items() for v in (found[i, 0],)}


def _number(value: Fraction | None) -> fmpq:
    value = value or Fraction(0)
    return fmpq(value.numerator, value.denominator)
