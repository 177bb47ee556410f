"""A map as neutral strokes: both scales from 0 to ∞, boundaries, hatching where the quantity is negative.

A boundary that is linear in one of the values is drawn by `drawn_lines`, as near to the exact one as a curve;
another through exact points of it. Black and white, for 8 cm of width.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from ..algebra.ratios import Ratio
from ..algebra.real_roots import coefficients, positive_roots
from ..circuit.elements import Kind
from ..circuit.plots_asked import unit_of_value
from ..circuit.targets import Asked
from ..expressions.amounts import amount
from ..expressions.writers import plain
from ..figure.drawing import XY, Drawing, Drawn, Label, Round, Run, Stroke
from ..figure.lettering import expression_runs, width_of
from .drawn_line import drawn_lines, in_shares
from .maps import MapBoundary, SignMap

WIDTH, HEIGHT = 100.0, 78.0  # mm
LEFT, TOP = 21.0, 10.0
SIDE = 62.0  # mm of both scales
WITHIN = 0.05  # mm: a boundary linear in one value is never further from the exact one
_LETTERS = 2.4
_CURVED = 160  # points of a boundary that is linear in neither value
_FINEST = 100_000  # parts of the scale to which such a point is placed
_NEAR = Fraction(1, 1 << 20)
_GRID = 36  # by so many points a region is looked through for room
_HATCH = 3.4  # mm from one line of hatching to the next

Shares = tuple[float, float]
LabelBox = tuple[float, float, float, float]


def map_picture(found: SignMap) -> Drawing:
    """The map drawn."""
    base, right = TOP + SIDE, LEFT + SIDE
    marks: list[Drawn] = [
        Stroke(((LEFT, base), (right, base), (right, TOP), (LEFT, TOP)), 0.3, closed=True),
    ]
    names = _names(found)
    marks += _hatching(found, [_box(label) for label in names])
    for boundary in found.boundaries:
        dash = (1.2, 1.0) if boundary.unbounded else ()
        for line in boundary_lines(found, boundary):
            marks.append(Stroke(tuple(_at(point) for point in line), 0.6, dash=dash))
    if found.own is not None:
        x, y = (scale.share(value) for scale, value in zip(found.scales, found.own, strict=True))
        marks.append(Stroke((_at((x, 0.0)), _at((x, y)), _at((0.0, y))), 0.2, dash=(0.5, 0.7)))
        marks.append(Round(_at((x, y)), 0.9, 0.35, filled=True))
    marks += _labels_of_scales(found)
    return Drawing(WIDTH, HEIGHT, (*marks, *names))


def _at(point: Shares) -> XY:
    return LEFT + SIDE * point[0], TOP + SIDE * (1 - point[1])


# -- boundaries ----------------------------------------------------------------------------------


def boundary_lines(found: SignMap, boundary: MapBoundary) -> list[list[Shares]]:
    """The lines of one boundary, in shares of both scales."""
    p, over = boundary.polynomial, found.asked.over
    for axis in (1, 0):
        other = 1 - axis
        if p.degree(over[axis]) == 1:
            lines = _linear(p, over[axis], found, axis)
            return [[(t, s) if axis else (s, t) for t, s in line] for line in lines]
        if p.degree(over[axis]) == 0:
            shares = [found.scales[other].share(r.at.near) for r in positive_roots(coefficients(p))]
            return [[(t, 0.0), (t, 1.0)] if axis else [(0.0, t), (1.0, t)] for t in shares]
    return _curved(found, boundary)


def _linear(p: Ratio, symbol: str, found: SignMap, axis: int) -> list[list[Shares]]:
    """By the other value: y = above/below, of which the share is above/(above + m below)."""
    parts = p.coefficients_in(symbol)
    middle = found.scales[axis].middle
    above = parts.get(0, p.field.zero) * -middle.denominator
    below = above + parts[1] * middle.numerator
    curve = in_shares(coefficients(above), coefficients(below), found.scales[1 - axis].middle)
    within = Fraction(WITHIN) / Fraction(SIDE)
    lines = drawn_lines(curve, (Fraction(0), Fraction(1)), within)
    return [[(float(t), float(s)) for t, s in line] for line in lines]


def _curved(found: SignMap, boundary: MapBoundary) -> list[list[Shares]]:
    """Strip by strip, each of the boundary's heights followed."""
    one, other = found.scales
    edges = [0.0, *(one.share(cut) for cut in found.cuts), 1.0]
    lines: list[list[Shares]] = []
    for low, high in pairwise(edges):
        followed: list[list[Shares]] = []
        for k in range(1, _CURVED):
            share = low + (high - low) * _eased(k / _CURVED)
            x = one.value(Fraction(share).limit_denominator(_FINEST))
            above = coefficients(boundary.polynomial.at({found.asked.over[0]: x}))
            roots = [root.at.near for root in positive_roots(above, _NEAR)] if len(above) > 1 else []
            followed += [[] for _ in range(len(roots) - len(followed))]
            for line, root in zip(followed, roots, strict=False):
                line.append((share, other.share(root)))
        lines += [line for line in followed if len(line) > 1]
    return lines


