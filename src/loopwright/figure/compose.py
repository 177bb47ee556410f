"""The whole figure: wires, symbols, labels, current arrows, junction dots, names of points and loops.

Everything is tried at the closest spacing first, then with room beside dashed lines for curved arrows; while
two things still meet, the grid is stretched.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from itertools import islice

from ..circuit.circuit import Circuit
from ..graph.lines import Loop
from .crowding import MARGIN, Crowding, Fitting, Overlay
from .drawing import XY, Bend, Drawing, Drawn, Label, Round, Stroke, Whose, moved
from .label_sides import SidesChosen, narrower, usual_width
from .loop_marks import loop_lines
from .placement import Cell, Placement, packed
from .put_down import InPlace, standing, thing_labels, thing_marks, wire_marks
from .room import Edges, boxes_of
from .slots import Leg, legs_of
from .spacing import Neighbours, along, apart, at_least, ends, neighbours, positions

WIDEST = 83.0  # mm: a wider figure has letters under 2.6 mm when it is printed 80 mm wide
_MORE_HIDDEN = 0.12  # the share of dashed lines that may be left out for labels turned
_SURELY = 1.0  # mm by which the width of a figure may come out less than is foreseen
_MOST_WAYS = 24  # ways to make a figure narrower that are tried where it is too wide
_STEPS = (1.0, 1.06, 1.13, 1.21, 1.3, 1.42, 1.6, 1.85, 2.2)
_Stretch = tuple[float, float, str]  # of columns, of rows, and what is made room for besides
_CLOSEST: _Stretch = (1.0, 1.0, "")
_ROOMIER: _Stretch = (1.0, 1.0, "strips")  # beside dashed lines, for curved arrows
# those that add least first; width is dearer than height
_STRETCHED = sorted(((x, y, "") for x in _STEPS for y in _STEPS), key=lambda s: (s[0] ** 3 * s[1], s))[1:36]
# the last two: a last resort for crowded figures
_STRETCHES = [_CLOSEST, _ROOMIER, *_STRETCHED, (2.4, 2.4, ""), (3.2, 3.2, "")]
_TALLER: list[_Stretch] = [(1.0, y, "") for y in _STEPS[1:7]]


@dataclass(frozen=True)
class Composed:
    """A figure as it came out: its drawing, and where everything stands. `placement`: the cells it stands on;
    `legs`: with the sides that labels took; `xs` and `ys`: where columns and rows are, in mm from a corner
    that stands at `corner` in the drawing; `spots`: how far each thing stands from the start of its leg, in
    mm."""

    drawing: Drawing
    placement: Placement
    legs: Sequence[Leg]
    xs: Sequence[float]
    ys: Sequence[float]
    spots: Mapping[str, float]
    corner: XY

    @cached_property
    def boxes(self) -> Sequence[Sequence[Edges]]:
        """What each mark of the drawing takes, in its order."""
        return [boxes_of(mark) for mark in self.drawing.marks]

    def at(self, cell: Cell) -> XY:
        """Where a cell stands in the drawing, in mm."""
        return self.xs[cell[0]] + self.corner[0], self.ys[cell[1]] + self.corner[1]


def composed(
    circuit: Circuit,
    placement: Placement,
    loops: Sequence[Loop],
    loop_names: Sequence[str],
    resistors: str,
    values: bool,
    like: Composed | None = None,
    levels: Mapping[str, str] | None = None,
) -> Composed:
    """The figure of a circuit on a placement, as small as nothing meets; 0,0 is its top left corner.

    `like`: the figure of a circuit on the same cells, whose distances and sides are kept where all fits.
    """
    legs = legs_of(circuit, placement, resistors=resistors, values=values)
    if like is not None:
        over = Overlay(loop_lines(circuit, placement, loops, loop_names), levels or {})
        kept = _kept(circuit, placement, legs, over, like)
        if kept is not None:
            return kept
        placement = packed(placement)
        legs = legs_of(circuit, placement, resistors=resistors, values=values)
    over = Overlay(loop_lines(circuit, placement, loops, loop_names), levels or {})
    beside = neighbours(legs)
    crowding = Crowding(circuit, placement, legs, over)

    def put(way: SidesChosen) -> _Way:
        return _Way(crowding, placement, beside, way)

    usual = _Usual(lambda: put((tuple(legs), 1.0)).least_crowded(_STRETCHES, float("inf")))
    widest = WIDEST - 2 * MARGIN
    if usual_width(legs, beside, placement.columns) < widest + _SURELY and usual.trial.width <= WIDEST:
        return _drawn(placement, crowding, usual.trial)
    ways = map(put, islice(narrower(legs, beside, placement.columns, widest), _MOST_WAYS))

    best: Fitting | None = None

    def is_of_no_use(way: _Way) -> bool:
        """Whether it comes out too wide, and no narrower than what there is, whatever its rows."""
        return best is not None and way.least_width >= best.width > WIDEST

    def tries() -> Iterator[Fitting]:
        """Every way as it is first; those in which something meets are then made taller, until nothing does
        and little more is hidden than in the usual figure."""
        crowded: list[_Way] = []
        for way in ways:
            if is_of_no_use(way):
                continue
            close = way.flawless((_CLOSEST,))
            trial = close or way.flawless((_ROOMIER,))
            if trial and (trial.hidden < _MORE_HIDDEN or usual.is_no_better(trial)):
                yield trial
            if not close:
                crowded.append(way)
        too_many, too_hidden = usual.trial.clashes + 1, usual.trial.hidden + _MORE_HIDDEN
        for way in crowded:
            if is_of_no_use(way):
                continue
            if too_many > 1:
                trial = way.least_crowded((_CLOSEST, _ROOMIER, *_TALLER), too_many, too_hidden)
            else:
                trial = way.flawless(_TALLER, too_hidden)
            if trial is not None:
                yield trial

    for trial in tries():
        if trial.width <= WIDEST:
            return _drawn(placement, crowding, trial)
        best = min(best or usual.trial, trial, key=lambda one: one.width)
    return _drawn(placement, crowding, best or usual.trial)


class _Usual:
    """The figure with labels on their usual sides, tried when it is first asked for: where it is surely
    too wide, the first flawless narrow one is taken without it."""

    def __init__(self, make: Callable[[], Fitting | None]) -> None:
        self._make = make

    @cached_property
    def trial(self) -> Fitting:
        found = self._make()
        assert found is not None  # no number of clashes is too many
        return found

    def is_no_better(self, other: Fitting) -> bool:
        """Whether another one has no more faults than it has, and hides little more."""
        return other.clashes <= self.trial.clashes and other.hidden < self.trial.hidden + _MORE_HIDDEN


class _Way:
    """One way to put labels, with a share of the usual room between upright legs, on a grid that is stretched
    until nothing meets. `beside`: which legs face one another."""

    def __init__(
        self, crowding: Crowding, placement: Placement, beside: Neighbours, way: SidesChosen
    ) -> None:
        self._crowding, self._placement = crowding, placement
        self._legs, squeeze = legs, _ = way
        self._clear = ends(legs)
        reaches = [leg.reaches for leg in legs]
        self._needs = (
            apart(along(legs, self._clear, upright=False), reaches, beside.upright, squeeze),
            apart(along(legs, self._clear, upright=True), reaches, beside.level),
        )

    @cached_property
    def least_width(self) -> float:
        """How wide the figure is at least, in mm, however its rows are stretched."""
        xs, ys = positions(self._placement.columns, self._needs[0]), range(self._placement.rows)
        return self._crowding.least_width(self._legs, self._clear, xs, ys)

    def flawless(self, stretches: Iterable[_Stretch], too_hidden: float = float("inf")) -> Fitting | None:
        """The figure at the first stretch at which nothing meets and less than `too_hidden` of the dashed
        lines is left out; None if there is none."""
        tries = (self._tried(stretch, 1, too_hidden) for stretch in stretches)
        return next((trial for trial in tries if trial is not None), None)

    def least_crowded(
        self, stretches: Sequence[_Stretch], too_many: float, too_hidden: float = float("inf")
    ) -> Fitting | None:
        """The flawless figure, or the one at the stretch at which fewest things meet; None where there are
        always `too_many` clashes, or `too_hidden` of the dashed lines left out."""
        best = self.flawless(stretches, too_hidden)
        for stretch in () if best else stretches:
            best = self._tried(stretch, best.clashes if best else too_many, too_hidden) or best
        return best

    def _tried(self, stretch: _Stretch, too_many: float, too_hidden: float) -> Fitting | None:
        needs = self._needs
        if stretch == _ROOMIER:
            if not self._crowding.lacked_room(self._legs):
                return None
            needs = at_least(needs[0], self._crowding.strips[0]), at_least(needs[1], self._crowding.strips[1])
            if needs == self._needs:
                return None
        xs = positions(self._placement.columns, needs[0], stretch[0])
        ys = positions(self._placement.rows, needs[1], stretch[1])
        return self._crowding.tried(self._legs, self._clear, xs, ys, too_many, too_hidden)


def _drawn(placement: Placement, crowding: Crowding, trial: Fitting) -> Composed:
    """The marks of a figure that was tried."""
    marks: list[Drawn] = []
    whose: list[Whose] = []

    def put(owner: Whose, new: Sequence[Drawn]) -> None:
        marks.extend(new)
        whose.extend([owner] * len(new))

    spots: dict[str, float] = {}
    for leg, things, hops in zip(trial.legs, trial.things, crowding.hops, strict=True):
        start = trial.at(leg.start)
        put(("wire", leg.branch), wire_marks(leg, start, trial.at(leg.end), things, hops))
        for slot, axes in things:
            spots[slot.key] = abs(axes.centre[0] - start[0]) + abs(axes.centre[1] - start[1])
    everything = [thing for things in trial.things for thing in things]
    for slot, axes in everything:
        put(slot.whose, thing_marks(slot, axes))
    for dot in crowding.dots:
        put(("point", dot.point), [Round(trial.at(dot.cell), dot.radius, 0.1, filled=True)])
    for slot, axes in everything:
        put(slot.whose, list(thing_labels(slot, axes)))
    for point, label in trial.names.items():
        put(("point", point), [label])
    for name, mark in trial.loops.marks():
        put(("loop", name), [mark])
    left, top = _corner(trial.boxes)
    drawing = framed(marks, whose, trial.boxes)
    return Composed(drawing, placement, trial.legs, trial.xs, trial.ys, spots, (-left, -top))


def _kept(
    circuit: Circuit, placement: Placement, legs: Sequence[Leg], over: Overlay, like: Composed
) -> Composed | None:
    """The figure at the distances of another on the same cells, everything that both have on one spot; None
    where that leaves too little room for something."""
    sides = {frozenset((leg.start, leg.end)): leg.label_way for leg in like.legs}
    legs = [replace(leg, label_way=sides.get(frozenset((leg.start, leg.end)), leg.label_way)) for leg in legs]
    clear = ends(legs)
    for upright, held in ((False, like.xs), (True, like.ys)):
        needs = along(legs, clear, upright=upright)
        if any(held[b] - held[a] < need - 1e-6 for (a, b), need in needs.items()):
            return None
    crowding = Crowding(circuit, placement, legs, over)
    things = [
        _on_their_spots(leg, standing(leg, room, *map(_at(like), (leg.start, leg.end))), like)
        for leg, room in zip(legs, clear, strict=True)
    ]
    trial = crowding.tried(legs, clear, like.xs, like.ys, 1, things=things)
    return _drawn(placement, crowding, trial) if trial is not None else None


def _on_their_spots(leg: Leg, things: list[InPlace], like: Composed) -> list[InPlace]:
    """The things of a leg moved to where they stood in another figure, if all of them stood on it there."""
    at = _at(like)
    legs = {slot.key: other for other in like.legs for slot in other.slots}
    found: list[InPlace] = []
    for slot, axes in things:
        other = legs.get(slot.key)
        if other is None or {other.start, other.end} != {leg.start, leg.end}:
            return things
        (x, y), (u, v) = at(other.start), at(other.end)
        share = like.spots[slot.key] / (abs(u - x) + abs(v - y))
        found.append((slot, replace(axes, centre=(x + share * (u - x), y + share * (v - y)))))
    return found


def _at(like: Composed) -> Callable[[Cell], XY]:
    """From cells to where they are in another figure, in mm from the corner that its distances count from."""
    return lambda cell: (like.xs[cell[0]], like.ys[cell[1]])


def framed(marks: Sequence[Drawn], whose: Sequence[Whose], boxes: Sequence[Edges]) -> Drawing:
    """The marks moved so that they fill a frame with a small margin. `boxes`: what they take."""
    if not boxes:
        return Drawing(2 * MARGIN, 2 * MARGIN, ())
    left, top = _corner(boxes)
    right, foot = max([b[2] for b in boxes]) + MARGIN, max([b[3] for b in boxes]) + MARGIN
    kept = tuple(moved(marks, -left, -top))
    return Drawing(_tidy(right - left), _tidy(foot - top), kept, tuple(whose))


def _corner(boxes: Sequence[Edges]) -> XY:
    """The top left corner of the frame round these boxes."""
    left, top = min([b[0] for b in boxes], default=0.0), min([b[1] for b in boxes], default=0.0)
    return left - MARGIN, top - MARGIN


def scaled(drawing: Drawing, width: float) -> Drawing:
    """The same drawing at another width in mm, letters and lines in proportion."""
    by = width / drawing.width
    marks = tuple(_larger(mark, by) for mark in drawing.marks)
    return Drawing(_tidy(width), _tidy(drawing.height * by), marks, drawing.whose)


def _larger(mark: Drawn, by: float) -> Drawn:
    def at(point: XY) -> XY:
        return (_tidy(point[0] * by), _tidy(point[1] * by))

    match mark:
        case Stroke():
            dash = tuple(_tidy(d * by) for d in mark.dash)
            points = tuple(map(at, mark.points))
            return Stroke(points, _tidy(mark.weight * by), mark.closed, mark.filled, dash)
        case Round() | Bend():
            radius, weight = _tidy(mark.radius * by), _tidy(mark.weight * by)
            return replace(mark, centre=at(mark.centre), radius=radius, weight=weight)
        case Label():
            return replace(mark, at=at(mark.at), size=_tidy(mark.size * by))


def _tidy(value: float) -> float:
    return round(value, 3) + 0.0  # no -0.0, no last digits that hang on the order of additions
