"""What a figure must hold to, measured on its strokes alone: used by the tests beside it."""

from __future__ import annotations

from itertools import combinations, pairwise

from loopwright.circuit.circuit import Circuit
from loopwright.figure.drawing import Bend, Drawing, Label, Round, Stroke
from loopwright.figure.placement import Cell, GridPath, Placement
from loopwright.figure.room import Box, around, bend_points, boxes_of, label_box
from loopwright.figure.symbols import WIRE


def labels_of(drawing: Drawing) -> list[Label]:
    """The labels, the letter inside a meter left out."""
    meters = {mark.centre for mark in drawing.marks if isinstance(mark, Round) and not mark.filled}
    return [mark for mark in drawing.marks if isinstance(mark, Label) and mark.at not in meters]


def label_clashes(drawing: Drawing) -> list[tuple[str, str]]:
    """Labels that meet another label, a wire, a symbol, an arrow or a dot."""
    labels = labels_of(drawing)
    boxes = [(label.base, label_box(label)) for label in labels]
    clashes = [(a, b) for (a, one), (b, other) in combinations(boxes, 2) if one.meets(other)]
    for mark in drawing.marks:
        if isinstance(mark, Stroke | Round) and not (isinstance(mark, Stroke) and mark.dash):
            for name, box in boxes:
                clashes += [(name, repr(mark)) for other in boxes_of(mark) if box.meets(other)]
    return clashes


def overlaps(drawing: Drawing) -> list[tuple[str, str]]:
    """Every label that meets another label, or any stroke: dashed lines and the marks of loops too, an arc
    in pieces so small that their boxes are the arc."""
    labels = [(label.base + label.sub, label_box(label)) for label in labels_of(drawing)]
    found = [(a, b) for (a, one), (b, other) in combinations(labels, 2) if one.meets(other)]
    for mark in drawing.marks:
        if isinstance(mark, Label):
            continue
        pieces = boxes_of(mark)
        if isinstance(mark, Bend):
            pieces = tuple(around(pair, mark.weight / 2) for pair in pairwise(bend_points(mark, 180)))
        found += [(name, type(mark).__name__) for name, box in labels if any(map(box.meets, pieces))]
    return found


def outside(drawing: Drawing) -> list[Box]:
    """Boxes that reach over the frame."""
    boxes = [box for mark in drawing.marks for box in boxes_of(mark)]
    return [b for b in boxes if b.left < 0 or b.top < 0 or b.right > drawing.width or b.foot > drawing.height]


def cells_of(path: GridPath) -> list[Cell]:
    """Every cell of a path, a cell between any two columns or rows counted too (in half cells)."""
    cells: list[Cell] = []
    for (c1, r1), (c2, r2) in pairwise(path):
        steps = 2 * max(abs(c2 - c1), abs(r2 - r1))
        cells += [
            (2 * c1 + (c2 - c1) * 2 * k // steps, 2 * r1 + (r2 - r1) * 2 * k // steps) for k in range(steps)
        ]
    last = path[-1]
    return [*cells, (2 * last[0], 2 * last[1])]


def crossings(placement: Placement) -> list[Cell]:
    """Half cells that two lines share without a point of the circuit, or that one line passes twice."""
    dots = {(2 * c, 2 * r) for cells in placement.dots.values() for c, r in cells}
    seen: dict[Cell, int] = {}
    for path in placement.paths():
        cells = cells_of(path)
        for cell in cells[:-1] if path[0] == path[-1] else cells:
            seen[cell] = seen.get(cell, 0) + 1
    return [cell for cell, count in seen.items() if count > 1 and cell not in dots]


def wrong_ends(circuit: Circuit, placement: Placement) -> list[str]:
    """Branches that do not run from a cell of their start to a cell of their end."""
    return [
        b.name
        for b in circuit.branches
        if placement.routes[b.name][0] not in placement.dots[b.start]
        or placement.routes[b.name][-1] not in placement.dots[b.end]
    ]


def dots_on_strange_lines(circuit: Circuit, placement: Placement) -> list[tuple[str, Cell]]:
    """Dots of a point on a line that does not end at that point."""
    found = []
    for name, path in placement.routes.items():
        branch = circuit.branch(name)
        inner = set(cells_of(path)[1:-1])
        for point, cells in placement.dots.items():
            if point not in (branch.start, branch.end):
                found += [(point, cell) for cell in cells if (2 * cell[0], 2 * cell[1]) in inner]
    return found


def arrows_of(drawing: Drawing) -> list[Stroke]:
    """The shafts of the straight arrows: each is put down just before its filled head."""
    return [
        shaft
        for shaft, head in pairwise(drawing.marks)
        if isinstance(head, Stroke) and head.filled and isinstance(shaft, Stroke) and len(shaft.points) == 2
    ]


def beside_a_wire(drawing: Drawing, shaft: Stroke) -> float | None:
    """How far a level or upright shaft lies from the nearest wire that runs along the whole of it; None
    where it is neither, or no wire does."""
    (x1, y1), (x2, y2) = shaft.points
    if x1 != x2 and y1 != y2:
        return None
    axis = 0 if x1 == x2 else 1
    low, high = sorted((shaft.points[0][1 - axis], shaft.points[1][1 - axis]))
    wires = [
        m.points for m in drawing.marks if isinstance(m, Stroke) and m.weight == WIRE and len(m.points) == 2
    ]
    apart = [
        abs(a[axis] - shaft.points[0][axis])
        for a, b in wires
        if a[axis] == b[axis]
        and min(a[1 - axis], b[1 - axis]) <= low
        and high <= max(a[1 - axis], b[1 - axis])
    ]
    return min(apart, default=None)


def heights(drawing: Drawing, weight: float, *, closed: bool = False) -> list[float]:
    """How far down the middles of the strokes of one weight stand, closed or open."""
    strokes = [
        m for m in drawing.marks if isinstance(m, Stroke) and m.weight == weight and m.closed is closed
    ]
    return [sum(y for _, y in m.points) / len(m.points) for m in strokes]
