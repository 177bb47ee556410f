"""Leading wires over a grid: straight where the way is free, else with few bends, side by side, or hopping.

Every grid place is widened into several tracks; a wire is a cheapest path over free tracks (C. Y. Lee,
"An algorithm for path connections and its applications", IRE Transactions on Electronic Computers
10, 1961), with a price on bends and a high one on crossing another wire.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import pairwise

from ..circuit.elements import Branch
from .placement import Cell, GridPath, Placement, packed, straightened

TRACKS = 6  # tracks from one place of the grid to the next
_BEND = 3.0
_HOP = 400.0
_FAR = float("inf")
_STEPS = ((1, 0), (0, 1), (-1, 0), (0, -1))

Price = Callable[[Cell], float]  # what a cell costs beyond its length


def free_of_charge(_: Cell) -> float:
    """No cell costs more than its length."""
    return 0.0


@dataclass(slots=True)
class Tracks:
    """The tracks of a figure: which cells wires run through (and how), and which belong to points.

    `level` and `upright` hold the owner of the wire through a cell in each direction; `bends` the cells
    where a wire turns or ends, which nothing may cross; `ports` the cells at which a point can be reached.
    """

    width: int
    height: int
    level: dict[Cell, str] = field(default_factory=dict)
    upright: dict[Cell, str] = field(default_factory=dict)
    bends: dict[Cell, str] = field(default_factory=dict)
    ports: dict[str, list[Cell]] = field(default_factory=dict)
    points: dict[Cell, str] = field(default_factory=dict)

    def lay(self, name: str, path: GridPath) -> None:
        """Marks the cells of a path of corners as taken by the wire `name`."""
        for a, b in pairwise(path):
            step = ((b[0] > a[0]) - (b[0] < a[0]), (b[1] > a[1]) - (b[1] < a[1]))
            cell = a
            held = self.level if step[1] == 0 else self.upright
            while cell != b:
                held[cell] = name
                cell = (cell[0] + step[0], cell[1] + step[1])
            held[b] = name
        for cell in path:
            self.bends[cell] = name

    def free(self, path: GridPath, ends: Iterable[Cell]) -> bool:
        """Whether nothing lies on a path, its ends apart."""
        own = set(ends)
        return all(
            cell in own or not (cell in self.level or cell in self.upright or cell in self.points)
            for cell in cells_of(path)
        )

    def lead(self, start: str, end: str, price: Price = free_of_charge) -> tuple[GridPath, tuple[Cell, ...]]:
        """The cheapest path from one point to another, and the cells where it crosses other wires.

        Raises ValueError when every way is blocked.
        """
        goals = set(self.ports[end])
        left, right = min(c for c, _ in goals), max(c for c, _ in goals)
        top, foot = min(r for _, r in goals), max(r for _, r in goals)

        def ahead(cell: Cell) -> float:  # never more than what is still to go
            x, y = cell
            level = left - x if x < left else x - right if x > right else 0
            return level + (top - y if y < top else y - foot if y > foot else 0)

        heap: list[tuple[float, int, Cell, int]] = []
        dear: dict[tuple[Cell, int], float] = {}
        came: dict[tuple[Cell, int], tuple[Cell, int]] = {}
        count = 0
        for port in self.ports[start]:
            for way in range(4):
                dear[(port, way)] = 0.0
                heappush(heap, (ahead(port), count, port, way))
                count += 1
        sources = set(self.ports[start])
        while heap:
            hoped, _, cell, way = heappop(heap)
            cost = dear[(cell, way)]
            if hoped > cost + ahead(cell) + 1e-9:
                continue
            if cell in goals and (cell, way) in came:
                return self._traced((cell, way), came)
            at_start = cell in sources
            on_a_wire = cell in self.level or cell in self.upright
            for turn, (dx, dy) in enumerate(_STEPS):
                if turn != way and not at_start and (on_a_wire or (turn - way) % 4 == 2):
                    continue  # never back, and straight over a wire only
                to = (cell[0] + dx, cell[1] + dy)
                known = dear.get((to, turn), _FAR)
                total = cost + 1.0 if turn == way or at_start else cost + 1.0 + _BEND
                if total >= known:
                    continue
                step = self._step(cell, to, turn, sources, goals)
                if step is None:
                    continue
                total += step - 1.0 + price(to)
                if total < known:
                    dear[(to, turn)] = total
                    came[(to, turn)] = (cell, way)
                    count += 1
                    heappush(heap, (total + ahead(to), count, to, turn))
        raise ValueError(f"no way for a wire from {start} to {end}")

    def _step(self, cell: Cell, to: Cell, way: int, sources: set[Cell], goals: set[Cell]) -> float | None:
        """What it costs to go on from `cell` to its neighbour `to` in direction `way`; None where no wire
        may go."""
        if not (0 <= to[0] < self.width and 0 <= to[1] < self.height):
            return None
        along = self.level if way % 2 == 0 else self.upright
        across = self.upright if way % 2 == 0 else self.level
        if cell in along and to in along and along[cell] == along[to]:
            return None  # on top of another wire
        if to in goals:
            return None if to in along and self._faces(to, way, along) else 1.0
        if to in sources or to in self.points or to in self.bends or to in along:
            return None
        return 1.0 + (_HOP if to in across else 0.0)

    def _faces(self, port: Cell, way: int, along: dict[Cell, str]) -> bool:
        """Whether a wire already leaves a port towards the side that is come from."""
        dx, dy = _STEPS[way]
        back = (port[0] - dx, port[1] - dy)
        return back in along

    def _traced(
        self, at: tuple[Cell, int], came: dict[tuple[Cell, int], tuple[Cell, int]]
    ) -> tuple[GridPath, tuple[Cell, ...]]:
        cells = [at[0]]
        while at in came:
            at = came[at]
            cells.append(at[0])
            if len(cells) > 4 * self.width * self.height:
                break
        cells.reverse()
        path = straightened(tuple(cells))
        crossed = tuple(
            cell for cell in cells[1:-1] if (cell in self.level or cell in self.upright) and cell not in path
        )
        return path, crossed


def cells_of(path: GridPath) -> list[Cell]:
    """Every cell that a path of corners runs through."""
    cells: list[Cell] = []
    for a, b in pairwise(path):
        step = ((b[0] > a[0]) - (b[0] < a[0]), (b[1] > a[1]) - (b[1] < a[1]))
        length = abs(b[0] - a[0]) + abs(b[1] - a[1])
        cells.extend((a[0] + step[0] * k, a[1] + step[1] * k) for k in range(length))
    return [*cells, path[-1]]


def led_through(placement: Placement, branches: Sequence[Branch]) -> Placement:
    """The placement with more branches led between the others, hopping over as few wires as can be."""
    rim = TRACKS

    def moved(path: GridPath) -> GridPath:
        return tuple((c * TRACKS + rim, r * TRACKS + rim) for c, r in path)

    tracks = Tracks(
        (placement.columns - 1) * TRACKS + 2 * rim + 1, (placement.rows - 1) * TRACKS + 2 * rim + 1
    )
    routes = {name: moved(path) for name, path in placement.routes.items()}
    bars = tuple((point, moved(path)) for point, path in placement.bars)
    dots = {point: moved(cells) for point, cells in placement.dots.items()}
    for name, path in routes.items():
        tracks.lay(name, path)
    for point, path in bars:
        tracks.lay(f"bar of {point}", path)
    for point, cells in dots.items():
        tracks.ports[point] = list(cells)
        tracks.points.update(dict.fromkeys(cells, point))
    hops: list[tuple[str, Cell]] = []
    for branch in branches:
        path, crossed = tracks.lead(branch.start, branch.end)
        tracks.lay(branch.name, path)
        routes[branch.name] = path
        hops.extend((branch.name, cell) for cell in crossed)
    return packed(Placement(routes, dots, bars, tuple(hops)))
