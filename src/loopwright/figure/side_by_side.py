"""Several drawings as one, side by side, each under its name: for what is to be compared at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from .drawing import NOBODYS, XY, Bend, Drawing, Drawn, Label, Round, Run, Stroke

WIDEST = 176.0  # mm of two drawings together: with letters of 2.8 mm these stay near 2.6 mm on a page
_GAP, _HEAD = 8.0, 6.0  # between two drawings, and above them for their names
_LETTERS = 2.8


def side_by_side(drawings: Sequence[Drawing], names: Sequence[str]) -> Drawing:
    """The drawings in a row, from left to right, each with its name above it (empty for none)."""
    head = _HEAD if any(names) else 0.0
    marks: list[Drawn] = []
    left = 0.0
    for drawing, name in zip(drawings, names, strict=True):
        if name:
            label = Label("", (left + 1.0, _LETTERS), size=_LETTERS, anchor="start", tail=(Run(name),))
            marks.append(label)
        marks += [_moved(mark, left, head) for mark in drawing.marks]
        left += drawing.width + _GAP
    height = head + max(drawing.height for drawing in drawings)
    whose = tuple(NOBODYS for _ in marks)
    return Drawing(left - _GAP, height, tuple(marks), whose)


def _moved(mark: Drawn, right: float, down: float) -> Drawn:
    """A mark moved by so many millimetres; last digits do not hang on the order of additions."""

    def at(point: XY) -> XY:
        return (round(point[0] + right, 3), round(point[1] + down, 3))

    match mark:
        case Stroke(points, weight, closed, filled, dash):
            return Stroke(tuple(map(at, points)), weight, closed, filled, dash)
        case Round() | Bend():
            return replace(mark, centre=at(mark.centre))
        case Label():
            return replace(mark, at=at(mark.at))
