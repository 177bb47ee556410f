"""The whole figure: wires, symbols, labels, current arrows, junction dots, names of points and loops.

Everything is put down at the closest spacing first; while two things meet, the grid is stretched.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import chain, product

from ..circuit.circuit import Circuit
from ..graph.lines import Loop
from .drawing import XY, Bend, Drawing, Drawn, Label, Round, Stroke
from .label_sides import SidesChosen, narrower
from .loop_marks import At, LoopLine, loop_lines, loop_marks
from .placement import Cell, Placement
from .room import Box, boxes_of, label_box
from .slots import GAP, LETTERS, LINE, SMALL, Leg, WireSlot, legs_of
from .spacing import END, Neighbours, along, apart, ends, neighbours, positions
from .symbols import ARROW_ASIDE, ARROW_LENGTH, FINE, WIRE, Axes, arrow

WIDEST = 83.0  # mm: a wider figure has letters under 2.6 mm when it is printed 80 mm wide
_MORE_HIDDEN = 0.12  # the share of dashed lines that may be left out for labels turned
_MOST_WAYS = 24  # ways to make a figure narrower that are tried where it is too wide
MARGIN = 1.6  # blank rim of the figure in mm
DOT = 0.85
_STEPS = (1.0, 1.06, 1.13, 1.21, 1.3, 1.42, 1.6, 1.85, 2.2)
# in columns and rows, those that add least first; width is dearer than height
_STRETCHES = sorted(((x, y) for x in _STEPS for y in _STEPS), key=lambda s: (s[0] ** 3 * s[1], s))[:36]
_STRETCHES += [(2.4, 2.4), (3.2, 3.2)]  # a last resort for crowded figures
_TALLER = [(1.0, y) for y in _STEPS[:7]]


@dataclass(slots=True)
class Board:
    """What has been put down so far, with the boxes it takes: `wires`, `things` (symbols and arrows) and
    `labels`. `clashes`: how many things meet; `hidden`: what share of the dashed lines is left out for
    labels."""

    marks: list[Drawn] = field(default_factory=list)
    wires: list[Box] = field(default_factory=list)
    things: list[Box] = field(default_factory=list)
    labels: list[Box] = field(default_factory=list)
    clashes: int = 0
    hidden: float = 0.0

    def put_label(self, label: Label) -> None:
        """Puts a label down and counts what it meets."""
        box = label_box(label)
        self.clashes += self.meets(box)
        self.labels.append(box)
        self.marks.append(label)

    def meets(self, box: Box) -> int:
        """How many things a label there would meet."""
        return _meeting(box, self.labels, 0.4) + _meeting(box, chain(self.wires, self.things), 0.25)


def _meeting(box: Box, others: Iterable[Box], apart: float) -> int:
    """How many boxes come nearer to one than `apart`: `Box.meets` written out, for it is asked so often."""
    left, top, right, foot = box.left - apart, box.top - apart, box.right + apart, box.foot + apart
    return sum([left < e and w < right and top < s and n < foot for w, n, e, s in others])


def composed(
    circuit: Circuit,
    placement: Placement,
    loops: Sequence[Loop],
    loop_names: Sequence[str],
    resistors: str,
    values: bool,
) -> Drawing:
    """The drawing of a circuit on a placement, as small as nothing meets; 0,0 is its top left corner."""
    legs = legs_of(circuit, placement, resistors=resistors, values=values)
    lines = loop_lines(circuit, placement, loops, loop_names)
    beside = neighbours(legs)
    best = _fitted(circuit, placement, legs, beside, lines)
    drawing = framed(best.marks)
    if drawing.width <= WIDEST:
        return drawing
    ways = narrower(legs, beside, placement.columns, WIDEST - 2 * MARGIN)[:_MOST_WAYS]

    def tries() -> Iterator[Board]:
        """Every way as it is first; those in which something meets are then made taller."""
        crowded: list[SidesChosen] = []
        for way in ways:
            board = _fitted(circuit, placement, way[0], beside, lines, way[1], _TALLER[:1], 1)
            if board.clashes:
                crowded.append(way)
            else:
                yield board
        for way in crowded:
            yield _fitted(circuit, placement, way[0], beside, lines, way[1], _TALLER, best.clashes + 1)

    for board in tries():
        if board.clashes <= best.clashes and board.hidden < best.hidden + _MORE_HIDDEN:
            smaller = framed(board.marks)
            if smaller.width < drawing.width:
                drawing = smaller
            if drawing.width <= WIDEST:
                break
    return drawing


def _fitted(
    circuit: Circuit,
    placement: Placement,
    legs: Sequence[Leg],
    beside: Neighbours,
    lines: Sequence[LoopLine],
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
        board = _board(circuit, placement, list(zip(legs, clear, strict=True)), xs, ys, lines, best.clashes)
        if board.clashes < best.clashes:
            best = board
        if not board.clashes:
            break
    return best


def framed(marks: Sequence[Drawn]) -> Drawing:
    """The marks moved so that they fill a frame with a small margin."""
    boxes = [box for mark in marks for box in boxes_of(mark)]
    if not boxes:
        return Drawing(2 * MARGIN, 2 * MARGIN, ())
    left, top = min(b.left for b in boxes) - MARGIN, min(b.top for b in boxes) - MARGIN
    right, foot = max(b.right for b in boxes) + MARGIN, max(b.foot for b in boxes) + MARGIN
    moved = tuple(_mapped(mark, 1.0, -left, -top) for mark in marks)
    return Drawing(_tidy(right - left), _tidy(foot - top), moved)


def scaled(drawing: Drawing, width: float) -> Drawing:
    """The same drawing at another width in mm, letters and lines in proportion."""
    by = width / drawing.width
    marks = tuple(_mapped(mark, by, 0.0, 0.0) for mark in drawing.marks)
    return Drawing(_tidy(width), _tidy(drawing.height * by), marks)


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
    lines: Sequence[LoopLine],
    too_many: float,
) -> Board:
    """Everything put down at these distances; given up, with clashes enough to lose, once it has
    `too_many`."""
    board = Board()

    def at(cell: Cell) -> XY:
        return xs[cell[0]], ys[cell[1]]

    stands = [(leg, _stands(leg, clear, at(leg.start), at(leg.end))) for leg, clear in legs]
    for leg, standing in stands:
        _wires(board, leg, at, standing, [cell for name, cell in placement.hops if name == leg.branch])
    for _, standing in stands:
        for slot, axes in standing:
            _thing(board, slot, axes)
    _dots(board, circuit, placement, at)
    for _, standing in stands:
        for slot, axes in standing:
            _labels(board, slot, axes)
    if board.clashes >= too_many:
        return board
    _point_names(board, circuit, placement, at)
    left = too_many - board.clashes
    marks, missing, board.hidden = loop_marks(lines, at, board.wires, board.things, board.labels, left)
    board.clashes += missing
    for mark in marks:
        board.marks.append(mark)
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
        board.marks.append(hop)
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
            board.marks.append(piece)
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
    board.marks.extend(marks)
    board.things.extend(box for mark in marks for box in boxes_of(mark))


def _dots(board: Board, circuit: Circuit, placement: Placement, at: At) -> None:
    met = Counter(cell for path in placement.paths() for cell in (path[0], path[-1]))
    for point, cells in placement.dots.items():
        for cell in cells:
            if len(cells) > 1 and met[cell] < 3:
                continue  # the corner at the end of a bar
            radius = DOT if point in circuit.junctions else 0.55
            dot = Round(at(cell), radius, 0.1, filled=True)
            board.marks.append(dot)
            board.things.extend(boxes_of(dot))


def _labels(board: Board, slot: WireSlot, axes: Axes) -> None:
    upright = abs(axes.along[1]) > 0.5
    for shift, lines in slot.labels:
        for k, label in enumerate(lines):
            if upright:
                drop = (k - (len(lines) - 1) / 2) * LINE
                x, y = axes.at(shift, slot.label_side + GAP)
                anchor = "start" if axes.aside[0] > 0 else "end"
                board.put_label(_placed(label, (x, y + drop), anchor))
                continue
            below = axes.aside[1] > 0
            row = k if below else len(lines) - 1 - k
            rise = GAP + (0.5 if below else 0.62) * LETTERS + row * LINE
            board.put_label(_placed(label, axes.at(shift, slot.label_side + rise)))


def _point_names(board: Board, circuit: Circuit, placement: Placement, at: At) -> None:
    for point, cells in placement.dots.items():
        label = Label(point, (0.0, 0.0), italic=False, size=SMALL)
        best: tuple[int, Label] | None = None
        for (x, y), (dx, dy, anchor) in product(map(at, cells), _AROUND):
            placed = _placed(label, (x + dx, y + dy), anchor)
            meets = board.meets(label_box(placed))
            if best is None or meets < best[0]:
                best = meets, placed
            if not meets:
                break
        board.put_label(best[1] if best else label)


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
