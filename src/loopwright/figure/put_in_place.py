"""A figure in which other things stand in the places of some: every mark of the rest is kept as it is.

For a circuit redrawn with the same branches, as just after a switch moves: a source where a capacitor stood,
a gap, a wire. None where the new things need more room than the old ones leave: then it is drawn afresh.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Element, Pass
from .compose import Composed
from .crowding import APART, LETTERS_APART, MARGIN
from .drawing import XY, Drawing, Drawn, Label, Run, Whose
from .layout_like import emptied
from .lettering import value_runs
from .put_down import InPlace, thing_labels, thing_marks, wire_marks
from .room import Edges, boxes_of, touching
from .slots import Leg, WireSlot, slot_of, written_internal
from .symbols import Axes, gap_symbol

_Boxed = tuple[Drawn, Sequence[Edges]]  # a mark with what it takes
_ROUNDED = 1e-3  # mm that rounding may have moved a mark by


def put_in_place(
    circuit: Circuit, original: Circuit, before: Composed, resistors: str, values: bool
) -> Drawing | None:
    """The figure of a circuit made from that of the `original`, which has the same branches; None where that
    does not do. `resistors`, `values`: as that one was drawn."""
    changed = _changed(circuit, original)
    if changed is None:
        return None
    gaps = emptied(circuit, original)
    touched = {original.branch_of(name).name for name in changed}
    new: list[tuple[Whose, list[Drawn]]] = []
    for leg in before.legs:
        if leg.branch not in touched:
            continue
        start, end = before.at(leg.start), before.at(leg.end)
        things: list[InPlace] = []
        for slot in leg.slots:
            item = changed.get(slot.name) if slot.symbol is not None else None
            if slot.symbol is not None and slot.name in changed and item is None:
                continue  # a plain wire now
            if item is not None:
                empty = item.element in gaps
                slot = (
                    WireSlot(item.element, gap_symbol())
                    if empty
                    else slot_of(circuit, item, leg.upright, resistors, values)
                )
            axes = _axes(leg, start, end, before.spots[slot.key])
            things.append((slot, axes))
            if item is not None:
                new.append((slot.whose, [*thing_marks(slot, axes), *thing_labels(slot, axes)]))
        hops = {cell for name, cell in before.placement.hops if name == leg.branch}
        standing = replace(leg, slots=tuple(slot for slot, _ in things))
        new.append((("wire", leg.branch), wire_marks(standing, start, end, things, hops)))
    gone = {("element", name) for name in changed} | {("wire", name) for name in touched}
    old = before.drawing
    staying = [k for k, own in enumerate(old.whose) if own not in gone]
    fresh = [(own, mark) for own, marks in new for mark in marks]
    boxes = [(old.marks[k], before.boxes[k]) for k in staying]
    frame = _frame(old, boxes, [(mark, boxes_of(mark)) for _, mark in fresh])
    if frame is None:
        return None
    both = (*((old.whose[k], old.marks[k]) for k in staying), *fresh)
    return Drawing(*frame, tuple(mark for _, mark in both), tuple(own for own, _ in both))


def _changed(circuit: Circuit, original: Circuit) -> dict[str, Pass | None] | None:
    """The elements that are another thing now, each as it is passed; None for one that is a plain wire. None
    where the circuits differ in more than that."""
    if circuit.points != original.points or len(circuit.branches) != len(original.branches):
        return None
    changed: dict[str, Pass | None] = {}
    for now, was in zip(circuit.branches, original.branches, strict=True):
        if (now.name, now.start, now.end) != (was.name, was.start, was.end):
            return None
        here = {p.element: p for p in now.passes}
        left = [i if isinstance(i, str) else i.element for i in now.along]
        if left != [name for name in _names(was) if name in left]:
            return None
        for p in was.passes:
            passed = here.get(p.element)
            if passed is None or _otherwise(circuit, original, passed, p):
                changed[p.element] = passed
        if any(isinstance(item, str) and item not in left for item in was.along):
            return None
    return changed


def _names(branch: Branch) -> list[str]:
    return [item if isinstance(item, str) else item.element for item in branch.along]


def _otherwise(circuit: Circuit, original: Circuit, now: Pass, was: Pass) -> bool:
    """Whether an element is drawn or written otherwise than it was."""
    one, other = circuit.elements[now.element], original.elements[now.element]
    if now != was or one != other:
        return True
    return _written(circuit, one) != _written(original, one)


def _written(circuit: Circuit, element: Element) -> list[tuple[Run, ...]]:
    """What is written beside the name of an element, and beside that of the resistance inside it."""
    found = [value_runs(circuit, element.value, element.name)]
    if element.internal is not None:
        inside = written_internal(circuit, element.name)
        found.append(value_runs(circuit, element.internal, inside))
    return found


def _axes(leg: Leg, start: XY, end: XY, spot: float) -> Axes:
    """Where a thing stands, so many mm from the start of its leg."""
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    aside = (float(leg.label_way[0]), float(leg.label_way[1]))
    return Axes((start[0] + spot * along[0], start[1] + spot * along[1]), along, aside)


def _frame(old: Drawing, kept: Sequence[_Boxed], fresh: Sequence[_Boxed]) -> XY | None:
    """Width and height of the figure; None where letters meet something, or where what is new reaches out to
    the left or above."""
    letters: list[Edges] = []
    solid: list[Edges] = []
    for mark, boxes in (*kept, *fresh):
        (letters if isinstance(mark, Label) else solid).extend(boxes)
    width, height = old.width, old.height
    for mark, boxes in fresh:
        for box in boxes:
            if box[0] < MARGIN - _ROUNDED or box[1] < MARGIN - _ROUNDED:
                return None
            width, height = max(width, box[2] + MARGIN), max(height, box[3] + MARGIN)
            if isinstance(mark, Label):
                if touching(box, solid, APART) or len(touching(box, letters, LETTERS_APART)) > 1:
                    return None
            elif touching(box, letters, APART):
                return None
    return round(width, 3), round(height, 3)
