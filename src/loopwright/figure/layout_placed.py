"""The layout on given places: points on the grid they were given, straight wires where two share a row or
column, otherwise one bend; branches side by side on tracks of their own."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..circuit.placed import near_and_far, track
from .placement import Cell, GridPath, Placement, packed, straightened
from .routing import TRACKS, Price, Tracks

_RIM = 2 * TRACKS
_WRONG_SIDE = 4


def is_placed(circuit: Circuit) -> bool:
    """Whether every point has a place of its own."""
    positions = [circuit.places[p] for p in circuit.points if p in circuit.places]
    return bool(positions) and len(positions) == len(circuit.points) and len(set(positions)) == len(positions)


def placed(circuit: Circuit) -> Placement:
    """A placement on the circuit's places. Raises ValueError when some wire finds no way."""
    cell_of = _cells(circuit)
    width = max(c for c, _ in cell_of.values()) + _RIM + 1
    height = max(r for _, r in cell_of.values()) + _RIM + 1
    tracks = Tracks(width, height)
    bars: list[tuple[str, GridPath]] = []
    for point in circuit.points:
        rows = _bars(circuit, point, cell_of)
        cells = tuple(dict.fromkeys((cell_of[point], *(cell for row in rows for cell in row))))
        tracks.stand(point, cells)
        for row in rows:
            bars.extend((point, pair) for pair in pairwise(row))
            tracks.lay(row)
    routes: dict[str, GridPath] = {}
    ranked = sorted(circuit.branches, key=lambda b: _rank(circuit, b, cell_of))
    for branch in ranked:
        path = _straight(circuit, branch, cell_of, tracks)
        if path and tracks.free(path, (path[0], path[-1])):
            tracks.lay(path)
            routes[branch.name] = path
    hops: list[tuple[str, Cell]] = []
    for branch in ranked:
        if branch.name not in routes:
            path, crossed = _led(circuit, branch, cell_of, tracks)
            routes[branch.name] = path
            hops.extend((branch.name, cell) for cell in crossed)
    dots = {point: tuple(tracks.ports[point]) for point in circuit.points}
    ordered = {b.name: routes[b.name] for b in circuit.branches}
    return packed(Placement(ordered, dots, tuple(bars), tuple(hops)))


def _cells(circuit: Circuit) -> dict[str, Cell]:
    """The cell of every placed point: distinct columns and rows widened into tracks; rows count downwards."""
    positions = {p: circuit.places[p] for p in circuit.named_points if p in circuit.places}
    columns = {x: i for i, x in enumerate(sorted({x for x, _ in positions.values()}))}
    rows = {y: i for i, y in enumerate(sorted({y for _, y in positions.values()}, reverse=True))}
    return {p: (_RIM + TRACKS * columns[x], _RIM + TRACKS * rows[y]) for p, (x, y) in positions.items()}


def _stations(branch: Branch, cell_of: dict[str, Cell]) -> list[Cell]:
    return [cell_of[p] for p in branch.points if p in cell_of]


def _rank(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell]) -> tuple[int, int, int]:
    """Which wires are led first: the middle ones of those side by side, without sources, short ones."""
    stations = _stations(branch, cell_of)
    length = sum(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pairwise(stations))
    at, count = track(circuit, branch)
    kinds = {circuit.elements[p.element].kind for p in branch.passes}
    source = int(bool(kinds & {Kind.BATTERY, Kind.CURRENT_SOURCE}))
    return abs(at - _middle(count)), length + source, circuit.currents.index(branch.name)


