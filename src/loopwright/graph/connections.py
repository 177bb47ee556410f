"""Which points hang together: parts, shortest ways and bridges of a set of lines between points.

Plain graph work on (name, start, end) triples, so that two lines may run side by side and a line may
begin and end on one point. Knows no elements, no symbols and no laws.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable
from dataclasses import dataclass

Link = tuple[str, str, str]  # name, start point, end point: ("I1", "top", "foot")
Walk = tuple[
    tuple[str, int], ...
]  # lines with the sense in which each is gone along: (("I1", 1), ("I2", -1))


@dataclass(frozen=True, slots=True)
class ConnectedParts:
    """The points sorted into parts that hang together; `part[p]` is the first point of the part of `p`."""

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


def parts(points: Iterable[str], lines: Iterable[Link]) -> ConnectedParts:
    """Sorts `points` into parts joined by `lines`."""
    above = {point: point for point in points}

    def top(point: str) -> str:
        while above[point] != point:
            above[point] = above[above[point]]
            point = above[point]
        return point

    order = {point: number for number, point in enumerate(above)}
    for _, start, end in lines:
        a, b = sorted((top(start), top(end)), key=order.__getitem__)
        above[b] = a
    return ConnectedParts({point: top(point) for point in above})


def shortest_way(lines: Iterable[Link], start: str, end: str) -> Walk | None:
    """The way from `start` to `end` over the fewest lines, the first found; None if cut off."""
    at: dict[str, list[tuple[str, str, int]]] = {}
    for name, a, b in lines:
        at.setdefault(a, []).append((name, b, 1))
        at.setdefault(b, []).append((name, a, -1))
    came: dict[str, tuple[str, str, int] | None] = {start: None}
    waiting = deque([start])
    while waiting and end not in came:
        point = waiting.popleft()
        for name, other, sense in at.get(point, ()):
            if other not in came:
                came[other] = (point, name, sense)
                waiting.append(other)
    if end not in came:
        return None
    way: list[tuple[str, int]] = []
    step = came[end]
    while step is not None:
        point, name, sense = step
        way.append((name, sense))
        step = came[point]
    return tuple(reversed(way))


def short_loops(lines: Iterable[Link]) -> tuple[Walk, ...]:
    """A set of independent loops of the lines, each closed by one line along the shortest way back.

    Every line whose ends are joined already by the lines before it gives one loop.
    """
    loops: list[Walk] = []
    before: list[Link] = []
    for line in lines:
        name, start, end = line
        back = shortest_way(before, end, start)
        if back is not None:
            loops.append(((name, 1), *back))
        before.append(line)
    return tuple(loops)


def bridges(lines: Iterable[Link]) -> tuple[str, ...]:
    """The lines that lie on no closed path, in the order given.

    Cost: one walk over all lines (depth first, low points).
    Source: R. E. Tarjan, "A note on finding the bridges of a graph", 1974 (from memory).
    """
    kept = [line for line in lines if line[1] != line[2]]
    at: dict[str, list[tuple[str, str]]] = {}
    for name, a, b in kept:
        at.setdefault(a, []).append((name, b))
        at.setdefault(b, []).append((name, a))
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
    return tuple(name for name, _, _ in kept if name in found)
