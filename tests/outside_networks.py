"""Circuits solved outside by the potentials of their points, and equations looked at by their rank.

By NumPy on the branches of `outside_slips.OutsideCircuit`; shares nothing with the product.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from tests.outside_slips import OutsideCircuit, OutsideTerm, Values

TINY = 1e-9
Edge = tuple[str, str, float]  # a resistance between two points


@dataclass(frozen=True)
class OutsideSystem:
    """Equations, perhaps too few or in contradiction, each scaled: `matrix` · currents = `right`."""

    names: tuple[str, ...]
    matrix: np.ndarray
    right: np.ndarray

    @property
    def contradicts(self) -> bool:
        """Whether no currents satisfy all of them."""
        found, *_ = np.linalg.lstsq(self.matrix, self.right)
        return bool(np.abs(self.matrix @ found - self.right).max() > TINY * (1 + np.abs(found).max()))

    @property
    def open_ways(self) -> int:
        """In how many independent ways the currents may be changed."""
        return len(self.names) - int(np.linalg.matrix_rank(self.matrix, tol=TINY))

    @property
    def settled(self) -> Values | None:
        """The currents, where there is one answer."""
        if self.contradicts or self.open_ways:
            return None
        found, *_ = np.linalg.lstsq(self.matrix, self.right)
        return dict(zip(self.names, map(float, found), strict=True))

    def off(self, values: Mapping[str, float] | Mapping[str, Fraction], *, change: bool = False) -> float:
        """By how much these currents miss them; `change`: a change of the currents that should not count."""
        told = np.array([float(values[n]) for n in self.names])
        gap = self.matrix @ told - (0 if change else self.right)
        return float(np.abs(gap).max() / (1 + np.abs(told).max()))


def system(c: OutsideCircuit, rows: Iterable[Sequence[OutsideTerm]]) -> OutsideSystem:
    held = list(rows)
    matrix, right = np.zeros((len(held), len(c.currents))), np.zeros(len(held))
    for i, terms in enumerate(held):
        for t in terms:
            if t.current:
                matrix[i, c.currents.index(t.current)] += t.factor
            else:
                right[i] -= t.factor
    size = np.abs(matrix).max(axis=1)
    return OutsideSystem(tuple(c.currents), matrix / size[:, None], right / size)


def point_laws(
    c: OutsideCircuit,
    *,
    cut: Iterable[str] = (),
    wire: str = "",
    rises: Mapping[str, float] | None = None,
    zero: Sequence[str] = (),
) -> OutsideSystem:
    """The junction of every point, Ohm's law along every branch, and the points put at zero.

    Some branches may be cut, one be a mere wire, or other emfs lie along the branches.
    """
    gone = set(cut)
    points = sorted({p for way in c.branches.values() for p in (way[0], way[-1])})
    names = (*points, *(n for n in c.currents if n not in gone))
    grounds = zero or points[:1]
    matrix, right = np.zeros((len(names) + len(grounds), len(names))), np.zeros(len(names) + len(grounds))
    for k, n in enumerate(names[len(points) :], len(points)):
        start, end = points.index(c.branches[n][0]), points.index(c.branches[n][-1])
        matrix[start, k] -= 1
        matrix[end, k] += 1
        matrix[k, [start, end]] = 1, -1  # V(start) − V(end) + rise = R I
        matrix[k, k] = 0.0 if n == wire else -c.resistance(n)
        right[k] = -(c.rise(n) if rises is None else rises.get(n, 0.0))
    for k, point in enumerate(grounds, len(names)):
        matrix[k, points.index(point)] = 1.0
    size = np.abs(matrix).max(axis=1)
    return OutsideSystem(names, matrix / size[:, None], right / size)


def network(
    c: OutsideCircuit, *, cut: Iterable[str] = (), wire: str = "", rises: Mapping[str, float] | None = None
) -> Values:
    """The currents of such a circuit; 0 in what is cut."""
    laws = point_laws(c, cut=cut, wire=wire, rises=rises)
    told = laws.settled
    assert told is not None
    return {n: told.get(n, 0.0) for n in c.currents}


def edges_of(c: OutsideCircuit, names: Iterable[str]) -> list[Edge]:
    """Branches as resistances between points."""
    return [(c.branches[n][0], c.branches[n][-1], c.resistance(n)) for n in names]


def between(edges: Sequence[Edge], p: str, q: str) -> float:
    """The resistance that resistances come to between two points."""
    points = sorted({at for a, b, _ in edges for at in (a, b)})
    laplace = np.zeros((len(points), len(points)))
    for a, b, size in edges:
        i, j = points.index(a), points.index(b)
        laplace[[i, j], [i, j]] += 1 / size
        laplace[[i, j], [j, i]] -= 1 / size
    sent = np.zeros(len(points))
    sent[points.index(p)], sent[points.index(q)] = 1.0, -1.0
    return float(sent @ np.linalg.pinv(laplace) @ sent)


def side_by_side(edges: Sequence[Edge], p: str, q: str) -> list[list[Edge]]:
    """The parts of a group that hang together without its two ends."""
    parts: list[list[Edge]] = []
    for edge in edges:
        own = set(edge[:2]) - {p, q}
        joined = [part for part in parts if own & {at for a, b, _ in part for at in (a, b)}]
        parts = [part for part in parts if part not in joined]
        parts.append([*(e for part in joined for e in part), edge])
    return parts
