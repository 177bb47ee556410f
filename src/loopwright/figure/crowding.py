"""How crowded a figure is at some distances of its columns and rows: boxes only, nothing drawn.

Many distances and sides of labels are tried for one figure, and most of them fail. So the boxes of a thing
are found once and moved about, and what met in one try is looked at first in the next.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from itertools import chain
from typing import NamedTuple

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from .drawing import XY, Label
from .lettering import expression_runs, label_size
from .loop_marks import LoopLine, LoopsFound, any_order, beside_dashed, find_loops, least_hidden, strips
from .placement import Cell, Placement
from .put_down import InPlace, hop_marks, label_at, middles, standing, thing_labels, thing_marks, wire_pieces
from .room import Edges, boxes_of, label_box, touching
from .slots import SMALL, Leg, WireSlot
from .symbols import WIRE, Axes, DrawnSymbol

MARGIN = 1.6  # blank rim of the figure in mm
DOT = 0.85  # radius of the dot of a junction in mm
LETTERS_APART = 0.4  # between two labels
APART = 0.25  # between a label and anything else
_REACH = max(LETTERS_APART, APART)
_EVERYWHERE: Edges = (-1e9, -1e9, 1e9, 1e9)
_NOWHERE: Edges = (1e9, 1e9, -1e9, -1e9)  # meets nothing
_NEAR, _HIGH = 1.3, 2.3
_AROUND = (
    (0.0, -_HIGH, "middle"),
    (0.0, _HIGH, "middle"),
    (_NEAR, -_HIGH, "start"),
    (-_NEAR, -_HIGH, "end"),
    (_NEAR, _HIGH, "start"),
    (-_NEAR, _HIGH, "end"),
    (-_NEAR - 0.3, 0.0, "end"),
    (_NEAR + 0.3, 0.0, "start"),
)

Clear = Sequence[tuple[float, float]]  # of each leg, the mm to be left free at its start and end


@dataclass(frozen=True, slots=True)
class Overlay:
    """What is drawn over the circuit: loops with their names, and what is written at points, by point."""

    loops: tuple[LoopLine, ...] = ()
    levels: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Dot:
    """The dot of a point, in mm."""

    point: str
    cell: Cell
    radius: float


@dataclass(frozen=True, slots=True)
class Fitting:
    """A figure at some distances: `legs` with labels on some sides, what stands on each and where (`things`),
    the names of points, the loops. `clashes`: how many things meet, loops without room counted; `boxes`: what
    everything takes."""

    legs: Sequence[Leg]
    xs: Sequence[float]
    ys: Sequence[float]
    things: Sequence[Sequence[InPlace]]
    names: Mapping[str, Label]
    loops: LoopsFound
    clashes: int
    boxes: Sequence[Edges]

    @property
    def hidden(self) -> float:
        """The share of the dashed lines of loops that is left out for labels."""
        return self.loops.hidden

    @property
    def width(self) -> float:
        """How wide the figure is in its frame, in mm."""
        return _framed_width(self.boxes)

    def at(self, cell: Cell) -> XY:
        """Where a cell is, in mm."""
        return self.xs[cell[0]], self.ys[cell[1]]


def _framed_width(boxes: Sequence[Edges]) -> float:
    reach = max([b[2] for b in boxes], default=0.0) - min([b[0] for b in boxes], default=0.0)
    return round(reach + 2 * MARGIN, 3)


class _Taken(NamedTuple):
    """The boxes of a leg: of its wires, of what stands on it, of their labels; one round all of them, and one
    round the labels."""

    wires: list[Edges]
    things: list[Edges]
    labels: list[Edges]
    whole: Edges
    lettered: Edges


# the boxes of a thing and of its labels, one round the thing and one round its labels
_Shape = tuple[Sequence[Edges], Sequence[Edges], Edges, Edges]


class Crowding:
    """Tries of one figure, whatever the sides of its labels and its distances.

    Of legs, only the sides of their labels may differ from one try to the next.
    """

    def __init__(self, circuit: Circuit, placement: Placement, legs: Sequence[Leg], over: Overlay) -> None:
        self.dots = _dots(circuit, placement)
        self.hops = [{cell for name, cell in placement.hops if name == leg.branch} for leg in legs]
        self._loops = over.loops
        self._order = any_order(over.loops)
        self.strips = strips(over.loops)
        self._beside = beside_dashed(over.loops, legs)
        self._without_room: Sequence[Leg] | None = None  # the legs of the last try, if some loop had no room
        self._hiding: Sequence[Leg] | None = None  # those of the last try given up for hiding too much
        self._names = _point_labels(circuit, placement, over.levels)
        self._ways = [
            [label_box(label_at(label, (dx, dy), anchor)) for dx, dy, anchor in _AROUND]
            for _, label, _ in self._names
        ]
        self._shapes: dict[tuple[int, tuple[int, int]], list[_Shape]] = {}
        self._lettered = [i for i, leg in enumerate(legs) if any(slot.labels for slot in leg.slots)]
        self._count = len(legs)  # and the number under which the dots are compared
        self._enemies: list[tuple[int, int]] = []  # legs of which labels met something, the last first

    def tried(
        self,
        legs: Sequence[Leg],
        clear: Clear,
        xs: Sequence[float],
        ys: Sequence[float],
        too_many: float,
        too_hidden: float = float("inf"),
        things: Sequence[Sequence[InPlace]] | None = None,
    ) -> Fitting | None:
        """The figure at these distances; None as soon as it has `too_many` clashes or hides `too_hidden` of
        the dashed lines. `clear`: the `ends` of the legs; `things`: where things stand, if not by those."""
        board = Board(self, legs, clear, xs, ys, things)
        loops_first, hidden_first = legs is self._without_room, legs is self._hiding  # what failed last
        if hidden_first and self._hides(board, too_many, too_hidden):
            return None
        met = 0 if loops_first else self._met(board, too_many)
        if met >= too_many:
            return None
        if not hidden_first and self._hides(board, too_many, too_hidden):
            self._hiding = legs
            return None
        taken = [board[i] for i in range(len(legs) + 1)]
        wires = list(chain.from_iterable(one.wires for one in taken))
        solid = list(chain.from_iterable(one.things for one in taken))
        labels = list(chain.from_iterable(one.labels for one in taken))
        names: dict[str, Label] = {}
        others = [*wires, *solid]
        for (point, label, cells), ways in zip(self._names, self._ways, strict=True):
            names[point], more = _named(label, ways, [*map(board.at, cells)], labels, others)
            met += more
            labels.append(label_box(names[point]))
        if met >= too_many:
            return None
        allowed = too_many - met
        loops = find_loops(self._loops, board.at, wires, solid, labels, allowed, too_hidden, self._order)
        self._without_room = legs if loops is None else None
        if loops is None:
            return None
        clashes = met + loops.missing
        if loops_first:
            clashes += self._met(board, too_many - clashes)
            if clashes >= too_many:
                return None
        marks = [box for _, mark in loops.marks() for box in boxes_of(mark)]
        boxes = [*wires, *solid, *labels, *marks]
        return Fitting(legs, xs, ys, board.standing(), names, loops, clashes, boxes)

    def least_width(
        self, legs: Sequence[Leg], clear: Clear, xs: Sequence[float], ys: Sequence[float]
    ) -> float:
        """How wide the figure is at these distances in its frame without names of points and loops, in mm."""
        board = Board(self, legs, clear, xs, ys)
        return _framed_width([board[i].whole for i, leg in enumerate(legs) if leg.start != leg.end])

    def lacked_room(self, legs: Sequence[Leg]) -> bool:
        """Whether these were tried last, and some loop had no room."""
        return self._without_room is legs

    def _hides(self, board: Board, too_many: float, too_hidden: float) -> bool:
        """Whether what stands on the legs beside dashed lines alone hides too much of them."""
        if too_many > 1 or too_hidden == float("inf"):
            return False
        near = [board.on(some) for some in self._beside]
        return least_hidden(self._loops, board.at, near) > too_hidden + 1e-9

    def _met(self, board: Board, too_many: float) -> int:
        """How many things the labels of the legs meet; no more are counted than are too many. Legs that met
        in earlier tries are looked at first, for that may be enough."""
        clashes = 0
        for k, (i, j) in enumerate(self._enemies):
            met = _meeting(board[i], board[j], i, j)
            clashes += met
            if met and clashes >= too_many:
                self._enemies.insert(0, self._enemies.pop(k))
                return clashes
        everything = [board[i] for i in range(self._count + 1)]
        clashes = 0
        for i in self._lettered:
            for j in _near(everything[i].lettered, everything):
                met = _meeting(everything[i], everything[j], i, j)
                clashes += met
                if met and (i, j) not in self._enemies:
                    self._enemies.insert(0, (i, j))
                if met and clashes >= too_many:
                    return clashes
        return clashes

    def shapes(self, number: int, leg: Leg) -> Sequence[_Shape]:
        """What each thing of a leg and its labels take, the middle of the thing at 0,0."""
        found = self._shapes.get((number, leg.label_way))
        if found is None:
            along = _sign(leg.end[0] - leg.start[0]), _sign(leg.end[1] - leg.start[1])
            axes = Axes((0.0, 0.0), along, (float(leg.label_way[0]), float(leg.label_way[1])))
            found = self._shapes[number, leg.label_way] = []
            for slot in leg.slots:
                solid, whole = _solid(slot.symbol, slot.is_arrow, axes)
                letters = [*map(label_box, thing_labels(slot, axes))]
                found.append((solid, letters, whole, _round(letters)))
        return found


@lru_cache(maxsize=256)
def _solid(symbol: DrawnSymbol | None, is_arrow: bool, axes: Axes) -> tuple[Sequence[Edges], Edges]:
    """The boxes of a symbol, an arrow or a dot at 0,0, not many, and the box round them."""
    marks = thing_marks(WireSlot("", symbol, is_arrow=is_arrow), axes)
    boxes = [box for mark in marks for box in boxes_of(mark)]
    return boxes, _round(boxes)


class Board(dict[int, _Taken]):
    """The boxes of legs at some distances, by their numbers, found when they are first asked for."""

    def __init__(
        self,
        crowding: Crowding,
        legs: Sequence[Leg],
        clear: Clear,
        xs: Sequence[float],
        ys: Sequence[float],
        things: Sequence[Sequence[InPlace]] | None = None,
    ) -> None:
        super().__init__()
        self._crowding, self._legs, self._clear = crowding, legs, clear
        self._xs, self._ys, self._given = xs, ys, things

    def at(self, cell: Cell) -> XY:
        """Where a cell is, in mm."""
        return self._xs[cell[0]], self._ys[cell[1]]

    def on(self, numbers: Sequence[int]) -> list[Edges]:
        """What things and labels on these legs take."""
        return [box for i in numbers for box in chain(self[i].things, self[i].labels)]

    def standing(self) -> Sequence[Sequence[InPlace]]:
        """Where each thing of each leg stands."""
        if self._given is not None:
            return self._given
        return [
            standing(leg, clear, self.at(leg.start), self.at(leg.end))
            for leg, clear in zip(self._legs, self._clear, strict=True)
        ]

    def __missing__(self, number: int) -> _Taken:
        taken = self._of_dots() if number == len(self._legs) else self._of_leg(number)
        self[number] = taken
        return taken

    def _of_dots(self) -> _Taken:
        found: list[Edges] = []
        for dot in self._crowding.dots:
            (x, y), reach = self.at(dot.cell), dot.radius + 0.05
            found.append((x - reach, y - reach, x + reach, y + reach))
        return _Taken([], found, [], _EVERYWHERE, _EVERYWHERE)

    def _of_leg(self, number: int) -> _Taken:
        leg, hops = self._legs[number], self._crowding.hops[number]
        (x, y), end = self.at(leg.start), self.at(leg.end)
        length = abs(end[0] - x) + abs(end[1] - y)
        if not length:
            return _Taken([], [], [], _NOWHERE, _NOWHERE)
        if self._given is not None:
            centres = [axes.centre for _, axes in self._given[number]]
            along = [abs(u - x) + abs(v - y) for u, v in centres]
        else:
            along = middles(leg, self._clear[number], length) if leg.slots else []
        dx, dy = (end[0] - x) / length, (end[1] - y) / length
        half = WIRE / 2
        wires: list[Edges] = [box for mark in hop_marks(leg, end, hops) for box in boxes_of(mark)]
        for a, b in wire_pieces(leg, along, length, hops):
            if dx + dy < 0:
                a, b = b, a
            wires.append((x + a * dx - half, y + a * dy - half, x + b * dx + half, y + b * dy + half))
        things: list[Edges] = []
        labels: list[Edges] = []
        reach: list[Edges] = []
        lettered: list[Edges] = []
        for (shape, letters, solid, words), middle in zip(
            self._crowding.shapes(number, leg), along, strict=True
        ):
            u, v = x + middle * dx, y + middle * dy
            things += [(w + u, n + v, e + u, s + v) for w, n, e, s in shape]
            labels += [(w + u, n + v, e + u, s + v) for w, n, e, s in letters]
            reach.append((solid[0] + u, solid[1] + v, solid[2] + u, solid[3] + v))
            lettered.append((words[0] + u, words[1] + v, words[2] + u, words[3] + v))
        line = (min(x, end[0]) - half, min(y, end[1]) - half, max(x, end[0]) + half, max(y, end[1]) + half)
        whole = _round([line, *reach, *lettered, *(wires if hops else ())]) if reach or hops else line
        return _Taken(wires, things, labels, whole, _round(lettered))


def _sign(number: int) -> float:
    return float((number > 0) - (number < 0))


def _round(boxes: Sequence[Edges]) -> Edges:
    """The box round some boxes."""
    if not boxes:
        return _NOWHERE
    left, top, right, foot = zip(*boxes, strict=True)
    return min(left), min(top), max(right), max(foot)


def _near(labels: Edges, everything: Sequence[_Taken]) -> list[int]:
    """The numbers of those that labels in this box may meet."""
    left, top, right, foot = labels[0] - _REACH, labels[1] - _REACH, labels[2] + _REACH, labels[3] + _REACH
    boxes = [one.whole for one in everything]
    return [
        j
        for j, (west, north, east, south) in enumerate(boxes)
        if left < east and west < right and top < south and north < foot
    ]


def _meeting(one: _Taken, other: _Taken, i: int, j: int) -> int:
    """How many things the labels of one leg meet: of another, or of its own. Two labels that meet are counted
    once, where the number of the one is less."""
    met, reach = 0, LETTERS_APART
    if solid := touching(one.lettered, chain(other.wires, other.things), APART):
        met += sum([len(touching(box, solid, APART)) for box in one.labels])
    if i == j:
        met += sum([len(touching(box, one.labels[:k], reach)) for k, box in enumerate(one.labels)])
    elif i < j and (letters := touching(one.lettered, other.labels, reach)):
        met += sum([len(touching(box, letters, reach)) for box in one.labels])
    return met


def _dots(circuit: Circuit, placement: Placement) -> list[Dot]:
    met = Counter(cell for path in placement.paths() for cell in (path[0], path[-1]))
    return [
        Dot(point, cell, DOT if point in circuit.junctions else 0.55)
        for point, cells in placement.dots.items()
        for cell in cells
        if len(cells) == 1 or met[cell] >= 3  # else the corner at the end of a bar
    ]


def _point_labels(
    circuit: Circuit, placement: Placement, levels: Mapping[str, str]
) -> list[tuple[str, Label, tuple[Cell, ...]]]:
    """Each point with its label, still nowhere, and the cells beside which it may stand."""
    emfs = [s for s in circuit.symbols if circuit.role(s) is Kind.BATTERY] if levels else []
    found = []
    for point, cells in placement.dots.items():
        label = Label(point, (0.0, 0.0), italic=False, size=SMALL)
        if point in levels:
            label = replace(label, tail=expression_runs(f": {levels[point]}", emfs))
        found.append((point, label, cells))
    return found


def _named(
    label: Label,
    ways: Sequence[Edges],
    places: Sequence[XY],
    labels: Sequence[Edges],
    others: Sequence[Edges],
) -> tuple[Label, int]:
    """The name of a point beside one of its places, where it meets fewest things, and how many it meets.
    `ways`: what it takes on each side of 0,0."""
    best: tuple[int, Label] | None = None
    reach = label_size(label)[0] + 2 * _HIGH + label.size
    for x, y in places:
        about = (x - reach, y - reach, x + reach, y + reach)
        letters, solid = touching(about, labels), touching(about, others)
        for (left, top, right, foot), (dx, dy, anchor) in zip(ways, _AROUND, strict=True):
            box = (left + x, top + y, right + x, foot + y)
            met = len(touching(box, letters, LETTERS_APART)) + len(touching(box, solid, APART))
            if best is None or met < best[0]:
                best = met, label_at(label, (x + dx, y + dy), anchor)
                if not met:
                    return best[1], 0
    return (best[1], best[0]) if best else (label, 0)
