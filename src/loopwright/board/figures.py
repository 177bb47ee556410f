"""What a drawing lacks for a lecture: the wire that takes the place of an element, and its size."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from math import ceil

from ..figure.drawing import XY, Drawing, Label, Stroke
from ..figure.room import boxes_of
from .room import FIGURE, HEIGHT, MARGIN, TITLE
from .stage import BoardFigure

_CAPTION_LETTER, _CAPTION_ROW = 0.65, 1.45  # units: the width of a letter of a caption, the height of a row
_NEAR = 0.35  # mm: how near a wire ends to the symbol that it leads to
HIGHEST = HEIGHT - TITLE - 2 * MARGIN - 2.2  # units: what a figure may take, with a line for its caption
LARGEST = 0.42  # units of the frame for a millimetre of a drawing: a small one does not fill the board


LEAST_LETTERS = 2.5  # mm: the least height of capitals that is read from the back row, in a figure of 83 mm


def from_afar(figure: BoardFigure) -> BoardFigure:
    """The figure with the names of its points as large as they have to be on a wall."""
    drawing = figure.drawing
    marks = tuple(
        replace(mark, size=LEAST_LETTERS) if isinstance(mark, Label) and mark.size < LEAST_LETTERS else mark
        for mark in drawing.marks
    )
    return replace(figure, drawing=replace(drawing, marks=marks))


def bridges(drawing: Drawing) -> Mapping[str, Stroke]:
    """For each element of a drawing the stroke that joins the wires on its two sides, as a wire in its place
    does."""
    wires = [
        mark
        for mark, (kind, _) in zip(drawing.marks, drawing.whose, strict=True)
        if kind == "wire" and isinstance(mark, Stroke)
    ]
    ends: list[XY] = [end for wire in wires for end in (wire.points[0], wire.points[-1])]
    found: dict[str, Stroke] = {}
    for name in dict.fromkeys(name for kind, name in drawing.whose if kind == "element"):
        marks = [
            mark
            for mark, owner in zip(drawing.marks, drawing.whose, strict=True)
            if owner == ("element", name) and not isinstance(mark, Label)
        ]
        boxes = [box for mark in marks for box in boxes_of(mark)]
        left, right = min(b.left for b in boxes) - _NEAR, max(b.right for b in boxes) + _NEAR
        top, foot = min(b.top for b in boxes) - _NEAR, max(b.foot for b in boxes) + _NEAR
        touching = list(dict.fromkeys((x, y) for x, y in ends if left <= x <= right and top <= y <= foot))
        pairs = [
            (abs(a[0] - b[0]) + abs(a[1] - b[1]), a, b)
            for k, a in enumerate(touching)
            for b in touching[k + 1 :]
            if abs(a[0] - b[0]) < _NEAR or abs(a[1] - b[1]) < _NEAR
        ]
        if pairs:
            _, start, end = max(pairs)
            found[name] = Stroke((start, end), wires[0].weight)
    return found


def scale_of(figure: BoardFigure, shape: str) -> float:
    """How many units of the frame a millimetre of the drawing is shown as, its caption below it."""
    drawing, wide = figure.drawing, FIGURE[shape]
    rows = ceil(len(figure.caption) * _CAPTION_LETTER / wide)
    further = _CAPTION_ROW * max(0, rows - 1)
    return min(wide / drawing.width, (HIGHEST - further) / drawing.height, LARGEST)
