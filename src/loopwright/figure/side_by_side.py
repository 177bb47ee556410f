"""Several drawings as one, side by side, each under its name: for what is to be compared at a glance."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from .drawing import NOBODYS, Drawing, Drawn, Label, Run, moved
from .room import boxes_of

WIDEST = 176.0  # mm of two drawings together: with letters of 2.8 mm these stay near 2.6 mm on a page
_CLEAR = 3.0  # mm that are clear between two drawings, whatever labels stand at their edges
_GAP, _HEAD = 8.0, 6.0  # between two drawings, and above them for their names
_LETTERS = 2.8


def side_by_side(drawings: Sequence[Drawing], names: Sequence[str], least: float = 0.0) -> Drawing:
    """The drawings in a row, from left to right, each with its name above it (empty for none). `least`: the
    width in mm that they take at least: several wider apart where they are narrow, one in the middle."""
    head = _HEAD if any(names) else 0.0
    marks: list[Drawn] = []
    alone, spare = len(drawings) == 1, max(0.0, least - sum(drawing.width for drawing in drawings))
    left = spare / 2 if alone else 0.0
    gap = spare / 2 if alone else max(_GAP, spare / (len(drawings) - 1))
    for drawing, name in zip(drawings, names, strict=True):
        if name:
            label = Label("", (left + 1.0, _LETTERS), size=_LETTERS, anchor="start", tail=(Run(name),))
            marks.append(label)
        marks += moved(drawing.marks, left, head)
        left += drawing.width + gap
    height = head + max(drawing.height for drawing in drawings)
    whose = tuple(NOBODYS for _ in marks)
    return Drawing(round(left if alone else left - gap, 3), height, tuple(marks), whose)


def apart(drawing: Drawing) -> tuple[Drawing, ...]:
    """The drawings that stand side by side in one, each by itself; a drawing of one piece alone."""
    boxes = [boxes_of(mark) for mark in drawing.marks]
    spans = sorted((min(b.left for b in held), max(b.right for b in held)) for held in boxes if held)
    edges: list[float] = []  # the middle of every band as clear as drawings are set apart
    reach = spans[0][1] if spans else 0.0
    for left, right in spans:
        if left - reach >= _CLEAR:
            edges.append((left + reach) / 2)
        reach = max(reach, right)
    found: list[Drawing] = []
    for start, end in pairwise([0.0, *edges, drawing.width]):
        own = [k for k, held in enumerate(boxes) if held and start <= min(b.left for b in held) < end]
        marks = tuple(moved([drawing.marks[k] for k in own], -start, 0.0))
        foot = max((b.foot for k in own for b in boxes[k]), default=drawing.height)
        whose = tuple(drawing.whose[k] for k in own) if drawing.whose else ()
        found.append(Drawing(round(end - start, 3), round(min(foot + 1.0, drawing.height), 3), marks, whose))
    return tuple(found) if edges else (drawing,)
