"""The symbols of the elements as strokes.

Resistor as a rectangle or a zigzag, cell with a long (+) and a short plate, meters as circles with a
letter: IEC 60617 and IEEE 315, from memory. Knows no grid and no renderer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin

from ..circuit.elements import Element, Kind
from .drawing import XY, Drawn, Label, Round, Stroke

WIRE = 0.46  # weights in mm
FINE = 0.38
PLATE = 0.5
SHORT_PLATE = 0.95
ARROW_LENGTH = 6.6
ARROW_ASIDE = 2.0  # how far a current arrow stands beside its wire


@dataclass(frozen=True, slots=True)
class Axes:
    """A place on a wire: `along` is the unit step along the arrow, `aside` the one to the label's side."""

    centre: XY
    along: XY
    aside: XY

    def at(self, s: float, t: float = 0.0) -> XY:
        """The position `s` mm along and `t` mm aside of the centre."""
        x, y = self.centre
        return (
            x + s * self.along[0] + t * self.aside[0],
            y + s * self.along[1] + t * self.aside[1],
        )


@dataclass(frozen=True, slots=True)
class DrawnSymbol:
    """A symbol and the room it takes, in mm: `half` its half length along the wire, `label_side` and
    `far_side` how far it reaches to either side; `marks` gives its strokes at a place."""

    half: float
    label_side: float
    far_side: float
    marks: Callable[[Axes], tuple[Drawn, ...]]


def symbol_of(element: Element, sign: int, resistors: str = "iec") -> DrawnSymbol:
    """The symbol of an element passed with this sign (see `Pass`); `resistors` is "iec" or "ieee"."""
    return _symbol(element.kind, element.internal is not None, element.closed, sign, resistors)


@lru_cache(maxsize=256)
def _symbol(kind: Kind, internal: bool, closed: bool, sign: int, resistors: str) -> DrawnSymbol:
    match kind:
        case Kind.RESISTOR:
            return resistor_symbol(resistors)
        case Kind.BATTERY if internal:
            return _real_battery(sign, resistors)
        case Kind.BATTERY:
            return DrawnSymbol(0.8, 3.2, 3.6, lambda axes: _battery(axes, sign))
        case Kind.CURRENT_SOURCE:
            return DrawnSymbol(3.2, 3.2, 3.2, lambda axes: _current_source(axes, sign))
        case Kind.SWITCH:
            return DrawnSymbol(3.6, 1.0, 0.9 if closed else 3.4, lambda axes: _switch(axes, closed))
        case Kind.AMMETER:
            return DrawnSymbol(3.2, 3.2, 3.2, lambda axes: _meter(axes, "A"))
        case Kind.VOLTMETER:
            return DrawnSymbol(3.2, 3.2, 3.2, lambda axes: _meter(axes, "V"))
        case Kind.CAPACITOR:
            return DrawnSymbol(0.9, 3.2, 3.6 if sign else 3.2, lambda axes: _capacitor(axes, sign))
        case Kind.COIL if internal:
            return _real_coil(resistors)
        case Kind.COIL:
            return DrawnSymbol(_TURNS * _TURN, 1.6, 0.4, _coil)


def resistor_symbol(resistors: str) -> DrawnSymbol:
    """The resistor alone: a rectangle ("iec") or a zigzag ("ieee")."""
    if resistors == "ieee":
        return DrawnSymbol(4.2, 1.6, 1.6, _zigzag)
    return DrawnSymbol(4.2, 1.6, 1.6, _rectangle)


def gap_symbol() -> DrawnSymbol:
    """Where something was cut out: two open ends of wire."""
    return DrawnSymbol(2.9, 0.9, 0.9, _gap)


def _gap(axes: Axes) -> tuple[Drawn, ...]:
    return (Round(axes.at(-2.2), 0.7, WIRE), Round(axes.at(2.2), 0.7, WIRE))


def _rectangle(axes: Axes) -> tuple[Drawn, ...]:
    corners = (axes.at(-4.2, -1.6), axes.at(4.2, -1.6), axes.at(4.2, 1.6), axes.at(-4.2, 1.6))
    return (Stroke(corners, WIRE, closed=True),)


def _zigzag(axes: Axes) -> tuple[Drawn, ...]:
    teeth = [axes.at(-3.5 + 1.4 * k, 1.6 if k % 2 == 0 else -1.6) for k in range(6)]
    return (Stroke((axes.at(-4.2), *teeth, axes.at(4.2)), WIRE),)


def _battery(axes: Axes, sign: int, shift: float = 0.0) -> tuple[Drawn, ...]:
    """The long plate is the + terminal: met last when the arrow rises (sign +1)."""
    plus = shift + 0.8 * sign
    minus = shift - 0.8 * sign
    mark = axes.at(plus + 1.75 * sign, -2.4)
    return (
        Stroke((axes.at(plus, -3.2), axes.at(plus, 3.2)), PLATE),
        Stroke((axes.at(minus, -1.6), axes.at(minus, 1.6)), SHORT_PLATE),
        *_plus(mark),
    )


def _plus(at: XY) -> tuple[Drawn, ...]:
    """The sign of the positive end."""
    return (
        Stroke(((at[0] - 0.85, at[1]), (at[0] + 0.85, at[1])), FINE),
        Stroke(((at[0], at[1] - 0.85), (at[0], at[1] + 0.85)), FINE),
    )


REAL_BATTERY_SHIFT = 4.6  # the cell and its internal resistance stand so far before and behind the middle


