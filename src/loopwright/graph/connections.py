"""Which points hang together: parts, trees, shortest ways and bridges of lines between points.

Two lines may run side by side, and a line may begin and end on one point. Knows no elements, no symbols
and no laws.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from .lines import AnyLine, Dart, Line, Loop, Walk


@dataclass(frozen=True, slots=True)
class ConnectedParts:
    """Points sorted into parts that hang together. `part` gives for each point the first point of its part,
    which so is the name of the part."""

    part: dict[str, str]

    def joined(self, a: str, b: str) -> bool:
        """Whether two points are in one part."""
        return self.part[a] == self.part[b]

    def groups(self) -> tuple[tuple[str, ...], ...]:
        """The points of each part, in the order of the points given."""
        found: dict[str, list[str]] = {}
        for point, first in self.part.items():
            found.setdefault(first, []).append(point)
        return tuple(tuple(points) for points in found.values())


class _Joining:
    """Points that are made one, pair by pair (disjoint sets: B. A. Galler and M. J. Fischer, Comm. ACM 7,
    301, 1964, from memory)."""

    def __init__(self) -> None:
        self.above: dict[str, str] = {}
        self.order: dict[str, int] = {}

    def top(self, point: str) -> str:
        """The first point met of those that are one with this point."""
        above = self.above
        if point not in above:
            above[point] = point
            self.order[point] = len(self.order)
        while above[point] != point:
            above[point] = above[above[point]]
            point = above[point]
        return point

    def join(self, a: str, b: str) -> bool:
        """Makes two points one; whether they were not one before."""
        first, second = sorted((self.top(a), self.top(b)), key=self.order.__getitem__)
        self.above[second] = first
        return first != second


def parts(points: Iterable[str], lines: Iterable[Line]) -> ConnectedParts:
    """Sorts `points` into parts joined by `lines`; a point without a line is a part of its own."""
    joining, every = _Joining(), tuple(points)
    for point in every:
        joining.top(point)
    for line in lines:
        joining.join(line.start, line.end)
    return ConnectedParts({point: joining.top(point) for point in every})


def spanning_tree(lines: Iterable[AnyLine]) -> tuple[tuple[AnyLine, ...], tuple[AnyLine, ...]]:
    """A tree of each part, and its chords: every line that joins what those before it did not is in a
    tree, every other closes a loop (a chord). Both in the order given.

    Source: J. B. Kruskal, Proceedings of the American Mathematical Society 7, 48, 1956 (from memory).
    """
    joining = _Joining()
    found: tuple[list[AnyLine], list[AnyLine]] = ([], [])
    for line in lines:
        found[not joining.join(line.start, line.end)].append(line)
    return tuple(found[0]), tuple(found[1])


def reached_from(start: str, lines: Iterable[Line]) -> dict[str, tuple[str, Dart] | None]:
    """Every point that can be reached, nearest first, with the point before it and the dart by which it is
    reached from there; `start` itself with None."""
    at: dict[str, list[tuple[str, Dart]]] = {}
    for line in lines:
        at.setdefault(line.start, []).append((line.end, (line.name, 1)))
        at.setdefault(line.end, []).append((line.start, (line.name, -1)))
    came: dict[str, tuple[str, Dart] | None] = {start: None}
    waiting = [start]
    for point in waiting:  # grows as it is gone through
        for other, dart in at.get(point, ()):
            if other not in came:
                came[other] = (point, dart)
                waiting.append(other)
    return came


def shortest_way(lines: Iterable[Line], start: str, end: str) -> Walk | None:
    """The way from `start` to `end` over the fewest lines, the first found; None if cut off."""
    came = reached_from(start, lines)
    if end not in came:
        return None
    way: list[Dart] = []
    step = came[end]
    while step is not None:
        point, dart = step
        way.append(dart)
        step = came[point]
    return tuple(reversed(way))


def short_loops(lines: Iterable[Line]) -> tuple[Loop, ...]:
    """A set of independent loops of the lines, each closed by one line along the shortest way back.

    Every line whose ends are joined already by the lines before it gives one loop.
    """
    loops: list[Loop] = []
    before: list[Line] = []
    for line in lines:
        back = shortest_way(before, line.end, line.start)
        if back is not None:
            loops.append(((line.name, 1), *back))
        before.append(line)
    return tuple(loops)


def bridges(lines: Iterable[Line]) -> tuple[str, ...]:
    """The lines that lie on no closed path, in the order given.

    Cost: one walk over all lines (depth first, low points).
    Source: R. E. Tarjan, "A note on finding the bridges of a graph", 1974 (from memory).
    """
    kept = [line for line in lines if line.start != line.end]
    at: dict[str, list[tuple[str, str]]] = {}
    for line in kept:
        at.setdefault(line.start, []).append((line.name, line.end))
        at.setdefault(line.end, []).append((line.name, line.start))
    reached: dict[str, int] = {}
    low: dict[str, int] = {}
    found: set[str] = set()
    for root in at:
        if root in reached:
            continue
        reached[root] = low[root] = len(reached)
        stack = [(root, "", iter(at[root]))]
        while stack:
            point, came_by, onward = stack[-1]
            for name, other in onward:
                if name == came_by:
                    continue
                if other not in reached:
                    reached[other] = low[other] = len(reached)
                    stack.append((other, name, iter(at[other])))
                    break
                low[point] = min(low[point], reached[other])
            else:
                stack.pop()
                if stack:
                    before = stack[-1][0]
                    low[before] = min(low[before], low[point])
                    if low[point] > reached[before]:
                        found.add(came_by)
    return tuple(line.name for line in kept if line.name in found)
