"""All currents of a network in symbols: as arrays of terms, as polynomials, and by general means.

Bars: K5 at least 50 times faster than SymPy's `DomainMatrix.solve_den`; K6 at least 100 times faster
than elimination with python-flint down the diagonal (our own elimination, which picks its pivots, is
shown beside it); K8 in seconds within 4 GiB; time for each term flat or falling from K5 to K8. In Kn
a battery stands in one of the branches and every branch has a resistance of its own.
"""

from __future__ import annotations

import multiprocessing
import resource
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from itertools import pairwise
from multiprocessing.connection import Connection
from pathlib import Path

import numpy as np

from benchmarks.networks import FAMILIES, circuit_of
from benchmarks.plot import Line, plot
from benchmarks.rivals import LIMIT, RIVALS, timed
from loopwright.circuit.circuit import Circuit
from loopwright.solve.by_trees import currents_by_trees
from loopwright.solve.expansion import expansion

PLOT = Path("out/closed-forms-cost.svg")
MOST_BYTES = 4 * 2**30


@dataclass
class Row:
    """One network: times in seconds (None: over the limit or left out), terms, bytes."""

    name: str
    branches: int
    trees: int
    terms: int
    written: float  # arrays of terms
    polynomials: float
    memory: int  # of the whole process that wrote the arrays, at its peak
    merely: float  # NumPy writing as many words
    rivals: dict[str, float | None] = field(default_factory=dict)

    @property
    def each(self) -> float:
        """Nanoseconds for each term."""
        return self.written / self.terms * 1e9


def measured(name: str, circuit: Circuit) -> Row:
    done = expansion(circuit)
    count = done.terms
    written = quickest(lambda: expansion(circuit))
    polynomials = quickest(lambda: currents_by_trees(circuit))
    merely = quickest(lambda: np.full(count, 1, dtype=np.uint64))
    trees = done.determinant.shape[1]
    return Row(name, len(circuit.branches), trees, count, written, polynomials, peak(circuit), merely)


def quickest(work: Callable[[], object], enough: float = 0.7) -> float:
    """Processor time of the quickest of the runs that half a second or so has room for, at least three."""
    best, began, runs = float("inf"), time.process_time(), 0
    while runs < 3 or (time.process_time() - began < enough and runs < 300):
        start = time.process_time()
        work()
        best, runs = min(best, time.process_time() - start), runs + 1
    return best


def peak(circuit: Circuit) -> int:
    """The most memory, in bytes, that a process of its own holds while it writes the terms."""
    here, there = multiprocessing.Pipe()
    child = multiprocessing.get_context("fork").Process(target=_peak, args=(circuit, there))
    child.start()
    found: int = here.recv()
    child.join()
    return found


def _peak(circuit: Circuit, answer: Connection) -> None:
    expansion(circuit)
    answer.send(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024)


def with_rivals(row: Row, circuit: Circuit, given_up: set[str]) -> None:
    """Measures the rivals that have kept within the limit on all smaller networks of the family."""
    for rival in RIVALS:
        row.rivals[rival] = None if rival in given_up else timed(rival, circuit)
        if row.rivals[rival] is None:
            given_up.add(rival)


def run() -> bool:
    """Prints the tables and draws the plot; whether the bars are met."""
    print("\nAll currents in symbols, a battery in the first branch, processor time of the quickest runs, ms")
    print(
        f"  {'network':32}{'branches':>9}{'trees':>9}{'terms':>9}{'arrays':>9}{'polynom.':>9}"
        + "".join(f"{rival:>14}" for rival in RIVALS)
    )
    rows: dict[str, Row] = {}
    for networks in FAMILIES.values():
        given_up: set[str] = set()
        for name, edges in networks.items():
            circuit = circuit_of(edges)
            row = measured(name, circuit)
            with_rivals(row, circuit, given_up)
            rows[name] = row
            print(_told(row), flush=True)
    print(f"  (over: not done in {LIMIT} s by the clock, or larger than one of its kind that was not)")
    _print_rates(rows)
    draw(rows)
    verdicts = [_verdict(*bar) for bar in bars(rows)]
    return all(verdicts)


def _told(row: Row) -> str:
    rivals = "".join(f"{'over' if t is None else f'{t * 1e3:.2f}':>14}" for t in row.rivals.values())
    ours = f"{row.written * 1e3:9.2f}{row.polynomials * 1e3:9.2f}"
    return f"  {row.name:32}{row.branches:9}{row.trees:9}{row.terms:9}{ours}{rivals}"


def _print_rates(rows: dict[str, Row]) -> None:
    print("\nTerms written as arrays of bit masks, beside NumPy merely writing as many 64-bit words")
    for row in rows.values():
        print(
            f"  {row.name:32}{row.terms / row.written / 1e6:8.2f} million terms a second"
            f"{row.each:9.0f} ns each"
            f"{row.written / row.merely:8.0f} times merely writing{row.memory / 2**20:8.0f} MiB at the peak"
        )


def bars(rows: dict[str, Row]) -> list[tuple[str, bool]]:
    """Each bar in words, and whether it is met."""
    k5, k6, k8 = rows["K5"], rows["K6"], rows["K8"]
    found = []
    for row, rival, least in ((k5, "solve_den", 50), (k6, "flint, plain", 100)):
        theirs = row.rivals[rival]
        taken = theirs or LIMIT
        words = "at least " if theirs is None else ""
        found.append(
            (
                f"{row.name}, times faster than {rival}: {words}{taken / row.written:.0f} as arrays,"
                f" {words}{taken / row.polynomials:.0f} as polynomials (bar {least}, arrays)",
                taken / row.written >= least,
            )
        )
    ours = k6.rivals["flint, ours"] or LIMIT
    found.append(
        (
            f"K6, times faster than our own elimination: {ours / k6.written:.0f} as arrays,"
            f" {ours / k6.polynomials:.0f} as polynomials (no bar)",
            True,
        )
    )
    found.append(
        (
            f"K8: {k8.written:.3f} s and {k8.memory / 2**20:.0f} MiB as arrays, {k8.polynomials:.2f} s as"
            " polynomials (bar: seconds, 4096 MiB)",
            k8.polynomials < 5 and k8.memory < MOST_BYTES,
        )
    )
    each = [rows[f"K{n}"].each for n in (5, 6, 7, 8)]
    falling = all(later <= 1.1 * earlier for earlier, later in pairwise(each))
    told = ", ".join(f"{ns:.0f}" for ns in each)
    return [*found, (f"K5 to K8, nanoseconds for each term: {told} (bar: flat or falling)", falling)]


def _verdict(told: str, met: bool) -> bool:
    print(f"  {told}: {'met' if met else 'NOT met'}")
    return met


def draw(rows: dict[str, Row]) -> None:
    """Cost against size, one line for each way."""
    ways: dict[str, list[tuple[float, float]]] = {"arrays of terms": [], "polynomials by trees": []}
    for row in sorted(rows.values(), key=lambda row: row.terms):
        ways["arrays of terms"].append((row.terms, row.written))
        ways["polynomials by trees"].append((row.terms, row.polynomials))
        for rival, taken in row.rivals.items():
            if taken is not None:
                ways.setdefault(rival, []).append((row.terms, taken))
    PLOT.parent.mkdir(exist_ok=True)
    lines = [Line(name, tuple(points)) for name, points in ways.items()]
    PLOT.write_text(plot(lines, "terms written (determinant and all currents)", "seconds"), encoding="utf-8")
    print(f"\nCost against size: {PLOT}")
