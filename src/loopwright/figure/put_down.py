"""The marks of what stands in a figure, each at its place: wires, symbols, arrows, labels, dots."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from .drawing import XY, Bend, Drawn, Label, Round, Stroke
from .placement import Cell
from .slots import GAP, LETTERS, LINE, Leg, WireSlot
from .spacing import END
from .symbols import ARROW_ASIDE, ARROW_LENGTH, FINE, WIRE, Axes, arrow

HOP = 1.5  # radius of the half circle in which one wire hops over another, in mm

WirePart = tuple[float, float]  # from where to where, in mm from the start of its leg
InPlace = tuple[WireSlot, Axes]  # a thing on a wire and where it stands


def standing(leg: Leg, clear: tuple[float, float], start: XY, end: XY) -> list[InPlace]:
    """Where each thing of a leg stands, the length that is to spare shared out evenly. `clear`: the lengths
    in mm to be left free at its start and end."""
    if not leg.slots:
        return []
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    along = ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    aside = (float(leg.label_way[0]), float(leg.label_way[1]))
    return [
        (slot, Axes((start[0] + middle * along[0], start[1] + middle * along[1]), along, aside))
        for slot, middle in zip(leg.slots, middles(leg, clear, length), strict=True)
    ]


def middles(leg: Leg, clear: tuple[float, float], length: float) -> list[float]:
    """How far from the start of a leg of this length the middle of each thing stands, in mm."""
    extra = clear[0] - END
    spare = (length - sum(leg.lengths) - (extra + (clear[1] - END))) / (len(leg.lengths) + 1)
    found: list[float] = []
    reached = extra
    for own in leg.lengths:
        found.append(reached + spare + own / 2)
        reached += spare + own
    return found


def wire_pieces(
    leg: Leg, along: Sequence[float], length: float, hops: Collection[Cell]
) -> Iterator[WirePart]:
    """From where to where a leg is drawn as wire. `along`: the middles of its things; `hops`: the cells
    where its branch hops over another."""
    gaps = [
        (middle - slot.half, middle + slot.half)
        for slot, middle in zip(leg.slots, along, strict=True)
        if slot.symbol is not None
    ]
    if leg.start in hops:
        gaps.append((0.0, HOP))
    if leg.end in hops:
        gaps.append((length - HOP, length + HOP))
    reached = 0.0
    for a, b in [*sorted(gaps), (length, length)]:
        if a > reached:
            yield reached, a
        reached = b


def hop_marks(leg: Leg, end: XY, hops: Collection[Cell]) -> tuple[Drawn, ...]:
    """The hop at the end of a leg: it is drawn once, where the wire comes to it."""
    if leg.end not in hops:
        return ()
    turn = 270.0 if leg.upright else 180.0
    return (Bend(end, HOP, turn, turn + 180.0, WIRE),)


def wire_marks(
    leg: Leg, start: XY, end: XY, things: Sequence[InPlace], hops: Collection[Cell]
) -> list[Drawn]:
    """The wire of a leg, broken where symbols stand."""
    length = abs(end[0] - start[0]) + abs(end[1] - start[1])
    if not length:
        return []
    (x, y), along = start, ((end[0] - start[0]) / length, (end[1] - start[1]) / length)
    at = [abs(axes.centre[0] - x) + abs(axes.centre[1] - y) for _, axes in things]
    found: list[Drawn] = [*hop_marks(leg, end, hops)]
    for a, b in wire_pieces(leg, at, length, hops):
        points = ((x + a * along[0], y + a * along[1]), (x + b * along[0], y + b * along[1]))
        found.append(Stroke(points, WIRE))
    return found


def thing_marks(slot: WireSlot, axes: Axes) -> tuple[Drawn, ...]:
    """A thing on a wire without its labels."""
    if slot.symbol is not None:
        return slot.symbol.marks(axes)
    if slot.is_arrow:
        half = ARROW_LENGTH / 2
        return arrow(axes.at(-half, ARROW_ASIDE), axes.at(half, ARROW_ASIDE), FINE)
    return (Round(axes.centre, 0.55, 0.2, filled=True),)


def thing_labels(slot: WireSlot, axes: Axes) -> Iterator[Label]:
    """The labels of a thing on a wire."""
    upright = abs(axes.along[1]) > 0.5
    for shift, lines in slot.labels:
        for k, label in enumerate(lines):
            if upright:
                drop = (k - (len(lines) - 1) / 2) * LINE
                x, y = axes.at(shift, slot.label_side + GAP)
                yield label_at(label, (x, y + drop), "start" if axes.aside[0] > 0 else "end")
                continue
            below = axes.aside[1] > 0
            row = k if below else len(lines) - 1 - k
            rise = GAP + (0.5 if below else 0.62) * LETTERS + row * LINE
            yield label_at(label, axes.at(shift, slot.label_side + rise))


def label_at(label: Label, at: XY, anchor: str = "middle") -> Label:
    """The label put down there."""
    return Label(
        label.base, at, label.sub, label.aside, label.italic, label.size, label.bold, anchor, label.tail
    )
