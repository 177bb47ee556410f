"""Where everything of a figure stands on a grid, before there are millimetres.

Columns count to the right, rows downwards, both from 0.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping
from dataclasses import dataclass, field

Cell = tuple[int, int]  # column, row
GridPath = tuple[Cell, ...]  # the corners of a line that runs along columns and rows
StraightPart = tuple[Cell, Cell]  # one straight part of it


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a figure's lines run on the grid. `routes`: for each branch the cells of its corners along the
    arrow. `dots`: the cells of each point, several where it is drawn as a bar. `bars`: the plain wires
    between those, each with its point. `hops`: the cells where one branch hops over another, each with the
    branch that hops.

    Of a circuit that stands as another one did, besides: `gaps`: the branches cut out, shown with a gap, and
    where they ran; `emptied`: the elements cut out of a branch that is still there, likewise. `stands`: on
    which straight part an element is to stand, or a gap by the name of its branch. `arrows`: on which the
    arrow of a branch is to stand.
    """

    routes: Mapping[str, GridPath]
    dots: Mapping[str, tuple[Cell, ...]]
    bars: tuple[tuple[str, GridPath], ...] = ()
    hops: tuple[tuple[str, Cell], ...] = ()
    gaps: tuple[tuple[str, GridPath], ...] = ()
    emptied: frozenset[str] = frozenset()
    stands: Mapping[str, StraightPart] = field(default_factory=dict)
    arrows: Mapping[str, StraightPart] = field(default_factory=dict)

    @property
    def columns(self) -> int:
        """How many columns there are."""
        return 1 + max(c for path in self.paths() for c, _ in path)

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return 1 + max(r for path in self.paths() for _, r in path)

    def paths(self) -> tuple[GridPath, ...]:
        """Every line of the figure: branches, then bars, then what is left of branches cut out."""
        return (*self.routes.values(), *(path for _, path in (*self.bars, *self.gaps)))

    def along_bar(self, point: str, start: Cell, end: Cell) -> GridPath:
        """The way along the wires of a point's bar from one of its cells to another."""
        paths: list[GridPath] = [(start,)]
        seen = {start}
        while paths:
            path = paths.pop(0)
            if path[-1] == end:
                return path
            for owner, bar in self.bars:
                for piece in (bar, bar[::-1]):
                    if owner == point and piece[0] == path[-1] and piece[-1] not in seen:
                        seen.add(piece[-1])
                        paths.append((*path, *piece[1:]))
        return (start, end)


def straightened(path: GridPath, keeping: Collection[Cell] = ()) -> GridPath:
    """The path without corners that do not turn (but for those to be kept) and without steps of no length."""
    kept: list[Cell] = []
    for cell in path:
        if kept and cell == kept[-1]:
            continue
        while len(kept) > 1 and kept[-1] not in keeping and _in_line(kept[-2], kept[-1], cell):
            kept.pop()
        kept.append(cell)
    return tuple(kept)


def _in_line(a: Cell, b: Cell, c: Cell) -> bool:
    return a[0] == b[0] == c[0] or a[1] == b[1] == c[1]


def packed(placement: Placement) -> Placement:
    """The same placement without columns and rows in which no line ends, bends or stands."""
    paths = placement.paths()
    pieces = (*placement.stands.values(), *placement.arrows.values())
    used = [cell for path in (*paths, *pieces) for cell in path] + [cell for _, cell in placement.hops]
    column = {c: i for i, c in enumerate(sorted({c for c, _ in used}))}
    row = {r: i for i, r in enumerate(sorted({r for _, r in used}))}

    return _moved(placement, lambda cell: (column[cell[0]], row[cell[1]]))


def seen_otherwise(placement: Placement, *, mirrored: bool, turned: bool) -> Placement:
    """The same placement with left and right exchanged, then turned by a quarter to the right."""
    if mirrored:
        last = placement.columns - 1
        placement = _moved(placement, lambda cell: (last - cell[0], cell[1]))
    if turned:
        bottom = placement.rows - 1
        placement = _moved(placement, lambda cell: (bottom - cell[1], cell[0]))
    return placement


def _moved(placement: Placement, at: Callable[[Cell], Cell]) -> Placement:
    """The placement with every cell put elsewhere."""

    def moved(path: GridPath) -> GridPath:
        return tuple(map(at, path))

    return Placement(
        {name: moved(path) for name, path in placement.routes.items()},
        {point: moved(cells) for point, cells in placement.dots.items()},
        tuple((point, moved(path)) for point, path in placement.bars),
        tuple((name, at(cell)) for name, cell in placement.hops),
        tuple((name, moved(path)) for name, path in placement.gaps),
        placement.emptied,
        {name: (at(a), at(b)) for name, (a, b) in placement.stands.items()},
        {name: (at(a), at(b)) for name, (a, b) in placement.arrows.items()},
    )
