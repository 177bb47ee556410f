"""Exact rational currents of grids of unlike resistors, a battery in the first branch.

Beside ours, in the same run, bare solves of the node potentials that somebody has set up beforehand:
python-flint's rational matrices (fraction-free and p-adic) and SymPy's `DomainMatrix.solve_den` on the
cleared integers. Ours reads the circuit, sets up the equations, and gives all currents and potentials.
"""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from math import gcd
from random import Random

from flint import fmpq, fmpq_mat
from sympy import ZZ
from sympy.polys.matrices import DomainMatrix

from benchmarks.timing import medians, milliseconds
from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.expressions.nodes import number
from loopwright.solve.by_numbers import flow_in_numbers
from loopwright.solve.large_network import lattice

GRIDS = ((6, 6), (10, 10), (15, 20))
LARGEST_FOR_SYMPY = 100  # points: beyond, it takes longer than all else together


def grid(rows: int, columns: int) -> Circuit:
    chance = Random(3)
    net = lattice(rows, columns)
    elements = {"E": battery("E", number(Fraction(12)))}
    branches = []
    for n, (a, b) in enumerate(zip(net.starts, net.ends, strict=True)):
        elements[f"R{n}"] = resistor(f"R{n}", number(Fraction(chance.randint(1, 99))))
        along = (Pass(f"R{n}"),) if n else (Pass("E", 1), Pass("R0"))
        branches.append(Branch(f"I{n}", f"p{a}", f"p{b}", along))
    return Circuit(tuple(branches), elements)


def bare(circuit: Circuit) -> tuple[list[list[Fraction]], list[Fraction]]:
    """The conductances between all points but the last, and the currents that the battery drives."""
    row = {point: i for i, point in enumerate(circuit.points)}
    last = len(row) - 1
    matrix = [[Fraction(0)] * len(row) for _ in row]
    right = [Fraction(0)] * len(row)
    for b in circuit.branches:
        g = 1 / circuit.resistance(b.name).value({})
        driven = g * circuit.rise(b.name).value({})
        for here, there, sense in ((row[b.start], row[b.end], 1), (row[b.end], row[b.start], -1)):
            matrix[here][here] += g
            matrix[here][there] -= g
            right[here] -= sense * driven
    return [line[:last] for line in matrix[:last]], right[:last]


def rivals(circuit: Circuit) -> list[Callable[[], object]]:
    matrix, right = bare(circuit)
    size = len(right)
    whole = fmpq_mat(size, size, [fmpq(x.numerator, x.denominator) for line in matrix for x in line])
    column = fmpq_mat(size, 1, [fmpq(x.numerator, x.denominator) for x in right])
    works: list[Callable[[], object]] = [
        lambda: whole.solve(column, algorithm="fflu"),  # type: ignore[call-arg]
        lambda: whole.solve(column, algorithm="dixon"),  # type: ignore[call-arg]
    ]
    if size < LARGEST_FOR_SYMPY:
        scale = [1] * size
        for i, line in enumerate(matrix):
            for x in (*line, right[i]):
                scale[i] = scale[i] * x.denominator // gcd(scale[i], x.denominator)
        cleared = [[ZZ(int(x * s)) for x in line] for line, s in zip(matrix, scale, strict=True)]
        driven = [[ZZ(int(x * s))] for x, s in zip(right, scale, strict=True)]
        left = DomainMatrix(cleared, (size, size), ZZ).to_sparse()
        given = DomainMatrix(driven, (size, 1), ZZ).to_sparse()
        works.append(lambda: left.solve_den(given))
    return works


def run() -> None:
    """Prints the table; no bar is set on it."""
    print("\nExact rational numbers of grids, all currents, medians of 5")
    for rows, columns in GRIDS:
        circuit = grid(rows, columns)
        ours, *theirs = medians(lambda c=circuit: flow_in_numbers(c), *rivals(circuit), rounds=5)  # type: ignore[misc]
        sympy = milliseconds(theirs[2]) if len(theirs) > 2 else "          -"
        print(
            f"  {rows:3} x {columns:<3} {len(circuit.branches):5} branches: ours {milliseconds(ours)}; bare"
            f" solves: flint fraction-free {milliseconds(theirs[0])}, flint p-adic {milliseconds(theirs[1])},"
            f" SymPy solve_den {sympy}"
        )
