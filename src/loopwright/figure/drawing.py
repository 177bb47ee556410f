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


@dataclass(frozen=True, slots=True)
class Drawing:
    """A figure: its size in mm and its marks, in painting order."""

    width: float
    height: float
    marks: tuple[Drawn, ...]
