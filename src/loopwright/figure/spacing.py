"""From grid to millimetres: columns and rows as far apart as what stands between them needs.

Many ways to put labels are measured for one figure; what does not change with them is found once.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from .placement import Cell
from .slots import Leg

BETWEEN = 2.4  # between the things of one leg and those of the next
END = 3.6  # from the end of a leg to the first thing on it
LEAST = 6.0  # between neighbouring columns or rows
MESH = 15.0  # across a mesh at least


Needs = Mapping[tuple[int, int], float]  # two columns or rows -> how far apart they must be at least, in mm
Facing = tuple[int, int, tuple[int, int]]  # two legs by their numbers, and the columns or rows they stand on


@dataclass(frozen=True, slots=True)
class Neighbours:
    """The legs that face one another across a mesh or several, the left or upper one of each pair first.
    They are the same on whichever sides of the legs labels stand."""

    upright: tuple[Facing, ...]
    level: tuple[Facing, ...]


def neighbours(legs: Sequence[Leg]) -> Neighbours:
    """Which legs face one another."""
    numbered = [(i, leg) for i, leg in enumerate(legs) if leg.start != leg.end]
    upright = [(i, leg) for i, leg in numbered if leg.upright]
    return Neighbours(_facing(upright), _facing([(i, leg) for i, leg in numbered if not leg.upright]))


def _facing(legs: Sequence[tuple[int, Leg]]) -> tuple[Facing, ...]:
    return tuple(
        (i, j, (one.line, other.line))
        for i, one in legs
        for j, other in legs
        if one.line < other.line and one.span[0] < other.span[1] and other.span[0] < one.span[1]
    )


def ends(legs: Sequence[Leg]) -> list[tuple[float, float]]:
    """How much of each leg, in mm, must stay clear at its start and at its end: more at an upright one
    where the label of a level leg that leaves the same cell would meet its own labels."""
    leaving: dict[Cell, list[tuple[int, Leg]]] = {}  # the level legs at each cell: to the right or the left
    for leg in legs:
        if not leg.upright and leg.slots:
            way = 1 if leg.end[0] > leg.start[0] else -1
            leaving.setdefault(leg.start, []).append((way, leg))
            leaving.setdefault(leg.end, []).append((-way, leg))

    def clear(leg: Leg, cell: Cell, far: Cell) -> float:
        inward = (0, 1 if far[1] > cell[1] else -1)
        reaches = [
            other.labels_towards(inward)
            for way, other in leaving.get(cell, ())
            if way == leg.label_way[0] and other.label_way == inward
        ]
        return max(END, max(reaches, default=0.0) + 1.2)

    return [
        (clear(leg, leg.start, leg.end), clear(leg, leg.end, leg.start)) if leg.upright else (END, END)
        for leg in legs
    ]


def along(legs: Sequence[Leg], clear: Sequence[tuple[float, float]], *, upright: bool) -> Needs:
    """How far apart columns (rows for `upright` legs) must be for what stands on the legs between them.
    `clear`: the `ends` of the legs."""
    needs: dict[tuple[int, int], float] = {}
    for leg, ends_clear in zip(legs, clear, strict=True):
        if leg.upright == upright and leg.slots:
            needs[leg.span] = max(needs.get(leg.span, 0.0), leg.content + sum(ends_clear))
    return needs


def apart(
    needs: Needs, reaches: Sequence[tuple[float, float]], facing: Sequence[Facing], squeeze: float = 1.0
) -> Needs:
    """The needs, and what legs that face one another need besides: room for all that `reaches` out from
    them, or for a mesh. `squeeze`: the share of that room that is asked for."""
    found = dict(needs)
    for i, j, between in facing:
        need = squeeze * max(reaches[i][1] + reaches[j][0] + BETWEEN, MESH)
        if need > found.get(between, 0.0):
            found[between] = need
    return found


def at_least(needs: Needs, more: Needs) -> Needs:
    """The greater of two needs, between all columns (or rows) of either."""
    return {between: max(needs.get(between, 0.0), more.get(between, 0.0)) for between in (*needs, *more)}


def positions(count: int, needs: Needs, stretch: float = 1.0) -> list[float]:
    """The position in mm of each of `count` columns (or rows) that keeps all distances asked for, midway
    between as far left and as far right as it can be. `stretch` multiplies every distance."""
    least = LEAST * stretch
    steps = [(k, k - 1, least) for k in range(1, count)]
    steps += [(b, a, need * stretch) for (a, b), need in needs.items()]
    steps.sort()
    early = [0.0] * count
    for b, a, need in steps:
        reached = early[a] + need
        if reached > early[b]:
            early[b] = reached
    late = [early[-1]] * count
    for b, a, need in reversed(steps):
        reached = late[b] - need
        if reached < late[a]:
            late[a] = reached
    return [(a + b) / 2 for a, b in zip(early, late, strict=True)]
