"""Neutral strokes: what a figure is made of before any renderer knows of it.

Coordinates are in millimetres of the printed figure, x to the right, y downwards.
"""

from __future__ import annotations

from dataclasses import dataclass

XY = tuple[float, float]  # a position in mm, e.g. (12.5, 40.0)


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through `points`; `closed` joins the last to the first, `filled` paints the inside.

    `weight` is the line width in mm; `dash` alternates drawn and blank lengths in mm (empty: solid).
    """

    points: tuple[XY, ...]
    weight: float = 0.4
    closed: bool = False
    filled: bool = False
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Round:
    """A circle (a junction dot when `filled`, a meter when not)."""

    centre: XY
    radius: float
    weight: float = 0.4
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Bend:
    """An arc of a circle from angle `start` to `stop` in degrees (clockwise as seen, 0 to the right)."""

    centre: XY
    radius: float
    start: float
    stop: float
    weight: float = 0.3
    dash: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Run:
    """A few letters of one style; `lowered` for a subscript."""

    text: str
    italic: bool = False
    lowered: bool = False


@dataclass(frozen=True, slots=True)
class Label:
    """A short text at `at`: `base` with an optional subscript; `italic` for quantities.

    `aside` is upright text after it (`" = 4.7 kΩ"`), `tail` more of it in runs (`" = 2 R"`). `at` is
    half-way up the capitals, at the middle of the text or, by `anchor`, at its start or end. `size` is
    the height of the capitals in mm.
    """

    base: str
    at: XY
    sub: str = ""
    aside: str = ""
    italic: bool = True
    size: float = 2.8
    bold: bool = False
    anchor: str = "middle"
    tail: tuple[Run, ...] = ()

    @property
    def runs(self) -> tuple[Run, ...]:
        """The whole text in runs of one style."""
        parts = (
            Run(self.base, self.italic),
            Run(self.sub, False, True),
            Run(self.aside),
            *self.tail,
        )
        return tuple(run for run in parts if run.text)


Drawn = Stroke | Round | Bend | Label


Whose = tuple[str, str]  # what a mark belongs to: ("element", "R1"), ("wire", "I1"), ("arrow", "I1"), ...
NOBODYS: Whose = ("", "")


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure: its size in mm and its marks, in painting order. `whose`: for each mark what it belongs to,
    an element, the wire or the arrow of a branch, a point; empty where nothing is said of any."""

    width: float
    height: float
    marks: tuple[Drawn, ...]
    whose: tuple[Whose, ...] = ()


def moved(mark: Drawn, right: float, down: float) -> Drawn:
    """A mark moved by so many millimetres; last digits do not hang on the order of additions."""

    def at(point: XY) -> XY:
        return (round(point[0] + right, 3) + 0.0, round(point[1] + down, 3) + 0.0)  # no -0.0

    match mark:
        case Stroke(points, weight, closed, filled, dash):
            return Stroke(tuple(map(at, points)), weight, closed, filled, dash)
        case Round(centre, radius, weight, filled):
            return Round(at(centre), radius, weight, filled)
        case Bend(centre, radius, start, stop, weight, dash):
            return Bend(at(centre), radius, start, stop, weight, dash)
        case Label(base, where, sub, aside, italic, size, bold, anchor, tail):
            return Label(base, at(where), sub, aside, italic, size, bold, anchor, tail)