def _straight(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell], tracks: Tracks) -> GridPath:
    """The path straight from place to place, on its own track beside others; () when a piece is aslant."""
    stations = _stations(branch, cell_of)
    if any(a[0] != b[0] and a[1] != b[1] for a, b in pairwise(stations)):
        return ()
    if any(a == c or _between(c, a, b) or _between(a, b, c) for a, b, c in _threes(stations)):
        return ()  # it would come back along itself
    at, count = track(circuit, branch)
    if count > 1:
        shift = 2 * (at - _middle(count))
        (x1, y1), (x2, y2) = stations
        if (x1, y1 + shift) in tracks.ports[branch.start] and y1 == y2:
            return ((x1, y1 + shift), (x2, y2 + shift))
        if (x1 + shift, y1) in tracks.ports[branch.start] and x1 == x2:
            return ((x1 + shift, y1), (x2 + shift, y2))
        return ()
    ends = (
        _towards(tracks.ports[branch.start], stations[1]),
        _towards(tracks.ports[branch.end], stations[-2]),
    )
    path = straightened((ends[0], *stations[1:-1], ends[1]))
    return path if len(path) > 1 and all(a[0] == b[0] or a[1] == b[1] for a, b in pairwise(path)) else ()


def _threes(stations: Sequence[Cell]) -> Iterator[tuple[Cell, Cell, Cell]]:
    return zip(stations, stations[1:], stations[2:], strict=False)


def _middle(count: int) -> int:
    return (count - 1) // 2


def _towards(ports: Sequence[Cell], goal: Cell) -> Cell:
    """The cell of a point from which a straight wire to `goal` leaves: on its row or column, the nearest."""
    in_line = [cell for cell in ports if cell[0] == goal[0] or cell[1] == goal[1]]
    return min(in_line or ports, key=lambda c: abs(c[0] - goal[0]) + abs(c[1] - goal[1]))


def _led(
    circuit: Circuit, branch: Branch, cell_of: dict[str, Cell], tracks: Tracks
) -> tuple[GridPath, list[Cell]]:
    names = [p for p in branch.points if p in cell_of]
    whole: list[Cell] = []
    crossed: list[Cell] = []
    price = _side_price(circuit, branch, cell_of)
    for a, b in pairwise(names):
        for name in (a, b):
            tracks.ports.setdefault(name, [cell_of[name]])
        path, over = tracks.lead(a, b, price)
        tracks.lay(path)
        whole.extend(path)
        crossed.extend(over)
    return straightened(tuple(whole)), crossed


def _side_price(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell]) -> Price | None:
    """Keeps branches side by side in the order written: those before the middle one to its left."""
    at, count = track(circuit, branch)
    side = at - _middle(count)
    if count == 1 or side == 0:
        return None
    near, far = near_and_far(circuit, branch)
    (x1, y1), (x2, y2) = cell_of[near], cell_of[far]

    def price(cell: Cell) -> int:
        to_the_right = (x2 - x1) * (cell[1] - y1) - (y2 - y1) * (cell[0] - x1)  # rows count downwards
        return _WRONG_SIDE if to_the_right * side < 0 else 0

    return price


def _bars(circuit: Circuit, point: str, cell_of: dict[str, Cell]) -> list[GridPath]:
    """The bars of a point, across the way of branches that run side by side to another point in line with
    it, or where more branches meet than a single cell has sides."""
    x, y = cell_of[point]
    level, upright = {0}, {0}
    degree = 0
    for branch in circuit.branches:
        degree += (branch.start, branch.end).count(point)
        at, count = track(circuit, branch)
        if count == 1 or point not in (branch.start, branch.end):
            continue
        other = cell_of[branch.end if branch.start == point else branch.start]
        if any(_between(cell, (x, y), other) for cell in cell_of.values()):
            continue
        if other[0] == x:
            level.add(2 * (at - _middle(count)))
        elif other[1] == y:
            upright.add(2 * (at - _middle(count)))
    while 2 * (len(level) + len(upright)) < degree:
        level.add(max(level) + 2 if max(level) <= -min(level) else min(level) - 2)
    rows = [tuple((x + k, y) for k in sorted(level)), tuple((x, y + k) for k in sorted(upright))]
    return [row for row in rows if len(row) > 1]


def _between(cell: Cell, one: Cell, other: Cell) -> bool:
    in_line = cell[0] == one[0] == other[0] or cell[1] == one[1] == other[1]
    return (
        in_line
        and cell not in (one, other)
        and all(min(one[k], other[k]) <= cell[k] <= max(one[k], other[k]) for k in (0, 1))
    )
