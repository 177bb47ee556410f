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
from .spacing import END, Neighbours, along, apart, positions

SQUEEZES = (1.0, 0.94, 0.88, 0.82, 0.76)  # shares of the room between upright wires
_MOST_TURNED = 4  # legs turned at once
_MOST_LEGS = 8  # upright legs of which every few are tried; of more, one after the other
_MOST_WAYS = 12  # ways to turn labels that are looked at with less room

SidesChosen = tuple[
    tuple[Leg, ...], float
]  # the legs with their labels, and the share of the room between them
_Turned = frozenset[int]  # legs, by their numbers, with labels on their other side


def narrower(legs: Sequence[Leg], beside: Neighbours, columns: int, widest: float) -> Iterator[SidesChosen]:
    """Ways to make the figure narrower, in the order in which they are to be tried: labels of upright legs
    put on their other side, and less room between these legs.

    First the ways that come out no wider than `widest` (mm): those with the most room, and of these the
    ones with the fewest labels turned. Then the others, narrow ones first. `beside`: which legs face one
    another; `columns`: how many there are.
    """
    sides = _Sides(legs, beside, columns)
    usual = sides.width(_Turned())
    ways: list[tuple[float, int, _Turned]] = [(usual, 0, _Turned())]
    for turned in _turns(sides):
        width = sides.width(turned)
        if width < usual - 0.1:
            ways.append((width, len(turned), turned))
    tried = sorted(ways, key=lambda way: way[0])[:_MOST_WAYS]
    wide: list[tuple[float, int, int, _Turned, float]] = []
    for step, squeeze in enumerate(SQUEEZES):
        narrow: list[tuple[int, float, int, _Turned]] = []
        for number, (width, count, turned) in enumerate(tried):
            width = sides.width(turned, squeeze) if step else width
            if width > widest:
                wide.append((width, number, step, turned, squeeze))
            else:
                narrow.append((count, width, number, turned))
        for *_, turned in sorted(narrow, key=lambda way: way[:3]):
            yield sides.legs_of(turned), squeeze
    for *_, turned, squeeze in sorted(wide, key=lambda way: way[:3]):
        yield sides.legs_of(turned), squeeze


def usual_width(legs: Sequence[Leg], beside: Neighbours, columns: int) -> float:
    """About how wide a figure comes out with labels on their usual sides, in mm without its frame."""
    return _Sides(legs, beside, columns).width(_Turned())


class _Sides:
    """The legs of a figure with labels on their usual side and on the other, and how wide it comes out
    for some of them turned."""

    def __init__(self, legs: Sequence[Leg], beside: Neighbours, columns: int) -> None:
        self.usual = tuple(legs)
        self.upright = [i for i, leg in enumerate(legs) if leg.upright and leg.slots]
        self._other = {i: _turned(legs[i]) for i in self.upright}
        self._reaches = [leg.reaches for leg in legs]
        self._beside, self._columns = beside, columns
        self._along = along(legs, [(END, END)] * len(legs), upright=False)
        self._lines = [(i, leg.line) for i, leg in enumerate(legs) if leg.upright]

    def legs_of(self, turned: _Turned) -> tuple[Leg, ...]:
        """The legs with these turned."""
        return tuple(self._other[i] if i in turned else leg for i, leg in enumerate(self.usual))

    def width(self, turned: _Turned, squeeze: float = 1.0) -> float:
        """About how wide the figure comes out with this share of the room between upright legs: its columns
        and what stands out to the left and the right."""
        reaches = self._reaches.copy()
        for i in turned:
            reaches[i] = self._other[i].reaches
        xs = positions(self._columns, apart(self._along, reaches, self._beside.upright, squeeze))
        left = min([xs[line] - reaches[i][0] for i, line in self._lines], default=0.0)
        right = max([xs[line] + reaches[i][1] for i, line in self._lines], default=0.0)
        return max(right, xs[-1]) - min(left, 0.0)


def _turns(sides: _Sides) -> Iterator[_Turned]:
    """Which legs to turn together: all small sets where there are few legs, else whatever step makes the
    figure narrowest, one after another."""
    if len(sides.upright) <= _MOST_LEGS:
        for count in range(1, _MOST_TURNED + 1):
            yield from map(frozenset, combinations(sides.upright, count))
        return
    alike: dict[tuple[int, int], set[int]] = {}  # those of one column with labels on one side
    for i in sides.upright:
        alike.setdefault((sides.usual[i].line, sides.usual[i].label_way[0]), set()).add(i)
    steps = [frozenset(group) for group in ([{i} for i in sides.upright] + list(alike.values()))]
    turned = _Turned()
    now = sides.width(turned)
    while True:
        ways = [turned ^ step for step in steps]
        widths = [sides.width(way) for way in ways]
        if min(widths) > now - 0.1:
            return
        now = min(widths)
        turned = ways[widths.index(now)]
        yield turned


def _turned(leg: Leg) -> Leg:
    return replace(leg, label_way=(-leg.label_way[0], leg.label_way[1]))
