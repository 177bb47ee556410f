"""A quantity against the time as neutral strokes: start, end, the tangent that meets the end at τ, half-time.

Knows no circuit: it is told numbers. Black and white, for 8 cm of width. Its marks belong to what they tell,
one `CurveMark` each, so that a curve can be put down piece by piece.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from .drawing import XY, Drawing, Drawn, Label, Run, Stroke, Whose
from .symbols import arrow

_LEFT, _RIGHT, _TOP, _BOTTOM = 18.0, 11.0, 8.0, 7.0  # margins in mm
WIDTH, _HEIGHT = 84.0, 40.0  # mm, of the whole
_STEPS, _MOST_STEPS = 40, 2000  # samples of a stretch
_LETTERS = 2.4  # height of capitals in mm


class CurveMark(StrEnum):
    """What the marks of a curve belong to, in the order in which they are put down."""

    AXES = "axes"
    START = "start"
    END = "end"
    TANGENT = "tangent"
    COURSE = "course"


@dataclass(frozen=True, slots=True)
class CurveText:
    """What is written at a curve: the name of the quantity and its subscript, and the values at its ends."""

    base: str
    sub: str
    start: str
    end: str
    tau: str


@dataclass(frozen=True, slots=True)
class CurvePart:
    """One stretch of a curve: its value by the time since it began, when that was, the symbol of that
    time (none for the first), and how fast it swings in radians per second."""

    value: Callable[[float], float]
    start: float
    name: str = ""
    turning: float = 0.0


def curve(
    stretches: Sequence[CurvePart], tau: float, text: CurveText, *, tangent: bool, width: float = WIDTH
) -> Drawing:
    """The curve of these stretches, up to five of `tau`, the longest time constant, after the last began.

    `tangent`: whether the first tangent, and the half-time, are drawn: where there is one exponential.
    `width`: of the whole in mm; the letters keep their size.
    """
    span = stretches[-1].start + (5.0 * tau or stretches[-1].start or 1.0)
    sampled: list[list[tuple[float, float]]] = []
    for stretch, after in zip(stretches, [*(s.start for s in stretches[1:]), span], strict=True):
        length = after - stretch.start
        steps = min(_MOST_STEPS, max(_STEPS, int(3 * length * stretch.turning)))
        power = 1 if stretch.turning else 2  # what only fades is sampled closest where it is fastest
        times = [length * (k / steps) ** power for k in range(steps + 1)]
        sampled.append([(stretch.start + t, stretch.value(t)) for t in times])
    values = [v for part in sampled for _, v in part]
    start, end = values[0], values[-1]
    low, high = min(0.0, *values), max(0.0, *values)
    room = (high - low) or 1.0
    wide, tall = width - _LEFT - _RIGHT, _HEIGHT - _TOP - _BOTTOM

    def at(t: float, v: float) -> XY:
        return (_LEFT + wide * t / span, _TOP + tall * (high - v) / room)

    origin, far = at(0.0, 0.0), at(span, 0.0)
    marks: list[tuple[CurveMark, Drawn]] = []

    def put(owner: CurveMark, *drawn: Drawn) -> None:
        marks.extend((owner, mark) for mark in drawn)

    put(
        CurveMark.AXES,
        *arrow(origin, (far[0] + 6.0, far[1]), 0.3),
        *arrow((_LEFT, _TOP + tall + (1.5 if low < 0 else 0.0)), (_LEFT, _TOP - 5.5), 0.3),
    )
    put(CurveMark.COURSE, *(Stroke(tuple(at(t, v) for t, v in part), 0.6) for part in sampled))
    put(
        CurveMark.AXES,
        Label("t", (far[0] + 9.0, far[1]), size=_LETTERS),
        Label(text.base, (_LEFT + 3.5, _TOP - 4.6), text.sub, size=_LETTERS, anchor="start"),
    )
    if abs(end) > 0.02 * room:
        put(CurveMark.END, Stroke((at(0.0, end), at(span, end)), 0.25, dash=(1.2, 1.0)))
        put(CurveMark.END, _value(text.end, at(0.0, end)))
    if abs(start) > 0.02 * room and abs(start - end) > 0.12 * room:
        put(CurveMark.START, _value(text.start, at(0.0, start)))
    if (abs(end) > 0.12 * room and abs(start) > 0.12 * room) or low < 0 < high:
        put(CurveMark.AXES, _value("0", origin))
    if tangent and abs(start - end) > 0.02 * room:
        put(CurveMark.TANGENT, Stroke((at(0.0, start), at(tau, end)), 0.25))
        put(CurveMark.TANGENT, *_tick(at(tau, end), origin[1], text.tau))
        half = tau * 0.6931471805599453
        level = stretches[0].value(half)
        put(CurveMark.COURSE, Stroke((at(half, level), (at(half, 0.0)[0], origin[1])), 0.2, dash=(0.5, 0.7)))
    for left, right in pairwise(sampled):
        put(CurveMark.COURSE, Stroke((at(*left[-1]), at(*right[0])), 0.25, dash=(0.5, 0.7)))
    for stretch in stretches:
        put(CurveMark.AXES, *_moment(at(stretch.start, 0.0), stretch.name))
    whose: tuple[Whose, ...] = tuple(("curve", str(owner)) for owner, _ in marks)
    return Drawing(width, _HEIGHT, tuple(mark for _, mark in marks), whose)


def _moment(at: XY, name: str) -> list[Stroke | Label]:
    """A mark on the time axis where a later move is made."""
    if not name:
        return []
    tick = Stroke(((at[0], at[1] - 0.8), (at[0], at[1] + 0.8)), 0.3)
    return [tick, Label(name[0], (at[0], at[1] + 3.6), name[1:], size=_LETTERS)]


def _value(text: str, at: XY) -> Label:
    return Label("", (at[0] - 1.2, at[1]), size=_LETTERS, anchor="end", tail=(Run(text),))


def _tick(at: XY, base: float, text: str) -> list[Stroke | Label]:
    """A dashed line to the time axis and what stands beyond it."""
    return [
        Stroke((at, (at[0], base)), 0.2, dash=(0.8, 0.8)),
        Stroke(((at[0], base - 0.8), (at[0], base + 0.8)), 0.3),
        Label("τ", (at[0], base + (3.6 if at[1] <= base else -3.0)), size=_LETTERS, tail=(Run(text),)),
    ]
