"""Whether several sums of branch currents can be the currents round one set of loops.

Each branch then carries a sum of them, each once and one way or the other. I1 + I2, I1 + I5 and I3 are none:
where I1 = I2 + I3, the first and the last give I2 as half their difference.
Source: loops as a basis of integers, C. Berge, Graphs and Hypergraphs, 1973, chapter 2 (from memory).
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

import numpy as np
from numpy.typing import NDArray

from ..circuit.circuit import Circuit
from .loop_currents import Meaning, independent_loops


class LoopsTogether:
    """The judge of one circuit's sets of currents."""

    def __init__(self, circuit: Circuit) -> None:
        self.currents = frozenset(circuit.currents)
        loops = circuit.remembered_of_shape(independent_loops)
        self.passes = {b: np.array([x.get(b, 0) for x in loops], dtype=float) for b in circuit.currents}
        self.needed = len(loops) if len(loops) > 1 else 0
        self.found: dict[frozenset[tuple[tuple[str, int], ...]], bool] = {}

    def may_be(self, meanings: Sequence[Meaning]) -> bool:
        """Whether the currents among these meanings can be those round one set of loops. True where nothing
        says that they are to be: where they are not as many as its loops, or are branch currents all."""
        made = self._currents(meanings)
        if len(made) != self.needed or not any(len(m) > 1 for m in made):
            return True
        key = frozenset(tuple(sorted(m.items())) for m in made)
        if key not in self.found:
            self.found[key] = self._carried(made) is not None
        return self.found[key]

    def one_way(
        self,
        names: Mapping[str, Sequence[Meaning]],
        chosen: Mapping[str, int],
        score: Callable[[Mapping[str, int]], int],
    ) -> dict[str, int]:
        """A choice with its currents turned so that all run round their meshes in one sense, what two of them
        share being passed in opposite directions: in that sense of the two that has the greater score. The
        choice itself where they are not the currents round meshes. `names`: what each may stand for."""
        own = {n: names[n][at] for n, at in chosen.items() if self._currents([names[n][at]])}
        carried = self._carried(list(own.values())) if len(own) == self.needed else None
        senses = None if carried is None else _senses(carried)
        if senses is None:
            return dict(chosen)
        found: list[dict[str, int]] = []
        for whole in (1, -1):
            turned = zip(own.items(), senses, strict=True)
            wanted = {n: {b: x * sense * whole for b, x in m.items()} for (n, m), sense in turned}
            places = {n: [dict(m) for m in names[n]] for n in wanted}
            if all(m in places[n] for n, m in wanted.items()):
                found.append({**chosen, **{n: places[n].index(m) for n, m in wanted.items()}})
        return max(found, key=score, default=dict(chosen))

    def _currents(self, meanings: Sequence[Meaning]) -> list[Meaning]:
        return [m for m in meanings if self.needed and self.currents.issuperset(m)]

    def _carried(self, made: Sequence[Meaning]) -> NDArray[np.float64] | None:
        """How often each branch is passed by each loop, with its sense; None where they are no loops."""
        sums = np.array([sum(share * self.passes[b] for b, share in m.items()) for m in made])
        if abs(abs(np.linalg.det(sums)) - 1) > 0.5:
            return None
        carried = np.rint(np.array(list(self.passes.values())) @ np.linalg.inv(sums))
        return None if np.abs(carried).max() > 1 else carried


def _senses(carried: NDArray[np.float64]) -> list[int] | None:
    """+1 or −1 for each loop, so that no two pass a branch in one direction; None where three pass one, or
    where no senses do."""
    if ((carried != 0).sum(axis=1) > 2).any():
        return None
    found = {0: 1}
    waiting = [0]
    while waiting:
        one = waiting.pop()
        for row in carried[carried[:, one] != 0]:
            for other in (int(k) for k in np.flatnonzero(row) if k != one):
                sense = -found[one] if row[one] == row[other] else found[one]
                if other not in found:
                    found[other] = sense
                    waiting.append(other)
                elif found[other] != sense:
                    return None
    return [found.get(k, 1) for k in range(carried.shape[1])]
