"""The layout on given places: points on the grid they were given, straight wires where two share a row or
column, otherwise one bend; branches side by side on tracks of their own."""

from __future__ import annotations

from collections import Counter

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..circuit.placed import near_and_far, track
from .placement import Cell, Path, Placement, packed, straightened
from .routing import TRACKS, Price, Tracks, free_of_charge

_RIM = 3 * TRACKS
_WRONG_SIDE = 4.0


def is_placed(circuit: Circuit) -> bool:
    """Whether every point has a place of its own."""
    spots = [circuit.places[p] for p in circuit.points if p in circuit.places]
    return bool(spots) and len(spots) == len(circuit.points) and len(set(spots)) == len(spots)


def placed(circuit: Circuit) -> Placement:
    """A placement on the circuit's places. Raises ValueError when some wire finds no way."""
    cell_of = _cells(circuit)
    width = max(c for c, _ in cell_of.values()) + _RIM + 1
    height = max(r for _, r in cell_of.values()) + _RIM + 1
    tracks = Tracks(width, height)
    bars: list[tuple[str, Path]] = []
    for point in circuit.points:
        cells = _bar(circuit, point, cell_of)
        tracks.ports[point] = list(cells)
        if len(cells) > 1:
            bars.extend((point, pair) for pair in zip(cells, cells[1:], strict=False))
            tracks.lay(f"bar of {point}", cells)
        tracks.points.update(dict.fromkeys(cells, point))
    routes: dict[str, Path] = {}
    for branch in sorted(circuit.branches, key=lambda b: _rank(circuit, b, cell_of)):
        path = _straight(circuit, branch, cell_of)
        if path and tracks.free(path, (path[0], path[-1])):
            tracks.lay(branch.name, path)
            routes[branch.name] = path
    hops: list[tuple[str, Cell]] = []
    for branch in sorted(circuit.branches, key=lambda b: _rank(circuit, b, cell_of)):
        if branch.name not in routes:
            path, crossed = _led(circuit, branch, cell_of, tracks)
            routes[branch.name] = path
            hops.extend((branch.name, cell) for cell in crossed)
    dots = {point: tuple(tracks.ports[point]) for point in circuit.points}
    ordered = {b.name: routes[b.name] for b in circuit.branches}
    return packed(Placement(ordered, dots, tuple(bars), tuple(hops)))


def _cells(circuit: Circuit) -> dict[str, Cell]:
    """The cell of every placed point: distinct columns and rows widened into tracks; rows count downwards."""
    spots = {p: circuit.places[p] for p in circuit.named_points if p in circuit.places}
    columns = {x: i for i, x in enumerate(sorted({x for x, _ in spots.values()}))}
    rows = {y: i for i, y in enumerate(sorted({y for _, y in spots.values()}, reverse=True))}
    return {p: (_RIM + TRACKS * columns[x], _RIM + TRACKS * rows[y]) for p, (x, y) in spots.items()}


def _stations(branch: Branch, cell_of: dict[str, Cell]) -> list[Cell]:
    return [cell_of[p] for p in branch.points if p in cell_of]


def _rank(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell]) -> tuple[int, int, int]:
    """Which wires are led first: the middle ones of those side by side, without sources, short ones."""
    stations = _stations(branch, cell_of)
    length = sum(
        abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in zip(stations, stations[1:], strict=False)
    )
    at, count = track(circuit, branch)
    kinds = {circuit.elements[p.element].kind for p in branch.passes}
    source = int(bool(kinds & {Kind.BATTERY, Kind.CURRENT_SOURCE}))
    return abs(2 * at - (count - 1)) // 2, length + source, circuit.currents.index(branch.name)


def _straight(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell]) -> Path:
    """The path straight from place to place, or () when a piece of it is aslant or others run beside it."""
    at, count = track(circuit, branch)
    stations = _stations(branch, cell_of)
    pieces = list(zip(stations, stations[1:], strict=False))
    if at != (count - 1) // 2 or any(a[0] != b[0] and a[1] != b[1] for a, b in pieces):
        return ()
    path = straightened(tuple(stations))
    return path if len(path) > 1 else ()


def _led(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell], tracks: Tracks) -> tuple[Path, list[Cell]]:
    names = [p for p in branch.points if p in cell_of]
    whole: list[Cell] = []
    crossed: list[Cell] = []
    price = _side_price(circuit, branch, cell_of)
    for a, b in zip(names, names[1:], strict=False):
        for name in (a, b):
            tracks.ports.setdefault(name, [cell_of[name]])
        path, over = tracks.lead(a, b, price)
        tracks.lay(branch.name, path)
        whole.extend(path)
        crossed.extend(over)
    return straightened(tuple(whole)), crossed


def _side_price(circuit: Circuit, branch: Branch, cell_of: dict[str, Cell]) -> Price:
    """Keeps branches side by side in the order written: those before the middle one to its left."""
    at, count = track(circuit, branch)
    side = 2 * at - 2 * ((count - 1) // 2)
    if count == 1 or side == 0:
        return free_of_charge
    near, far = near_and_far(circuit, branch)
    (x1, y1), (x2, y2) = cell_of[near], cell_of[far]

    def price(cell: Cell) -> float:
        to_the_right = (x2 - x1) * (cell[1] - y1) - (y2 - y1) * (cell[0] - x1)  # rows count downwards
        return _WRONG_SIDE if to_the_right * side < 0 else 0.0

    return price


def _bar(circuit: Circuit, point: str, cell_of: dict[str, Cell]) -> Path:
    """The cells of a point: one, or a bar when more branches meet than there are sides."""
    others: Counter[str] = Counter()
    for branch in circuit.branches:
        if point in (branch.start, branch.end):
            others[branch.end if branch.start == point else branch.start] += 1
            others[point] += branch.start == branch.end
    degree = sum(others.values())
    side_by_side = max(others.values())
    x, y = cell_of[point]
    if degree <= 4 and side_by_side < 4:
        return ((x, y),)
    ends = -(-(degree - 2) // 2)
    reach = [2 * k for k in range(-(ends // 2), ends - ends // 2)]
    most = others.most_common(1)[0][0]
    level = cell_of[most][1] != y
    return tuple((x + k, y) if level else (x, y + k) for k in reach)