def _real_battery(sign: int, resistors: str) -> DrawnSymbol:
    """A cell with its internal resistance, in one dashed box; the resistance is met before the cell
    when the arrow rises, so that the + terminal is at the end."""
    inner = resistor_symbol(resistors)

    def marks(axes: Axes) -> tuple[Drawn, ...]:
        cell, rest = (REAL_BATTERY_SHIFT + 0.6) * sign, -REAL_BATTERY_SHIFT * sign
        half, wide = 10.2, 4.3
        box = (axes.at(-half, -wide), axes.at(half, -wide), axes.at(half, wide), axes.at(-half, wide))
        wires = sorted((-half, rest - 4.2, rest + 4.2, cell - 0.8, cell + 0.8, half))
        return (
            Stroke(box, FINE, closed=True, dash=(1.4, 1.1)),
            *(Stroke((axes.at(a), axes.at(b)), WIRE) for a, b in zip(wires[::2], wires[1::2], strict=True)),
            *_battery(axes, sign, cell),
            *inner.marks(Axes(axes.at(rest), axes.along, axes.aside)),
        )

    return DrawnSymbol(10.2, 4.3, 4.3, marks)


def _current_source(axes: Axes, sign: int) -> tuple[Drawn, ...]:
    return (
        Round(axes.centre, 3.2, WIRE),
        *arrow(axes.at(-2.2 * sign), axes.at(2.2 * sign), WIRE),
    )


def _switch(axes: Axes, closed: bool) -> tuple[Drawn, ...]:
    pivot, contact = axes.at(-2.9), axes.at(2.9)
    reach = axes.at(2.2, -0.05) if closed else axes.at(-2.9 + 6.2 * cos(radians(28)), -6.2 * sin(radians(28)))
    start = axes.at(-2.2) if closed else axes.at(-2.9 + 0.7 * cos(radians(28)), -0.7 * sin(radians(28)))
    return (Round(pivot, 0.7, WIRE), Round(contact, 0.7, WIRE), Stroke((start, reach), PLATE))


def _capacitor(axes: Axes, sign: int = 0) -> tuple[Drawn, ...]:
    """Two equal plates; one with a marked polarity has a + beside its positive plate (IEC 60617-4, from
    memory), which is met last where the sign is +1."""
    plates = tuple(Stroke((axes.at(s, -3.2), axes.at(s, 3.2)), PLATE) for s in (-0.9, 0.9))
    return (*plates, *_plus(axes.at(0.9 * sign + 1.75 * sign, -2.4))) if sign else plates


REAL_COIL_SHIFT = 5.0  # a coil and its own resistance stand so far before and behind the middle
_TURNS = 4  # half circles of a coil (IEC 60617-4, from memory)
_TURN = 1.2  # radius of each in mm


def _coil(axes: Axes) -> tuple[Drawn, ...]:
    """Four half circles in a row, on the label's side of the wire."""
    path: list[XY] = []
    for turn in range(_TURNS):
        middle = (2 * turn + 1 - _TURNS) * _TURN
        for step in range(0 if turn == 0 else 1, 13):
            angle = radians(180 - 15 * step)
            path.append(axes.at(middle + _TURN * cos(angle), _TURN * sin(angle)))
    return (Stroke(tuple(path), WIRE),)


def _real_coil(resistors: str) -> DrawnSymbol:
    """A coil and its own resistance in one dashed box."""
    inner = resistor_symbol(resistors)

    def marks(axes: Axes) -> tuple[Drawn, ...]:
        coil, rest, half, wide = -REAL_COIL_SHIFT, REAL_COIL_SHIFT, 10.8, 3.4
        box = (axes.at(-half, -wide), axes.at(half, -wide), axes.at(half, wide), axes.at(-half, wide))
        reach = _TURNS * _TURN
        wires = ((-half, coil - reach), (coil + reach, rest - 4.2), (rest + 4.2, half))
        return (
            Stroke(box, FINE, closed=True, dash=(1.4, 1.1)),
            *(Stroke((axes.at(a), axes.at(b)), WIRE) for a, b in wires),
            *_coil(Axes(axes.at(coil), axes.along, axes.aside)),
            *inner.marks(Axes(axes.at(rest), axes.along, axes.aside)),
        )

    return DrawnSymbol(10.8, 3.4, 3.4, marks)


def _meter(axes: Axes, letter: str) -> tuple[Drawn, ...]:
    return (Round(axes.centre, 3.2, WIRE), Label(letter, axes.centre, italic=False, size=2.6))


def arrow(start: XY, end: XY, weight: float = FINE, head: float = 2.0) -> tuple[Drawn, ...]:
    """A straight arrow with a filled head."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5
    u = (dx / length, dy / length)
    neck = (end[0] - 0.8 * head * u[0], end[1] - 0.8 * head * u[1])
    return (Stroke((start, neck), weight), arrow_head(end, u, head))


def arrow_head(tip: XY, along: XY, head: float = 2.0) -> Stroke:
    """A filled head whose tip stands at `tip` and looks along the unit step `along`."""
    back = (tip[0] - head * along[0], tip[1] - head * along[1])
    half = 0.36 * head
    return Stroke(
        (
            tip,
            (back[0] - half * along[1], back[1] + half * along[0]),
            (back[0] + half * along[1], back[1] - half * along[0]),
        ),
        0.1,
        closed=True,
        filled=True,
    )