def _eased(part: float) -> float:
    """From 0 to 1 in small steps near both ends, where a boundary may run steeply."""
    return part * part * (3 - 2 * part)


# -- regions -------------------------------------------------------------------------------------


def region_names(found: SignMap) -> tuple[tuple[str, str], ...]:
    """What is written into each region: a quantity or an element, and what it does."""
    target = found.asked.target
    name = target.as_text()
    circuit = found.circuit
    words = {1: (name, " > 0"), -1: (name, " < 0")}
    match target.kind:
        case Asked.CURRENT:
            branch = circuit.branch(target.names[0])
            words = {
                1: (name, f" runs {branch.start} to {branch.end}"),
                -1: (name, f" runs {branch.end} to {branch.start}"),
            }
            if branch.start == branch.end:
                words = {1: (name, " along its arrow"), -1: (name, " against its arrow")}
        case Asked.POTENTIAL:
            a, b = target.names
            words = {1: ("", f"{a} above {b}"), -1: ("", f"{b} above {a}")}
        case Asked.POWER if (
            target.names[0] in circuit.elements and circuit.elements[target.names[0]].has_sign
        ):
            words = {1: (target.names[0], " delivers"), -1: (target.names[0], " takes in")}
    return tuple(words.get(region.sign, (name, " = 0")) for region in found.regions)


@dataclass(frozen=True, slots=True)
class _Grid:
    """Which region each point of a grid over the map is in, by column and row."""

    regions: tuple[tuple[int, ...], ...]

    def room(self, column: int, row: int, step: tuple[int, int]) -> int:
        """How far the same region goes on from a point in one direction, in steps of the grid."""
        region, count = self.regions[column][row], 0
        while True:
            column, row = column + step[0], row + step[1]
            inside = 0 <= column < len(self.regions) and 0 <= row < len(self.regions)
            if not inside or self.regions[column][row] != region:
                return count
            count += 1


def _grid(found: SignMap) -> _Grid:
    one, other = found.scales
    columns: list[tuple[int, ...]] = []
    for k in range(_GRID):
        x = one.value(Fraction(2 * k + 1, 2 * _GRID))
        strip = bisect(found.cuts, x)
        shares = [other.share(y) for y in found.heights(x)]
        rows = (bisect(shares, (2 * j + 1) / (2 * _GRID)) for j in range(_GRID))
        columns.append(tuple(found.cells[strip, row] for row in rows))
    return _Grid(tuple(columns))


def _names(found: SignMap) -> list[Label]:
    """The name of each region where it has most room, clear of the lines to the numbers given; none where
    there is too little."""
    grid, labels = _grid(found), []
    step = SIDE / _GRID
    for region, (name, words) in enumerate(region_names(found)):
        tail = (*expression_runs(name, _emfs(found)), Run(words))
        best: tuple[float, Label] | None = None
        for column in range(_GRID):
            for row in range(_GRID):
                if grid.regions[column][row] == region:
                    at = _at(((2 * column + 1) / (2 * _GRID), (2 * row + 1) / (2 * _GRID)))
                    label = Label("", at, size=_LETTERS, tail=tail)
                    left, top, right, bottom = _box(label)
                    across = min(grid.room(column, row, (-1, 0)), grid.room(column, row, (1, 0))) * step
                    up = min(grid.room(column, row, (0, -1)), grid.room(column, row, (0, 1))) * step
                    room = min(2 * across / (right - left), 2 * up / (bottom - top), 3.0)
                    if room > (best[0] if best else 1.0) and not _is_crossed(
                        found, (left, top, right, bottom)
                    ):
                        best = room, label
        if best is not None:
            labels.append(best[1])
    return labels


