"""Chosen loops in a figure: a curved arrow with the loop's name inside a mesh, or, for a loop round
several meshes, a dashed line along its inside."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from math import cos, degrees, hypot, radians, sin

from ..circuit.circuit import Circuit
from ..graph.lines import Loop
from .drawing import XY, Bend, Drawn, Label, Stroke
from .lettering import name_label, width_of
from .placement import Cell, GridPath, Placement, straightened
from .room import Edges, around, boxes_of, label_box, touching
from .slots import Leg
from .spacing import Needs
from .symbols import FINE, arrow_head

LEAST_RADIUS = 3.2
MOST_RADIUS = 5.6
_CLEAR = 1.5  # between a curved arrow and what is round it; its head reaches out a little
_OFF = 0.4  # between the corner of its name and a curved arrow, at least
_SIZE = 2.6
_HEAD = 2.1
_INSET = 4.3  # how far inside its wires a dashed loop runs
_MORE_INSET = 1.5  # and each further one
_ASIDE = 2.6  # how far its name stands beside it
_MOST_DASHED = 2  # more of them run over each other and tell nothing
_DASH = (1.6, 1.1)
_PLAY = 1.0  # what a curved arrow needs beside its room: lines have a weight, and places are tried in steps

At = Callable[[Cell], XY]


@dataclass(frozen=True, slots=True)
class LoopLine:
    """A loop on the grid: its outline in the sense of travel, its name, and whether it goes round several
    meshes."""

    outline: GridPath
    name: str
    round_several: bool


def loop_lines(
    circuit: Circuit, placement: Placement, loops: Sequence[Loop], names: Sequence[str]
) -> tuple[LoopLine, ...]:
    """Where the loops run, whatever the distances between columns and rows."""
    outlines = [loop_outline(circuit, placement, loop) for loop in loops]
    return tuple(
        LoopLine(outline, name, len(outline) > 3 and _holds_lines(outline, placement))
        for outline, name in zip(outlines, names, strict=True)
    )


@dataclass(frozen=True, slots=True)
class Dashed:
    """A dashed line along the inside of a loop's outline, with two heads and its name. `length`: how long the
    line would be if it were whole, in mm."""

    name: str
    pieces: tuple[tuple[XY, XY], ...]
    heads: tuple[Stroke, ...]
    label: Label
    length: float

    def marks(self) -> list[Drawn]:
        """The line, its heads, its name."""
        return [*(Stroke(piece, FINE, dash=_DASH) for piece in self.pieces), *self.heads, self.label]


@dataclass(frozen=True, slots=True)
class Curl:
    """A curved arrow round the name of a loop. `room`: the largest radius there is room for; `least`: the
    smallest that its name fits into."""

    name: str
    centre: XY
    room: float
    least: float
    clockwise: bool


@dataclass(frozen=True, slots=True)
class LoopsFound:
    """Where loops are marked. `missing`: the number of those for which there is no room; `hidden`: the share
    of the dashed lines left out for labels."""

    dashed: Sequence[Dashed] = ()
    curls: Sequence[Curl] = ()
    missing: int = 0
    hidden: float = 0.0

    def marks(self) -> list[tuple[str, Drawn]]:
        """The marks, each with the name of its loop; curved arrows are all of one size where their names fit
        into it."""
        radius = min((curl.room for curl in self.curls), default=0.0)
        found = [(line.name, mark) for line in self.dashed for mark in line.marks()]
        for curl in self.curls:
            drawn = _curl(curl.centre, max(radius, curl.least), curl.name, curl.clockwise)
            found.extend((curl.name, mark) for mark in drawn)
        return found


def find_loops(
    lines: Sequence[LoopLine],
    at: At,
    wires: Sequence[Edges],
    things: Sequence[Edges],
    labels: Sequence[Edges],
    too_many: float = float("inf"),
    too_hidden: float = float("inf"),
    order: list[int] | None = None,
) -> LoopsFound | None:
    """Where the loops are marked. A loop without room is left out; None as soon as `too_many` are, or the
    share of dashed lines left out for labels is `too_hidden`.

    `at`: from cells to positions in mm; `wires`, `things`, `labels`: the boxes taken already. Not more than
    two loops round several meshes are shown: the lines of more run over each other. `order`: the numbers of
    the loops in the order in which they are looked at, where that makes no difference; one without room then
    comes first.
    """
    taken = [*wires, *things, *labels]
    missing = 0
    whole = shown = 0.0
    named: list[Edges] = []  # the names of dashed lines, for which later ones are broken
    plain: list[tuple[int, list[XY], bool, str]] = []
    round_several: list[tuple[list[XY], str]] = []
    for number in order or range(len(lines)):
        line = lines[number]
        corners = [at(cell) for cell in line.outline]
        if len(corners) < 4:
            missing += 1
        elif line.round_several:
            round_several.append((corners, line.name))
        else:
            plain.append((number, corners, _area(corners) > 0, line.name))
    dashed: list[Dashed] = []
    for k, (corners, name) in enumerate(round_several[:_MOST_DASHED]):
        new = _dashed(corners, name, _inset_of(k), [*things, *labels, *named], taken)
        if new is None:
            missing += 1
            if missing >= too_many:
                return None
            continue
        dashed.append(new)
        named.append(label_box(new.label))
        whole += new.length
        shown += sum(_length(*piece) for piece in new.pieces)
        taken.extend(box for mark in new.marks() for box in boxes_of(mark))
    hidden = 1.0 - shown / whole if whole else 0.0
    if hidden >= too_hidden:
        return None
    curls: dict[int, Curl] = {}
    for number, corners, clockwise, name in plain:
        if missing >= too_many:
            return None
        found = _roomiest(corners, taken)
        half = width_of(_called(name)) / 2
        if found is None or found[1] < _least_room(half):
            missing += 1
            if order and missing >= too_many:
                order.insert(0, order.pop(order.index(number)))
        least = hypot(half, 0.55 * _SIZE) + _OFF
        if found is not None and found[1] >= least:
            (x, y), r = found
            curls[number] = Curl(name, found[0], r, least, clockwise)
            taken.append((x - r, y - r, x + r, y + r))
    found_curls = [curls[number] for number in sorted(curls)]
    return None if missing >= too_many else LoopsFound(dashed, found_curls, missing, hidden)


def _least_room(half: float) -> float:
    """The radius in mm for which there must be room inside a mesh. `half`: half the width of the name."""
    return max(LEAST_RADIUS, half + 1.2)


@dataclass(frozen=True, slots=True)
class _Side:
    """A straight side of an outline: its column (row of a level one), the rows (columns) it runs between, and
    whether the inside lies to the right of it (below), +1, or to the left (above), -1."""

    upright: bool
    line: int
    span: tuple[int, int]
    inward: int

    def beside(self, other: _Side) -> bool:
        """Whether it runs in the same direction as another, and a part of it at the same height."""
        apart = self.upright != other.upright
        return not apart and self.span[0] < other.span[1] and other.span[0] < self.span[1]


def strips(lines: Sequence[LoopLine]) -> tuple[Needs, Needs]:
    """How far apart columns, and rows, must be for a curved arrow between a dashed line inside a mesh and the
    wire across."""
    columns: dict[tuple[int, int], float] = {}
    rows: dict[tuple[int, int], float] = {}
    dashed = [_sides(line.outline) for line in lines if line.round_several][:_MOST_DASHED]
    for line in lines if dashed else ():
        if line.round_several or len(line.outline) < 4:
            continue
        across = 2 * (_least_room(width_of(_called(line.name)) / 2) + _CLEAR) + _PLAY
        insets = [
            (own, max([_inset_of(k) for k, ring in enumerate(dashed) if _along(own, ring)], default=0.0))
            for own in _sides(line.outline)
        ]
        for one, inset in insets:
            for other, more in insets:
                if inset + more and one.inward > other.inward and one.line < other.line and one.beside(other):
                    needs, between = columns if one.upright else rows, (one.line, other.line)
                    needs[between] = max(needs.get(between, 0.0), across + inset + more)
    return columns, rows


def _sides(outline: GridPath) -> list[_Side]:
    sense = 1 if _area(outline) > 0 else -1
    found: list[_Side] = []
    for a, b in zip(outline, (*outline[1:], outline[0]), strict=True):
        upright = a[0] == b[0]
        here, there = (a[1], b[1]) if upright else (a[0], b[0])
        inward = sense if (there > here) != upright else -sense  # at the right hand where it goes clockwise
        found.append(_Side(upright, a[0] if upright else a[1], (min(here, there), max(here, there)), inward))
    return found


def _along(side: _Side, ring: Sequence[_Side]) -> bool:
    """Whether an outline runs along a side with its inside on the same hand."""
    return any(one.line == side.line and one.inward == side.inward and one.beside(side) for one in ring)


def _inset_of(number: int) -> float:
    """How far inside its wires the dashed line of this number runs, in mm."""
    return _INSET + number * _MORE_INSET


def beside_dashed(lines: Sequence[LoopLine], legs: Sequence[Leg]) -> list[list[int]]:
    """For each dashed line the legs, by their numbers, that it runs along and on which something stands."""
    rings = [_sides(line.outline) for line in lines if line.round_several][:_MOST_DASHED]
    return [
        [
            i
            for i, leg in enumerate(legs)
            if leg.slots
            and any(
                side.upright == leg.upright
                and side.line == leg.line
                and side.span[0] <= leg.span[0]
                and leg.span[1] <= side.span[1]
                for side in ring
            )
        ]
        for ring in rings
    ]


def least_hidden(lines: Sequence[LoopLine], at: At, blocked: Sequence[Sequence[Edges]]) -> float:
    """The share of the dashed lines that is left out at least. `blocked`: for each of them some of the boxes
    for which it is broken."""
    whole = shown = 0.0
    dashed = [line for line in lines if line.round_several][:_MOST_DASHED]
    for k, (line, boxes) in enumerate(zip(dashed, blocked, strict=True)):
        sides = _run([at(cell) for cell in line.outline], _inset_of(k))
        whole += sum([_length(a, b) for a, b in sides])
        shown += sum([_length(c, d) for a, b in sides for c, d in _shown(a, b, boxes)])
    return 1.0 - shown / whole if whole else 0.0


def any_order(lines: Sequence[LoopLine]) -> list[int] | None:
    """The numbers of the loops, if it makes no difference in which order room is looked for: not more than
    one goes round several meshes, and the meshes of the others lie apart. Else None."""
    boxes: list[Edges] = []
    for line in lines:
        if not line.round_several:
            box = around(line.outline)
            if touching(box, boxes):
                return None
            boxes.append(box)
    return list(range(len(lines))) if len(lines) - len(boxes) < 2 else None


def _called(name: str) -> Label:
    """The name of a loop: upright as a number, `(1)`, or set as the quantity that runs round it, `Ia`."""
    if name[:1].isalpha():
        return name_label(name, _SIZE)
    return Label(name, (0.0, 0.0), italic=False, size=_SIZE)


def loop_outline(circuit: Circuit, placement: Placement, loop: Loop) -> GridPath:
    """The closed path of a loop on the grid in its sense of travel, bars of points included."""
    whole: list[Cell] = []
    ends = [(path if sense > 0 else path[::-1]) for name, sense in loop for path in [placement.routes[name]]]
    for i, path in enumerate(ends):
        name, sense = loop[i]
        branch = circuit.branch(name)
        point = branch.end if sense > 0 else branch.start
        whole.extend(path)
        whole.extend(placement.along_bar(point, path[-1], ends[(i + 1) % len(ends)][0])[1:-1])
    outline = straightened((*whole, whole[0]))
    ring = outline[:-1] if outline[0] == outline[-1] else outline
    turned = straightened((*ring[1:], ring[0], ring[1])) if len(ring) > 3 else ring
    return turned[:-1] if len(turned) > 1 and turned[0] == turned[-1] else turned


def _area(corners: Sequence[XY]) -> float:
    pairs = zip(corners, [*corners[1:], corners[0]], strict=True)
    return sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairs)  # rows count downwards: > 0 is clockwise


def _inside(corners: Sequence[XY], position: XY) -> bool:
    x, y = position
    if len(corners) == 4:  # a rectangle, as most outlines are
        (a, b), (c, d) = corners[0], corners[2]
        return (a < x < c or c < x < a) and (b < y < d or d < y < b)
    within = False
    for (x1, y1), (x2, y2) in zip(corners, [*corners[1:], corners[0]], strict=True):
        if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
            within = not within
    return within


def _holds_lines(outline: GridPath, placement: Placement) -> bool:
    """Whether any wire runs strictly inside the outline."""
    ring = [(2.0 * c, 2.0 * r) for c, r in outline]
    own = {
        position
        for a, b in zip(outline, (*outline[1:], outline[0]), strict=True)
        for position in _middles(a, b)
    }
    return any(
        position not in own and _inside(ring, position)
        for path in placement.paths()
        for a, b in pairwise(path)
        for position in _middles(a, b)
    )


def _middles(a: Cell, b: Cell) -> list[Cell]:
    """Half-way positions between the cells of a straight piece, in half columns and rows."""
    step = ((b[0] > a[0]) - (b[0] < a[0]), (b[1] > a[1]) - (b[1] < a[1]))
    length = abs(b[0] - a[0]) + abs(b[1] - a[1])
    return [(2 * a[0] + step[0] * k, 2 * a[1] + step[1] * k) for k in range(1, 2 * length, 2)]


def _roomiest(corners: Sequence[XY], taken: Sequence[Edges]) -> tuple[XY, float] | None:
    """The position inside an outline farthest from everything, and the radius that fits there."""
    box = around(corners)
    near = touching(box, taken)
    mid_x, mid_y = (box.left + box.right) / 2, (box.top + box.foot) / 2

    def best_of(positions: Sequence[XY]) -> tuple[float, float, XY]:
        """The first of the best, after its score and its room; positions in the middle are tried first. A
        position is left as soon as a thing is clearly too near; that is then looked at first, for it is
        mostly too near to the next one too."""
        best, found = (-1e6, 0.0, 0), positions[0]
        offs = [(0.03 * (abs(x - mid_x) + abs(y - mid_y)), i) for i, (x, y) in enumerate(positions)]
        offs.sort()
        for off, i in offs:
            if MOST_RADIUS - off < best[0]:
                break
            x, y = positions[i]
            enough = best[0] + off + _CLEAR
            stop = (enough - 1e-6) ** 2 if enough > 0 else -1.0
            least = 1e12 if near else (MOST_RADIUS + 2) ** 2  # the square of the distance
            for thing in near:
                left, top, right, foot = thing
                dx = left - x if x < left else x - right if x > right else 0.0
                dy = top - y if y < top else y - foot if y > foot else 0.0
                square = dx * dx + dy * dy
                if square < least:
                    least = square
                    if square < stop:
                        break
            if least < stop:
                if thing is not near[0]:
                    near.remove(thing)
                    near.insert(0, thing)
                continue
            room = float(least**0.5) - _CLEAR
            rank = (min(room, MOST_RADIUS) - off, room, -i)
            if rank > best and _inside(corners, positions[i]):
                best, found = rank, positions[i]
        return best[0], best[1], found

    wide, high = box.right - box.left, box.foot - box.top
    positions = [(box.left + wide * i / 8, box.top + high * j / 8) for i in range(1, 8) for j in range(1, 8)]
    score, room, best = best_of(positions)
    for part in (16, 32, 64):
        x, y = best
        positions = [(x + wide * i / part, y + high * j / part) for i in (-1, 0, 1) for j in (-1, 0, 1)]
        score, room, best = best_of(positions)
    return None if score < -1e5 else (best, min(room, MOST_RADIUS))


def _curl(centre: XY, radius: float, name: str, clockwise: bool) -> list[Drawn]:
    """Most of a circle with a head at its end, and the name in the middle."""
    start, stop = (-60.0, 225.0) if clockwise else (240.0, -45.0)
    way = 1 if clockwise else -1
    head = degrees(_HEAD / radius)  # the angle that the head takes up
    end = stop - way * 0.75 * head
    tip_at = radians(stop)
    tip = (centre[0] + radius * cos(tip_at), centre[1] + radius * sin(tip_at))
    slope = radians(stop - way * head / 2)
    along = (-way * sin(slope), way * cos(slope))
    arc = Bend(centre, radius, min(start, end), max(start, end), FINE)
    return [arc, arrow_head(tip, along, _HEAD), replace(_called(name), at=centre)]


def _dashed(
    corners: Sequence[XY],
    name: str,
    inset: float,
    blocked: Sequence[Edges],
    taken: Sequence[Edges],
) -> Dashed | None:
    """A dashed line inside the outline, broken where labels and symbols stand; None where there is no room
    for its name, without which it tells nothing."""
    sides = _run(corners, inset)
    pieces = [piece for a, b in sides for piece in _shown(a, b, blocked)]
    longest = sorted(((_length(c, d), c, d) for c, d in pieces), reverse=True)
    heads = []
    for length, c, d in longest[:2]:
        along = ((d[0] - c[0]) / length, (d[1] - c[1]) / length)
        tip = ((c[0] + d[0]) / 2 + along[0], (c[1] + d[1]) / 2 + along[1])
        heads.append(arrow_head(tip, along, _HEAD))
    others = [*taken, *(around(piece, 0.2) for piece in pieces), *(box for h in heads for box in boxes_of(h))]
    label = _called(name)
    size = label_box(label)
    for _, (ax, ay), (bx, by) in longest:
        upright = abs(ax - bx) < 1e-6
        dx, dy = (_ASIDE + size.right, size.foot) if upright else (size.right, _ASIDE + size.foot)
        left, top, right, foot = around(((ax, ay), (bx, by)), 0.3)
        near = touching((left - dx, top - dy, right + dx, foot + dy), others)
        for k in (0.5, 0.25, 0.75, 0.12, 0.88):
            for aside in (_ASIDE, -_ASIDE):
                x, y = ax + (bx - ax) * k, ay + (by - ay) * k
                x, y = position = (x + aside, y) if upright else (x, y + aside)
                box = (size.left + x, size.top + y, size.right + x, size.foot + y)
                if not touching(box, near, 0.3) and _inside(corners, position):
                    whole = sum(_length(a, b) for a, b in sides)
                    return Dashed(name, tuple(pieces), tuple(heads), replace(label, at=position), whole)
    return None


def _length(a: XY, b: XY) -> float:
    """Of a level or an upright line."""
    return abs(a[0] - b[0]) + abs(a[1] - b[1])


def _inset(corners: Sequence[XY], by: float) -> list[XY]:
    """The outline moved by `by` mm to the right of the sense of travel."""
    count = len(corners)
    moved: list[XY] = []
    for i in range(count):
        before, here, after = corners[i - 1], corners[i], corners[(i + 1) % count]
        shift = [0.0, 0.0]
        for a, b in ((before, here), (here, after)):
            length = abs(b[0] - a[0]) + abs(b[1] - a[1])
            shift[0] += -(b[1] - a[1]) / length * by
            shift[1] += (b[0] - a[0]) / length * by
        moved.append((here[0] + shift[0], here[1] + shift[1]))
    return moved


def _run(corners: Sequence[XY], inset: float) -> list[tuple[XY, XY]]:
    """The straight sides of a dashed line `inset` mm inside an outline."""
    ring = _inset(corners, inset if _area(corners) > 0 else -inset)
    return list(zip(ring, [*ring[1:], ring[0]], strict=True))


def _shown(a: XY, b: XY, blocked: Sequence[Edges]) -> list[tuple[XY, XY]]:
    """What of a side is drawn: it is broken where boxes come near."""
    boxes = touching(around((a, b)), blocked, 0.5)
    length = abs(b[0] - a[0]) + abs(b[1] - a[1])
    if length < 1e-6:
        return []
    along = ((b[0] - a[0]) / length, (b[1] - a[1]) / length)
    gaps = []
    for left, top, right, foot in boxes:
        one = (left - a[0]) * along[0] + (top - a[1]) * along[1]
        other = (right - a[0]) * along[0] + (foot - a[1]) * along[1]
        gaps.append((min(one, other) - 0.6, max(one, other) + 0.6))
    pieces: list[tuple[XY, XY]] = []
    reached = 0.0
    for low, high in [*sorted(gaps), (length, length)]:
        if low - reached > 1.5:
            pieces.append(
                (
                    (a[0] + reached * along[0], a[1] + reached * along[1]),
                    (a[0] + low * along[0], a[1] + low * along[1]),
                )
            )
        reached = max(reached, high)
    return pieces
