"""Leading wires over a grid: straight where the way is free, else with few bends, side by side, or hopping.

Every grid place is widened into several tracks; a wire is a cheapest path over free tracks (C. Y. Lee,
"An algorithm for path connections and its applications", IRE Transactions on Electronic Computers
10, 1961), with a price on bends and a high one on crossing another wire.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from ..circuit.elements import Branch
from .placement import Cell, GridPath, Placement, packed, straightened

TRACKS = 6  # tracks from one place of the grid to the next
_BEND = 3
_HOP = 400
_FAR = 1 << 60
_BLOCKED, _FREE, _OVER = range(3)  # what a wire finds in a cell: no way, a free one, or a wire to hop over

Price = Callable[[Cell], int]  # what a cell costs beyond its length


@dataclass(slots=True)
class Tracks:
    """The tracks of a figure: which cells wires run through, and which belong to points.

    `ports`: the cells at which a point can be reached. Within, a cell is one number, with a rim of blocked
    cells round the whole: `_entry` says for each axis (0 level, 1 upright) what a wire that comes along it
    finds in a cell, `_held` whether a wire runs through it along that axis.
    """

    width: int
    height: int
    ports: dict[str, list[Cell]] = field(default_factory=dict)
    _wide: int = 0
    _entry: tuple[bytearray, bytearray] = (bytearray(), bytearray())
    _held: tuple[bytearray, bytearray] = (bytearray(), bytearray())
    _points: set[int] = field(default_factory=set)

    def __post_init__(self) -> None:
        self._wide = self.width + 2
        size = self._wide * (self.height + 2)
        row = bytes([_BLOCKED, *[_FREE] * self.width, _BLOCKED])
        blank = bytes(self._wide) + row * self.height + bytes(self._wide)
        self._entry = bytearray(blank), bytearray(blank)
        self._held = bytearray(size), bytearray(size)

    def _number(self, cell: Cell) -> int:
        return (cell[1] + 1) * self._wide + cell[0] + 1

    def _cell(self, number: int) -> Cell:
        return number % self._wide - 1, number // self._wide - 1

    def stand(self, point: str, cells: Sequence[Cell]) -> None:
        """Gives a point its cells, at which alone wires reach it."""
        self.ports[point] = list(cells)
        for number in map(self._number, cells):
            self._points.add(number)
            self._entry[0][number] = self._entry[1][number] = _BLOCKED

    def lay(self, path: GridPath) -> None:
        """Marks the cells of a path of corners as taken by a wire."""
        for a, b in pairwise(path):
            axis = 0 if a[1] == b[1] else 1
            held, along, across = self._held[axis], self._entry[axis], self._entry[1 - axis]
            step = self._wide if axis else 1
            low, high = sorted((self._number(a), self._number(b)))
            for number in range(low, high + 1, step):
                held[number] = 1
                along[number] = _BLOCKED
                if across[number] == _FREE:
                    across[number] = _OVER
        for number in map(self._number, path):  # nothing crosses where a wire turns or ends
            self._entry[0][number] = self._entry[1][number] = _BLOCKED

    def free(self, path: GridPath, ends: Iterable[Cell]) -> bool:
        """Whether nothing lies on a path, its ends apart."""
        own = set(map(self._number, ends))
        level, upright = self._held
        return all(
            n in own or not (level[n] or upright[n] or n in self._points)
            for n in map(self._number, cells_of(path))
        )

    def lead(self, start: str, end: str, price: Price | None = None) -> tuple[GridPath, tuple[Cell, ...]]:
        """The cheapest path from one point to another, and the cells where it crosses other wires. `price`:
        what a cell costs beyond its length.

        Raises ValueError when every way is blocked.
        """
        if price is None and (plain := self._plain(start, end)):
            return plain, ()
        sources, goals = (set(map(self._number, self.ports[point])) for point in (start, end))
        level_ahead, upright_ahead = self._ahead(self.ports[end])
        wide, (level, upright), (by_level, by_upright) = self._wide, self._held, self._entry
        steps = (
            (1, by_level, level),
            (wide, by_upright, upright),
            (-1, by_level, level),
            (-wide, by_upright, upright),
        )
        onward = tuple(tuple((t, *steps[t]) for t in range(4) if (t - way) % 4 != 2) for way in range(4))
        every = tuple((t, *steps[t]) for t in range(4))
        # a state is cell * 4 + way; it waits with those that may cost as much in all, the oldest first
        dear = [_FAR] * (4 * len(level))
        came = [-1] * (4 * len(level))
        waiting: defaultdict[int, list[int]] = defaultdict(list)
        for number in map(self._number, self.ports[start]):
            for way in range(4):
                dear[number * 4 + way] = 0
                waiting[level_ahead[number % wide] + upright_ahead[number // wide]].append(number * 4 + way)
        for in_all, state in _cheapest_first(waiting):
            number, way = state >> 2, state & 3
            cost = dear[state]
            if in_all > cost + level_ahead[number % wide] + upright_ahead[number // wide]:
                continue  # come to at less cost since
            if number in goals and came[state] >= 0:
                return self._traced(state, came)
            at_start = number in sources
            if at_start:
                ways = every
            elif level[number] or upright[number]:
                ways = (every[way],)  # straight over a wire only
            else:
                ways = onward[way]
            for turn, step, entries, held in ways:
                to = number + step
                entry = entries[to]
                if entry == _FREE:
                    total = cost + 1
                elif entry == _OVER:
                    total = cost + 1 + _HOP
                elif to in goals and not (held[to] and held[number]):  # else a wire leaves to this side
                    total = cost + 1
                else:
                    continue
                if turn != way and not at_start:
                    total += _BEND
                if price is not None:
                    total += price(self._cell(to))
                there = to * 4 + turn
                if total < dear[there]:
                    dear[there] = total
                    came[there] = state
                    waiting[total + level_ahead[to % wide] + upright_ahead[to // wide]].append(there)
        raise ValueError(f"no way for a wire from {start} to {end}")

    def _plain(self, start: str, end: str) -> GridPath:
        """The path between two points of one cell each that is straight, or else the only one of one bend:
        none compares with it. () where there is none, or something lies on it."""
        if len(self.ports[start]) > 1 or len(self.ports[end]) > 1:
            return ()
        a, b = self.ports[start][0], self.ports[end][0]
        if a == b:
            return ()
        if a[0] == b[0] or a[1] == b[1]:
            return (a, b) if self._clear(a, b) else ()
        corners = [c for c in ((a[0], b[1]), (b[0], a[1])) if self._clear(a, c, c) and self._clear(c, b)]
        return (a, corners[0], b) if len(corners) == 1 else ()

    def _clear(self, a: Cell, b: Cell, *ends: Cell) -> bool:
        """Whether nothing lies between two cells in line, nor on those of their `ends` that are named."""
        axis, step = (0, 1) if a[1] == b[1] else (1, self._wide)
        low, high = sorted((self._number(a), self._number(b)))
        between = self._entry[axis][low + step : high : step]
        free = between == bytes([_FREE]) * len(between)
        return free and all(self._entry[axis][self._number(cell)] == _FREE for cell in ends)

    def _ahead(self, goals: Sequence[Cell]) -> tuple[list[int], list[int]]:
        """For each column, and for each row, how far it is at least to any of the goals."""
        left, right = min(c for c, _ in goals), max(c for c, _ in goals)
        top, foot = min(r for _, r in goals), max(r for _, r in goals)
        columns = [max(left - x, x - right, 0) for x in range(-1, self.width + 1)]
        return columns, [max(top - y, y - foot, 0) for y in range(-1, self.height + 1)]

    def _traced(self, state: int, came: Sequence[int]) -> tuple[GridPath, tuple[Cell, ...]]:
        numbers = [state >> 2]
        while came[state] >= 0:
            state = came[state]
            numbers.append(state >> 2)
        numbers.reverse()
        level, upright = self._held
        path = straightened(tuple(map(self._cell, numbers)))
        crossed = (self._cell(n) for n in numbers[1:-1] if level[n] or upright[n])
        return path, tuple(cell for cell in crossed if cell not in path)


def _cheapest_first(waiting: dict[int, list[int]]) -> Iterator[tuple[int, int]]:
    """The states that wait, by what they may cost in all, each with that cost; more may come to wait in the
    meantime, none for less than the one given last."""
    while waiting:
        least = min(waiting)
        for state in waiting[least]:  # those that come to wait here are met as well
            yield least, state
        del waiting[least]


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
    for path in (*routes.values(), *(path for _, path in bars)):
        tracks.lay(path)
    for point, cells in dots.items():
        tracks.stand(point, cells)
    hops: list[tuple[str, Cell]] = []
    for branch in branches:
        path, crossed = tracks.lead(branch.start, branch.end)
        tracks.lay(path)
        routes[branch.name] = path
        hops.extend((branch.name, cell) for cell in crossed)
    return packed(Placement(routes, dots, bars, tuple(hops)))
