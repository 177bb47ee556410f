"""Where everything of a figure stands on a grid, before there are millimetres.

Columns count to the right, rows downwards, both from 0.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

Cell = tuple[int, int]  # column, row
GridPath = tuple[Cell, ...]  # the corners of a line that runs along columns and rows


@dataclass(frozen=True, slots=True)
class Placement:
    """Where a figure's lines run on the grid. `routes`: for each branch the cells of its corners along the
    arrow. `dots`: the cells of each point, several where it is drawn as a bar. `bars`: the plain wires
    between those, each with its point. `hops`: the cells where one branch hops over another, each with the
    branch that hops."""

    routes: Mapping[str, GridPath]
    dots: Mapping[str, tuple[Cell, ...]]
    bars: tuple[tuple[str, GridPath], ...] = ()
    hops: tuple[tuple[str, Cell], ...] = ()

    @property
    def columns(self) -> int:
        """How many columns there are."""
        return 1 + max(c for path in self.paths() for c, _ in path)

    @property
    def rows(self) -> int:
        """How many rows there are."""
        return 1 + max(r for path in self.paths() for _, r in path)

    def paths(self) -> tuple[GridPath, ...]:
        """Every line of the figure: branches, then bars."""
        return (*self.routes.values(), *(path for _, path in self.bars))


def straightened(path: GridPath) -> GridPath:
    """The path without corners that do not turn and without steps of no length."""
    kept: list[Cell] = []
    for cell in path:
        if kept and cell == kept[-1]:
            continue
        while len(kept) > 1 and _in_line(kept[-2], kept[-1], cell):
            kept.pop()
        kept.append(cell)
    return tuple(kept)


def _in_line(a: Cell, b: Cell, c: Cell) -> bool:
    return a[0] == b[0] == c[0] or a[1] == b[1] == c[1]


def packed(placement: Placement) -> Placement:
    """The same placement without columns and rows in which no line ends, bends or stands."""
    paths = placement.paths()
    used = [cell for path in paths for cell in path] + [cell for _, cell in placement.hops]
    column = {c: i for i, c in enumerate(sorted({c for c, _ in used}))}
    row = {r: i for i, r in enumerate(sorted({r for _, r in used}))}

    def moved(path: GridPath) -> GridPath:
        return tuple((column[c], row[r]) for c, r in path)

    return Placement(
        {name: moved(path) for name, path in placement.routes.items()},
        {point: moved(cells) for point, cells in placement.dots.items()},
        tuple((point, moved(path)) for point, path in placement.bars),
        tuple((name, moved((cell,))[0]) for name, cell in placement.hops),
    )
