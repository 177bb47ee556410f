"""Neutral strokes: what a figure is made of before any renderer knows of it.

Coordinates are in millimetres of the printed figure, x to the right, y downwards.
"""

from __future__ import annotations

from collections.abc import Iterable
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


class _Moved(dict[float, float]):
    """Coordinates moved by so many millimetres, each worked once: many marks share them. Last digits do not
    hang on the order of additions."""

    def __init__(self, by: float) -> None:
        super().__init__()
        self.by = by

    def __missing__(self, value: float) -> float:
        found = self[value] = round(value + self.by, 3) + 0.0  # no -0.0
        return found


def moved(marks: Iterable[Drawn], right: float, down: float) -> list[Drawn]:
    """Marks moved by so many millimetres."""
    xs, ys = _Moved(right), _Moved(down)
    found: list[Drawn] = []
    for mark in marks:
        match mark:
            case Stroke(points, weight, closed, filled, dash):
                found.append(Stroke(tuple([(xs[x], ys[y]) for x, y in points]), weight, closed, filled, dash))
            case Round((x, y), radius, weight, filled):
                found.append(Round((xs[x], ys[y]), radius, weight, filled))
            case Bend((x, y), radius, start, stop, weight, dash):
                found.append(Bend((xs[x], ys[y]), radius, start, stop, weight, dash))
            case Label(base, (x, y), sub, aside, italic, size, bold, anchor, tail):
                found.append(Label(base, (xs[x], ys[y]), sub, aside, italic, size, bold, anchor, tail))
    return found
