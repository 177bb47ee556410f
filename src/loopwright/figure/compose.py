"""The whole figure: wires, symbols, labels, current arrows, junction dots, names of points and loops.

Everything is put down at the closest spacing first; while two things meet, the grid is stretched.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import chain, product

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..graph.lines import Loop
from .drawing import XY, Bend, Drawing, Drawn, Label, Round, Stroke, Whose
from .label_sides import SidesChosen, narrower, usual_width
from .lettering import expression_runs
from .loop_marks import At, LoopLine, loop_lines, loop_marks
from .placement import Cell, Placement, packed
from .room import Box, boxes_of, label_box
from .slots import GAP, LETTERS, LINE, SMALL, Leg, WireSlot, legs_of
from .spacing import END, Neighbours, along, apart, ends, neighbours, positions
from .symbols import ARROW_ASIDE, ARROW_LENGTH, FINE, WIRE, Axes, arrow

WIDEST = 83.0  # mm: a wider figure has letters under 2.6 mm when it is printed 80 mm wide
_MORE_HIDDEN = 0.12  # the share of dashed lines that may be left out for labels turned
_SURELY = 1.0  # mm by which the width of a figure may come out less than is foreseen
_MOST_WAYS = 24  # ways to make a figure narrower that are tried where it is too wide
MARGIN = 1.6  # blank rim of the figure in mm
DOT = 0.85
_STEPS = (1.0, 1.06, 1.13, 1.21, 1.3, 1.42, 1.6, 1.85, 2.2)
# in columns and rows, those that add least first; width is dearer than height
_STRETCHES = sorted(((x, y) for x in _STEPS for y in _STEPS), key=lambda s: (s[0] ** 3 * s[1], s))[:36]
_STRETCHES += [(2.4, 2.4), (3.2, 3.2)]  # a last resort for crowded figures
_TALLER = [(1.0, y) for y in _STEPS[:7]]


@dataclass(frozen=True, slots=True)
class Overlay:
    """What is drawn over the circuit: loops with their names, and what is written at points, by point."""

    loops: tuple[LoopLine, ...] = ()
    levels: Mapping[str, str] = field(default_factory=dict)


@dataclass(slots=True)
class Board:
    """What has been put down so far, with the boxes it takes: `wires`, `things` (symbols and arrows),
    `labels` and `loops`.

    `clashes`: how many things meet; `hidden`: what share of the dashed lines is left out for labels;
    `spots`: how far, in mm, each thing stands from the start of its leg; `distances`: where columns and
    rows are. `whose`: what each mark belongs to.
    """

    marks: list[Drawn] = field(default_factory=list)
    whose: list[Whose] = field(default_factory=list)
    wires: list[Box] = field(default_factory=list)
    things: list[Box] = field(default_factory=list)
    labels: list[Box] = field(default_factory=list)
    loops: list[Box] = field(default_factory=list)
    clashes: int = 0
    hidden: float = 0.0
    spots: dict[str, float] = field(default_factory=dict)
    distances: tuple[Sequence[float], Sequence[float]] = ((), ())

    @property
    def width(self) -> float:
        """How wide the figure is in its frame, in mm; nothing where nothing has been put down."""
        boxes = [*self.wires, *self.things, *self.labels, *self.loops]
        reach = max([b.right for b in boxes], default=0.0) - min([b.left for b in boxes], default=0.0)
        return round(reach + 2 * MARGIN, 3)

    def put(self, whose: Whose, *marks: Drawn) -> None:
        """Puts marks down that belong to something."""
        self.marks.extend(marks)
        self.whose.extend([whose] * len(marks))

    def put_label(self, label: Label, whose: Whose) -> None:
        """Puts a label down and counts what it meets."""
        box = label_box(label)
        self.clashes += self.meets(box)
        self.labels.append(box)
        self.put(whose, label)

    def meets(self, box: Box) -> int:
        """How many things a label there would meet."""
        return _meeting(box, self.labels, 0.4) + _meeting(box, chain(self.wires, self.things), 0.25)


def _meeting(box: Box, others: Iterable[Box], apart: float) -> int:
    """How many boxes come nearer to one than `apart`: `Box.meets` written out, for it is asked so often."""
    left, top, right, foot = box.left - apart, box.top - apart, box.right + apart, box.foot + apart
    return sum([left < e and w < right and top < s and n < foot for w, n, e, s in others])


@dataclass(frozen=True, slots=True)
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
    usual = _Usual(lambda: _fitted(circuit, placement, legs, beside, over))
    widest = WIDEST - 2 * MARGIN
    if usual_width(legs, beside, placement.columns) < widest + _SURELY and usual.board.width <= WIDEST:
        return _chosen(placement, legs, usual.board)
    ways = narrower(legs, beside, placement.columns, widest)[:_MOST_WAYS]

    def tries() -> Iterator[tuple[Sequence[Leg], Board]]:
        """Every way as it is first; those in which something meets are then made taller."""
        crowded: list[SidesChosen] = []
        for way in ways:
            board = _fitted(circuit, placement, way[0], beside, over, way[1], _TALLER[:1], 1)
            if board.clashes:
                crowded.append(way)
            else:
                yield way[0], board
        too_many = usual.board.clashes + 1
        for way in crowded:
            yield way[0], _fitted(circuit, placement, way[0], beside, over, way[1], _TALLER, too_many)

    best: tuple[Sequence[Leg], Board] | None = None
    for turned, board in tries():
        flawless = not board.clashes and board.hidden < _MORE_HIDDEN
        if not flawless and not usual.is_no_better(board):
            continue
        if board.width <= WIDEST:
            return _chosen(placement, turned, board)
        if board.width < (best[1] if best else usual.board).width:
            best = turned, board
    return _chosen(placement, *best) if best else _chosen(placement, legs, usual.board)


class _Usual:
    """The figure with labels on their usual sides, put down when it is first asked for: where it is surely
    too wide, the first flawless narrow one is taken without it."""

    def __init__(self, make: Callable[[], Board]) -> None:
        self._make = make

    @cached_property
    def board(self) -> Board:
        return self._make()

    def is_no_better(self, other: Board) -> bool:
        """Whether another one has no more faults than it has, and hides little more."""
        return other.clashes <= self.board.clashes and other.hidden < self.board.hidden + _MORE_HIDDEN


def _chosen(placement: Placement, legs: Sequence[Leg], board: Board) -> Composed:
    left, top = _corner([box for mark in board.marks for box in boxes_of(mark)])
    drawing = framed(board.marks, board.whose)
    return Composed(drawing, placement, legs, *board.distances, board.spots, (-left, -top))


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
    stands = list(zip(legs, clear, strict=True))
    board = _board(circuit, placement, stands, like.xs, like.ys, over, 1, like)
    if board.clashes:
        return None
    return _chosen(placement, legs, board)


def _fitted(
    circuit: Circuit,
    placement: Placement,
    legs: Sequence[Leg],
    beside: Neighbours,
    over: Overlay,
    squeeze: float = 1.0,
    stretches: Sequence[tuple[float, float]] = _STRETCHES,
    too_many: int = 1_000_000,
) -> Board:
    """Everything put down on a grid that is stretched, along and across, until nothing meets; where
    something always does, the stretch at which fewest things meet. `beside`: which legs face one another;
    `squeeze`: the share of the usual room between upright ones. A board without marks and with `too_many`
    clashes where there is none with fewer."""
    clear = ends(legs)
    reaches = [leg.reaches for leg in legs]
    needs = (
        apart(along(legs, clear, upright=False), legs, reaches, beside.upright, squeeze),
        apart(along(legs, clear, upright=True), legs, reaches, beside.level),
    )
    best = Board(clashes=too_many)
    for stretch in stretches:
        xs = positions(placement.columns, needs[0], stretch[0])
        ys = positions(placement.rows, needs[1], stretch[1])
        board = _board(circuit, placement, list(zip(legs, clear, strict=True)), xs, ys, over, best.clashes)
        if board.clashes < best.clashes:
            best = board
        if not board.clashes:
            break
    return best


def framed(marks: Sequence[Drawn], whose: Sequence[Whose] = ()) -> Drawing:
    """The marks moved so that they fill a frame with a small margin."""
    boxes = [box for mark in marks for box in boxes_of(mark)]
    if not boxes:
        return Drawing(2 * MARGIN, 2 * MARGIN, ())
    left, top = _corner(boxes)
    right, foot = max(b.right for b in boxes) + MARGIN, max(b.foot for b in boxes) + MARGIN
    moved = tuple(_mapped(mark, 1.0, -left, -top) for mark in marks)
    return Drawing(_tidy(right - left), _tidy(foot - top), moved, tuple(whose))


def _corner(boxes: Sequence[Box]) -> XY:
    """The top left corner of the frame round these boxes."""
    left, top = min((b.left for b in boxes), default=0.0), min((b.top for b in boxes), default=0.0)
    return left - MARGIN, top - MARGIN


def scaled(drawing: Drawing, width: float) -> Drawing:
    """The same drawing at another width in mm, letters and lines in proportion."""
    by = width / drawing.width
    marks = tuple(_mapped(mark, by, 0.0, 0.0) for mark in drawing.marks)
    return Drawing(_tidy(width), _tidy(drawing.height * by), marks, drawing.whose)


def _mapped(mark: Drawn, by: float, dx: float, dy: float) -> Drawn:
    def moved(at: XY) -> XY:
        return (_tidy((at[0] + dx) * by), _tidy((at[1] + dy) * by))

    match mark:
        case Stroke():
            dash = tuple(_tidy(d * by) for d in mark.dash)
            points = tuple(map(moved, mark.points))
            return Stroke(points, _tidy(mark.weight * by), mark.closed, mark.filled, dash)
        case Round() | Bend():
            return replace(
                mark,
                centre=moved(mark.centre),
                radius=_tidy(mark.radius * by),
                weight=_tidy(mark.weight * by),
            )
        case Label():
            return replace(mark, at=moved(mark.at), size=_tidy(mark.size * by))


def _tidy(value: float) -> float:
    return round(value, 3) + 0.0  # no -0.0, no last digits that hang on the order of additions


# -- putting down --------------------------------------------------------------------------------


def _board(
    circuit: Circuit,
    placement: Placement,
    legs: Sequence[tuple[Leg, tuple[float, float]]],
    xs: Sequence[float],
    ys: Sequence[float],
    over: Overlay,
    too_many: float,
    like: Composed | None = None,
) -> Board:
    """Everything put down at these distances; given up, with clashes enough to lose, once it has
    `too_many`. `like`: a figure at the same distances in which things have their spots."""
    board = Board(distances=(xs, ys))

    def at(cell: Cell) -> XY:
        return xs[cell[0]], ys[cell[1]]

    stands = [(leg, _stands(leg, clear, at(leg.start), at(leg.end))) for leg, clear in legs]
    if like is not None:
        stands = [(leg, _on_their_spots(leg, standing, at, like)) for leg, standing in stands]
    for leg, standing in stands:
        _wires(board, leg, at, standing, [cell for name, cell in placement.hops if name == leg.branch])
    for leg, standing in stands:
        for slot, axes in standing:
            _thing(board, slot, axes)
            start = at(leg.start)
            board.spots[slot.key] = abs(axes.centre[0] - start[0]) + abs(axes.centre[1] - start[1])
    _dots(board, circuit, placement, at)
    for _, standing in stands:
        for slot, axes in standing:
            _labels(board, slot, axes)
    if board.clashes >= too_many:
        return board
    _point_names(board, circuit, placement, at, over.levels)
    left = too_many - board.clashes
    marks, missing, board.hidden = loop_marks(over.loops, at, board.wires, board.things, board.labels, left)
    board.clashes += missing
    board.loops = [box for _, mark in marks for box in boxes_of(mark)]
    for name, mark in marks:
        board.put(("loop", name), mark)
    return board


def _stands(leg: Leg, clear: tuple[float, float], start: XY, end: XY) -> list[tuple[WireSlot, Axes]]:
    """Where each thing of a leg stands, the length that is to spare shared out evenly. `clear`: the lengths
    in mm to be left free at its start and end."""
    if not leg.slots:
        return []
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    aside = (float(leg.label_way[0]), float(leg.label_way[1]))
    lengths = [slot.length(leg.upright) for slot in leg.slots]
    extra = (clear[0] - END, clear[1] - END)
    spare = (length - sum(lengths) - sum(extra)) / (len(lengths) + 1)
    found: list[tuple[WireSlot, Axes]] = []
    reached = extra[0]
    for slot, own in zip(leg.slots, lengths, strict=True):
        middle = reached + spare + own / 2
        reached += spare + own
        centre = (start[0] + middle * along[0], start[1] + middle * along[1])
        found.append((slot, Axes(centre, along, aside)))
    return found


def _on_their_spots(
    leg: Leg, standing: list[tuple[WireSlot, Axes]], at: At, like: Composed
) -> list[tuple[WireSlot, Axes]]:
    """The things of a leg moved to where they stood in another figure, if all of them stood on it there."""
    legs = {slot.key: other for other in like.legs for slot in other.slots}
    found: list[tuple[WireSlot, Axes]] = []
    for slot, axes in standing:
        other = legs.get(slot.key)
        if other is None or {other.start, other.end} != {leg.start, leg.end}:
            return standing
        (x, y), (u, v) = at(other.start), at(other.end)
        share = like.spots[slot.key] / (abs(u - x) + abs(v - y))
        found.append((slot, replace(axes, centre=(x + share * (u - x), y + share * (v - y)))))
    return found


HOP = 1.5


def _wires(
    board: Board, leg: Leg, at: At, standing: Sequence[tuple[WireSlot, Axes]], hops: Sequence[Cell]
) -> None:
    start, end = at(leg.start), at(leg.end)
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    if not length:
        return
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    gaps: list[tuple[float, float]] = []
    for slot, axes in standing:
        if slot.symbol is not None:
            middle = abs(axes.centre[0] - start[0]) + abs(axes.centre[1] - start[1])
            gaps.append((middle - slot.half, middle + slot.half))
    for cell, off in ((leg.start, 0.0), (leg.end, length)):
        if cell not in hops:
            continue
        gaps.append((off - HOP, off + HOP) if off else (0.0, HOP))
        if not off:
            continue  # the hop is drawn once, where the wire comes to it
        turn = 180.0 if along[1] == 0 else 270.0
        hop = Bend(end, HOP, turn, turn + 180.0, WIRE)
        board.put(("wire", leg.branch), hop)
        board.wires.extend(boxes_of(hop))
    reached = 0.0
    for a, b in [*sorted(gaps), (length, length)]:
        if a > reached:
            piece = Stroke(
                (
                    (start[0] + reached * along[0], start[1] + reached * along[1]),
                    (start[0] + a * along[0], start[1] + a * along[1]),
                ),
                WIRE,
            )
            board.put(("wire", leg.branch), piece)
            board.wires.extend(boxes_of(piece))
        reached = b


def _thing(board: Board, slot: WireSlot, axes: Axes) -> None:
    marks: tuple[Drawn, ...] = ()
    if slot.symbol is not None:
        marks = slot.symbol.marks(axes)
    elif slot.is_arrow:
        half = ARROW_LENGTH / 2
        marks = arrow(axes.at(-half, ARROW_ASIDE), axes.at(half, ARROW_ASIDE), FINE)
    else:
        marks = (Round(axes.centre, 0.55, 0.2, filled=True),)
    board.put(slot.whose, *marks)
    board.things.extend(box for mark in marks for box in boxes_of(mark))


def _dots(board: Board, circuit: Circuit, placement: Placement, at: At) -> None:
    met = Counter(cell for path in placement.paths() for cell in (path[0], path[-1]))
    for point, cells in placement.dots.items():
        for cell in cells:
            if len(cells) > 1 and met[cell] < 3:
                continue  # the corner at the end of a bar
            radius = DOT if point in circuit.junctions else 0.55
            dot = Round(at(cell), radius, 0.1, filled=True)
            board.put(("point", point), dot)
            board.things.extend(boxes_of(dot))


def _labels(board: Board, slot: WireSlot, axes: Axes) -> None:
    upright = abs(axes.along[1]) > 0.5
    for shift, lines in slot.labels:
        for k, label in enumerate(lines):
            if upright:
                drop = (k - (len(lines) - 1) / 2) * LINE
                x, y = axes.at(shift, slot.label_side + GAP)
                anchor = "start" if axes.aside[0] > 0 else "end"
                board.put_label(_placed(label, (x, y + drop), anchor), slot.whose)
                continue
            below = axes.aside[1] > 0
            row = k if below else len(lines) - 1 - k
            rise = GAP + (0.5 if below else 0.62) * LETTERS + row * LINE
            board.put_label(_placed(label, axes.at(shift, slot.label_side + rise)), slot.whose)


def _point_names(
    board: Board, circuit: Circuit, placement: Placement, at: At, levels: Mapping[str, str]
) -> None:
    emfs = [s for s in circuit.symbols if circuit.role(s) is Kind.BATTERY]
    for point, cells in placement.dots.items():
        label = Label(point, (0.0, 0.0), italic=False, size=SMALL)
        if point in levels:
            label = replace(label, tail=expression_runs(f": {levels[point]}", emfs))
        best: tuple[int, Label] | None = None
        for (x, y), (dx, dy, anchor) in product(map(at, cells), _AROUND):
            placed = _placed(label, (x + dx, y + dy), anchor)
            meets = board.meets(label_box(placed))
            if best is None or meets < best[0]:
                best = meets, placed
            if not meets:
                break
        board.put_label(best[1] if best else label, ("point", point))


def _placed(label: Label, at: XY, anchor: str = "middle") -> Label:
    """The label put down there."""
    return Label(
        label.base, at, label.sub, label.aside, label.italic, label.size, label.bold, anchor, label.tail
    )


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