def _is_crossed(found: SignMap, box: LabelBox) -> bool:
    """Whether a line to the numbers given, or their dot, runs through a box."""
    if found.own is None:
        return False
    one, other = (scale.share(value) for scale, value in zip(found.scales, found.own, strict=True))
    (x, y), (left, top, right, bottom) = _at((one, other)), box
    return (left < x + 1 and x - 1 < right and bottom > y - 1) or (
        top < y + 1 and y - 1 < bottom and left < x + 1
    )


def _box(label: Label) -> LabelBox:
    half = width_of(label) / 2 + 0.8
    x, y = label.at
    return x - half, y - _LETTERS * 0.95, x + half, y + _LETTERS * 1.05


def _hatching(found: SignMap, kept_free: Sequence[LabelBox]) -> Iterator[Stroke]:
    """Fine lines at 45° where the quantity is negative, beside its names."""
    real = found.form.real()
    one, other = (float(scale.middle) for scale in found.scales)

    def negative(x: float, y: float) -> bool:
        s, t = (x - LEFT) / SIDE, (TOP + SIDE - y) / SIDE
        if any(a <= x <= c and b <= y <= d for a, b, c, d in kept_free):
            return False
        values = {found.asked.over[0]: one * s / (1 - s), found.asked.over[1]: other * t / (1 - t)}
        try:
            return real(values) < 0
        except (ZeroDivisionError, OverflowError):
            return False

    step = 0.25
    count = int(2 * SIDE / _HATCH)
    for k in range(1, count + 1):
        sum_of = k * _HATCH
        start = max(0.0, sum_of - SIDE)
        length = min(sum_of, SIDE) - start
        steps = int(length / step)
        run: list[XY] = []
        for n in range(steps + 2):
            u = start + (n + 0.5) * step
            point = (LEFT + u, TOP + sum_of - u)
            if n <= steps and u < start + length and negative(*point):
                run.append(point)
            else:
                if len(run) > 2:
                    yield Stroke((run[0], run[-1]), 0.12)
                run = []


# -- scales --------------------------------------------------------------------------------------


def _emfs(found: SignMap) -> list[str]:
    return [s for s in found.circuit.symbols if found.circuit.role(s) is Kind.BATTERY]


def _labels_of_scales(found: SignMap) -> Iterator[Drawn]:
    base, right = TOP + SIDE, LEFT + SIDE
    emfs = _emfs(found)
    one, other = found.asked.over
    texts, shares = ["", ""], [0.5, 0.5]
    if found.own is not None:
        texts = [
            plain.render(amount(value, unit_of_value(found.circuit, symbol), found.circuit.figures))
            for value, symbol in zip(found.own, found.asked.over, strict=True)
        ]
        shares = [scale.share(value) for scale, value in zip(found.scales, found.own, strict=True)]
    for share, text in ((0.0, "0"), (shares[0], texts[0]), (1.0, "∞")):
        if text:
            x = LEFT + SIDE * share
            yield Stroke(((x, base), (x, base + 0.9)), 0.3)
            yield Label("", (x, base + 3.2), size=_LETTERS, tail=(Run(text),))
    for share, text in ((0.0, "0"), (shares[1], texts[1]), (1.0, "∞")):
        if text:
            y = base - SIDE * share
            yield Stroke(((LEFT - 0.9, y), (LEFT, y)), 0.3)
            yield Label("", (LEFT - 1.6, y), size=_LETTERS, anchor="end", tail=(Run(text),))
    yield Label("", (right + 5.0, base + 3.2), size=_LETTERS, anchor="start", tail=expression_runs(one, emfs))
    yield Label("", (LEFT - 1.0, TOP - 4.6), size=_LETTERS, tail=expression_runs(other, emfs))
