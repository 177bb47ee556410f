"""On which side of upright wires labels stand, where a figure would otherwise be too wide.

A figure is printed 8 cm wide, so the wider it is the smaller its letters come out. Labels on the rim
stand outside, where they take width on both sides of the figure; inside, many find room that a mesh
has anyway. What to turn is judged by the distances that columns need, before anything is drawn.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from .slots import Leg
from .spacing import distances, ends, positions

SQUEEZES = (1.0, 0.94, 0.88, 0.82, 0.76)  # shares of the room between upright wires
_MOST_TURNED = 4  # legs turned at once
_MOST_LEGS = 8  # upright legs of which every few are tried; of more, one after the other
_MOST_WAYS = 12  # ways to turn labels that are looked at with less room

SidesChosen = tuple[
    tuple[Leg, ...], float
]  # the legs with their labels, and the share of the room between them


def narrower(legs: Sequence[Leg], columns: int, widest: float) -> list[SidesChosen]:
    """Ways to make the figure narrower, in the order in which they are to be tried: labels of upright legs
    put on their other side, and less room between these legs.

    First the ways that come out no wider than `widest` (mm): those with the most room, and of these the
    ones with the fewest labels turned. Then the others, narrow ones first. `columns`: how many there are.
    """
    ways: list[tuple[float, int, tuple[Leg, ...]]] = [(_width(legs, columns), 0, tuple(legs))]
    for turned in _turns(legs, columns):
        changed = tuple(_turned(leg) if i in turned else leg for i, leg in enumerate(legs))
        width = _width(changed, columns)
        if width < ways[0][0] - 0.1:
            ways.append((width, len(turned), changed))
    ranked: list[tuple[bool, float, int, float, int, SidesChosen]] = []
    for width, count, changed in sorted(ways, key=lambda way: way[0])[:_MOST_WAYS]:
        for squeeze in SQUEEZES:
            width = _width(changed, columns, squeeze)
            wide = width > widest
            order = (width, 0) if wide else (-squeeze, count)
            ranked.append((wide, *order, width, len(ranked), (changed, squeeze)))
    return [entry[-1] for entry in sorted(ranked, key=lambda entry: entry[:-1])]


def _turns(legs: Sequence[Leg], columns: int) -> Iterator[frozenset[int]]:
    """Which legs to turn together: all small sets where there are few legs, else whatever step makes the
    figure narrowest, one after another."""
    upright = [i for i, leg in enumerate(legs) if leg.upright and leg.slots]
    if len(upright) <= _MOST_LEGS:
        for count in range(1, _MOST_TURNED + 1):
            yield from map(frozenset, combinations(upright, count))
        return
    alike: dict[tuple[int, int], set[int]] = {}  # those of one column with labels on one side
    for i in upright:
        alike.setdefault((legs[i].line, legs[i].label_way[0]), set()).add(i)
    steps = [frozenset(group) for group in ([{i} for i in upright] + list(alike.values()))]
    turned, now = frozenset[int](), _width(legs, columns)
    while True:
        ways = [turned ^ step for step in steps]
        widths = [
            _width([_turned(leg) if i in way else leg for i, leg in enumerate(legs)], columns) for way in ways
        ]
        if min(widths) > now - 0.1:
            return
        now = min(widths)
        turned = ways[widths.index(now)]
        yield turned


def _turned(leg: Leg) -> Leg:
    return replace(leg, label_way=(-leg.label_way[0], leg.label_way[1]))


def _width(legs: Sequence[Leg], columns: int, squeeze: float = 1.0) -> float:
    """About how wide the figure comes out: its columns and what stands out to the left and the right."""
    clear = [ends(legs, leg) for leg in legs]
    xs = positions(columns, distances(legs, clear, squeeze)[0])
    upright = [leg for leg in legs if leg.upright]
    left = min([xs[leg.line] - leg.reaches[0] for leg in upright], default=0.0)
    right = max([xs[leg.line] + leg.reaches[1] for leg in upright], default=0.0)
    return max(right, xs[-1]) - min(left, 0.0)
