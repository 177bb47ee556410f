"""From grid to millimetres: columns and rows as far apart as what stands between them needs."""

from __future__ import annotations

from collections.abc import Sequence

from .slots import Leg

BETWEEN = 2.4  # between the things of one leg and those of the next
END = 3.6  # from the end of a leg to the first thing on it
LEAST = 6.0  # between neighbouring columns or rows
MESH = 15.0  # across a mesh at least


Need = tuple[int, int, float]  # two columns or rows, and how far apart they must be at least


def distances(
    legs: Sequence[Leg], clear: Sequence[tuple[float, float]], squeeze: float = 1.0
) -> tuple[list[Need], list[Need]]:
    """The distances that columns must keep, and those that rows must keep: each as (first, second, mm).

    `clear`: the `ends` of each leg. `squeeze`: the share of the usual room between upright legs that is
    asked for.
    """
    return _needs(legs, clear, True, squeeze), _needs(legs, clear, False, 1.0)


def ends(legs: Sequence[Leg], leg: Leg) -> tuple[float, float]:
    """How much of a leg, in mm, must stay clear at its start and at its end: more where the label of
    another leg that leaves the same cell would meet its own labels."""
    clear = []
    for cell, other_cell in ((leg.start, leg.end), (leg.end, leg.start)):
        inward = (
            (other_cell[0] > cell[0]) - (other_cell[0] < cell[0]),
            (other_cell[1] > cell[1]) - (other_cell[1] < cell[1]),
        )
        need = END
        for other in legs:
            if other.upright == leg.upright or cell not in (other.start, other.end) or not other.slots:
                continue
            far = other.end if other.start == cell else other.start
            to_label_side = (far[0] - cell[0]) * leg.label_way[0] + (far[1] - cell[1]) * leg.label_way[1] > 0
            if to_label_side and leg.upright and other.label_way == inward:
                need = max(need, other.labels_towards(inward) + 1.2)
        clear.append(need)
    return clear[0], clear[1]


def _needs(
    legs: Sequence[Leg], clear: Sequence[tuple[float, float]], for_columns: bool, squeeze: float
) -> list[Need]:
    needs: list[Need] = []
    crossing = [leg for leg in legs if leg.upright == for_columns and leg.start != leg.end]
    for leg, ends_clear in zip(legs, clear, strict=True):
        if leg.upright != for_columns and leg.slots:
            needs.append((*leg.span, leg.content + sum(ends_clear)))
    for one in crossing:
        for other in crossing:
            if one.line < other.line and one.span[0] < other.span[1] and other.span[0] < one.span[1]:
                room = one.reaches[1] + other.reaches[0] + BETWEEN
                needs.append((one.line, other.line, squeeze * max(room, MESH)))
    return needs


def positions(count: int, needs: Sequence[Need], stretch: float = 1.0) -> list[float]:
    """The position in mm of each of `count` columns (or rows) that keeps all distances asked for, midway
    between as far left and as far right as it can be. `stretch` multiplies every distance."""
    early = [0.0] * count
    for k in range(1, count):
        early[k] = early[k - 1] + LEAST * stretch
        for a, b, need in needs:
            if b == k:
                early[k] = max(early[k], early[a] + need * stretch)
    late = [early[-1]] * count
    for k in range(count - 2, -1, -1):
        late[k] = late[k + 1] - LEAST * stretch
        for a, b, need in needs:
            if a == k:
                late[k] = min(late[k], late[b] - need * stretch)
    return [(a + b) / 2 for a, b in zip(early, late, strict=True)]
