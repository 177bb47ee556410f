"""Whether several sums of branch currents can be the currents round one set of loops.

Each branch then carries a sum of them, each once and one way or the other. I1 + I2, I1 + I5 and I3 are none:
where I1 = I2 + I3, the first and the last give I2 as half their difference.
Source: loops as a basis of integers, C. Berge, Graphs and Hypergraphs, 1973, chapter 2 (from memory).
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from ..circuit.circuit import Circuit
from ..graph.loops import first_independent, simple_loops
from ..laws.loops import loop_count_needed
from .loop_currents import MOST_BRANCHES, MOST_LOOPS, Meaning


class LoopsTogether:
    """The judge of one circuit's sets of currents."""

    def __init__(self, circuit: Circuit) -> None:
        self.currents = frozenset(circuit.currents)
        needed = loop_count_needed(circuit)
        plain = 1 < needed <= MOST_LOOPS and len(circuit.branches) <= MOST_BRANCHES
        loops = first_independent(simple_loops(circuit.branches), needed) if plain else []
        self.passes = {b: np.array([dict(x).get(b, 0) for x in loops], dtype=float) for b in circuit.currents}
        self.needed = len(loops)
        self.found: dict[frozenset[tuple[tuple[str, int], ...]], bool] = {}

    def may_be(self, meanings: Sequence[Meaning]) -> bool:
        """Whether the currents among these meanings can be those round one set of loops. True where nothing
        says that they are to be: where they are not as many as its loops, or are branch currents all."""
        made = [m for m in meanings if self.needed and self.currents.issuperset(m)]
        if len(made) != self.needed or not any(len(m) > 1 for m in made):
            return True
        key = frozenset(tuple(sorted(m.items())) for m in made)
        if key not in self.found:
            self.found[key] = self._carries_each_once(made)
        return self.found[key]

    def _carries_each_once(self, made: Collection[Meaning]) -> bool:
        sums = np.array([sum(share * self.passes[b] for b, share in m.items()) for m in made])
        if abs(abs(np.linalg.det(sums)) - 1) > 0.5:
            return False
        carried = np.array(list(self.passes.values())) @ np.linalg.inv(sums)
        return bool(np.abs(carried).max() < 1.5)
