"""The same currents by general means, each in a process of its own that is ended at a stated limit.

SymPy's `linsolve` works on the laws as written, one unknown for each branch. `DomainMatrix.solve_den`
and python-flint work on the equations of the loops, which is the smallest system and so to their
favour; none of them is asked for lowest terms.
"""

from __future__ import annotations

import multiprocessing
import time
from collections.abc import Callable
from multiprocessing.connection import Connection

import sympy
from flint import fmpz_mpoly
from sympy.polys.matrices import DomainMatrix

from benchmarks.whole_sheet import bare_solve
from loopwright.algebra.ratios import Ratio
from loopwright.circuit.circuit import Circuit
from loopwright.solve.by_elimination import eliminate, tree_and_chords, tree_loop

LIMIT = 5  # seconds by the clock, from the start of the process


def loop_system(circuit: Circuit) -> list[list[Ratio]]:
    """The equations of the loops that the branches off a spanning tree close, right-hand side last."""
    tree, chords = tree_and_chords(circuit, circuit.currents)
    loops = [tree_loop(circuit, tree, chord) for chord in chords]
    zero = circuit.field.zero

    def mutual(one: dict[str, int], other: dict[str, int]) -> Ratio:
        return sum((circuit.resistance(n) * (s * other[n]) for n, s in one.items() if n in other), zero)

    return [
        [*(mutual(one, other) for other in loops), sum((circuit.rise(n) * s for n, s in one.items()), zero)]
        for one in loops
    ]


def by_linsolve(circuit: Circuit) -> Callable[[], object]:
    return bare_solve(circuit)


def by_solve_den(circuit: Circuit) -> Callable[[], object]:
    symbols = sympy.symbols(circuit.symbols)
    ring = sympy.ZZ[symbols]
    rows = [
        [ring.ring.from_dict({e: ring.domain(c) for e, c in entry.terms()}) for entry in row]
        for row in loop_system(circuit)
    ]
    size = len(rows)
    matrix = DomainMatrix([row[:size] for row in rows], (size, size), ring).to_sparse()
    right = DomainMatrix([row[size:] for row in rows], (size, 1), ring).to_sparse()
    return lambda: matrix.solve_den(right)


def by_plain_elimination(circuit: Circuit) -> Callable[[], object]:
    """Bareiss's elimination with python-flint polynomials, down the diagonal, and putting back."""
    system = [[entry.above for entry in row] for row in loop_system(circuit)]
    return lambda: _bareiss([list(row) for row in system])


def _bareiss(rows: list[list[fmpz_mpoly]]) -> tuple[list[fmpz_mpoly], fmpz_mpoly]:
    size = len(rows)
    previous = rows[0][0] * 0 + 1
    for k in range(size):
        for i in range(k + 1, size):
            for j in range(k + 1, size + 1):
                rows[i][j] = (rows[k][k] * rows[i][j] - rows[i][k] * rows[k][j]) // previous
        previous = rows[k][k]
    found = [row[size] for row in rows]
    for k in reversed(range(size - 1)):
        total = previous * rows[k][size]
        for j in range(k + 1, size):
            total = total - rows[k][j] * found[j]
        found[k] = total // rows[k][k]
    return found, previous


def by_our_elimination(circuit: Circuit) -> Callable[[], object]:
    system = loop_system(circuit)
    return lambda: eliminate(circuit.field, system)


RIVALS = {
    "linsolve": by_linsolve,
    "solve_den": by_solve_den,
    "flint, plain": by_plain_elimination,
    "flint, ours": by_our_elimination,
}


def timed(name: str, circuit: Circuit) -> float | None:
    """Processor time of the quickest of the runs that half a second has room for, in seconds; None when
    the first is not done within the limit."""
    context = multiprocessing.get_context("fork")
    here, there = context.Pipe(duplex=False)
    child = context.Process(target=_work, args=(name, circuit, there))
    child.start()
    found: float | None = here.recv() if here.poll(LIMIT) else None
    child.kill()
    child.join()
    return found


def _work(name: str, circuit: Circuit, answer: Connection) -> None:
    work = RIVALS[name](circuit)
    best, began = float("inf"), time.process_time()
    while time.process_time() - began < 0.5:
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    answer.send(best)
