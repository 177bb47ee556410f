"""Branch currents in floating-point numbers by node potentials: a route unrelated to the exact one.

The unknowns are the potentials of the points and the currents of branches without resistance; the
equations are one junction rule for each point and one voltage for each such branch. Shares no code
with `closed_forms`. Units: SI.
Source: modified nodal analysis, Ho, Ruehli and Brennan, IEEE Trans. Circuits Syst. 22, 504 (1975);
from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..later import later

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
else:
    np = later("numpy")


def currents_by_node_potentials(circuit: Circuit, values: Mapping[str, float]) -> dict[str, float]:
    """Every branch current for these values of the symbols, along its arrow.

    Raises numpy.linalg.LinAlgError when the equations have no unique solution.
    """
    row = {point: i for i, point in enumerate(circuit.points)}
    fixed = {b.name: circuit.fixed_current(b.name) for b in circuit.branches}
    resistance = {b.name: _number(circuit.resistance(b.name), values) for b in circuit.branches}
    rise = {b.name: _number(circuit.rise(b.name), values) for b in circuit.branches}
    extra = [b.name for b in circuit.branches if fixed[b.name] is None and resistance[b.name] == 0]
    column = {name: len(row) + i for i, name in enumerate(extra)}
    size = len(row) + len(extra)
    matrix: NDArray[np.float64] = np.zeros((size, size))
    right: NDArray[np.float64] = np.zeros(size)
    flow: dict[str, float] = {}
    for b in circuit.branches:
        start, end, known = row[b.start], row[b.end], fixed[b.name]
        if known is not None:
            flow[b.name] = known.real()(values)
            right[start] -= flow[b.name]
            right[end] += flow[b.name]
        elif b.name in column:
            at = column[b.name]
            matrix[start, at] += 1
            matrix[end, at] -= 1
            matrix[at, start] += 1
            matrix[at, end] -= 1
            right[at] = -rise[b.name]
        else:
            g = 1 / resistance[b.name]
            for here, there, sign in ((start, end, 1), (end, start, -1)):
                matrix[here, here] += g
                matrix[here, there] -= g
                right[here] -= sign * g * rise[b.name]
    _ground(circuit, row, matrix, right)
    found = np.linalg.solve(matrix, right)
    for b in circuit.branches:
        if b.name in column:
            flow[b.name] = float(found[column[b.name]])
        elif b.name not in flow:
            fall = float(found[row[b.start]] - found[row[b.end]])
            flow[b.name] = (fall + rise[b.name]) / resistance[b.name]
    return flow


def _number(ratio: Ratio, values: Mapping[str, float]) -> float:
    return ratio.real()(values) if ratio else 0.0


def _ground(
    circuit: Circuit, row: Mapping[str, int], matrix: NDArray[np.float64], right: NDArray[np.float64]
) -> None:
    """Puts the first point of each part (joined by branches that fix no current) at potential zero,
    in the place of its junction rule, which follows from the others. (The parts are looked for here, and
    not in `graph`, on which the closed forms stand.)"""
    part = dict.fromkeys(circuit.points, "")
    for root in circuit.points:
        if part[root]:
            continue
        part[root] = root
        queue = [root]
        for point in queue:
            for b in circuit.branches:
                if circuit.fixed_current(b.name) is None and point in (b.start, b.end):
                    for other in (b.start, b.end):
                        if not part[other]:
                            part[other] = root
                            queue.append(other)
        matrix[row[root], :] = 0
        matrix[row[root], row[root]] = 1
        right[row[root]] = 0
