"""A curve as neutral strokes: the scale from 0 to ∞ below, values to the left, the limit at ∞ to the right.

Every label comes from the closed form. Dashed lines lead from a point with a name to its value and
its result; a filled dot is the file's own number, a ring any other such point. Black and white, for 8 cm
of width.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from ..circuit.elements import Kind
from ..expressions.amounts import amount
from ..expressions.writers import plain
from ..figure.drawing import XY, Drawing, Drawn, Label, Round, Run, Stroke
from ..figure.lettering import expression_runs, width_of
from ..figure.symbols import arrow
from .curves import CurveData, CurveEnd, CurvePoint, PointName
from .drawn_line import CurveInShares, drawn_lines, in_shares
from .scale import Scale

WIDTH, WIDE, TALL = 100.0, 60.0, 38.0  # mm: the whole, and the room of the curve
LEFT, TOP = 21.0, 10.0  # margins in mm
WITHIN = 0.05  # mm: the drawn line is never further from the exact curve
_LETTERS = 2.4  # height of capitals in mm
_ROW = 3.9  # mm from one row of labels to the next
_FINE, _DASH, _DOTS = 0.25, (1.2, 1.0), (0.5, 0.7)


@dataclass(frozen=True)
class CurveOnPaper:
    """A curve with its scale and its frame: where every value and every result stands, in mm."""

    data: CurveData
    scale: Scale

    @cached_property
    def shares(self) -> CurveInShares:
        """The curve by the share of the scale."""
        return in_shares(self.data.above, self.data.below, self.scale.middle)

    @cached_property
    def frame(self) -> tuple[Fraction, Fraction]:
        """The least and the greatest result that is drawn: 0 and all that have a name; where none has, what
        the curve is at a third of the way from either end; and some more on the side where it has no
        bound."""
        data = self.data
        levels = [Fraction(0), *(p.result.near for p in data.points)]
        levels += [end.limit for end in data.ends if end.limit is not None]
        endless = bool(data.poles) or any(end.limit is None for end in data.ends)
        if endless and not any(levels):
            thirds = Fraction(1, 3), Fraction(2, 3)
            levels += [self.shares.at(share) for share in thirds if _is_finite(self.shares, share)]
        low, high = min(levels), max(levels)
        room = (high - low) or Fraction(1)
        if endless:
            up = bool(data.poles) or any(end.sign > 0 for end in data.ends)
            down = bool(data.poles) or any(end.sign < 0 for end in data.ends)
            more = room if data.poles else room / 2
            return low - more * down, high + more * up
        return (low, high) if high > low else (low, low + 1)

    @cached_property
    def lines(self) -> tuple[tuple[tuple[Fraction, Fraction], ...], ...]:
        """What is drawn, as shares and results."""
        low, high = self.frame
        within = (high - low) * Fraction(WITHIN) / Fraction(TALL)
        marked = [Fraction(self.scale.share(p.at.near)) for p in self.data.points]
        return drawn_lines(self.shares, self.frame, within, marked)

    def x(self, share: float) -> float:
        """Where a share of the scale stands."""
        return LEFT + WIDE * share

    def y(self, result: Fraction) -> float:
        """At which height a result stands."""
        low, high = self.frame
        return TOP + TALL * float((high - result) / (high - low))

    def at(self, point: CurvePoint) -> XY:
        """Where a point with a name stands."""
        return self.x(self.scale.share(point.at.near)), self.y(point.result.near)


def on_paper(data: CurveData, middle: Fraction | None = None) -> CurveOnPaper:
    """The curve on a scale with this value in the middle, by default the file's own number."""
    return CurveOnPaper(data, Scale(middle or data.middle))


def curve_picture(paper: CurveOnPaper) -> Drawing:
    """The curve drawn."""
    data = paper.data
    base = TOP + TALL
    marks: list[Drawn] = [
        Stroke(((LEFT, base), (LEFT + WIDE, base)), 0.3),
        *arrow((LEFT, base), (LEFT, TOP - 5.0), 0.3),
        Stroke(((LEFT + WIDE, base), (LEFT + WIDE, TOP - 2.0)), _FINE),
    ]
    low, high = paper.frame
    if low < 0 < high:
        marks.append(Stroke(((LEFT, paper.y(Fraction(0))), (LEFT + WIDE, paper.y(Fraction(0)))), _FINE))
    marks += _asymptotes(paper)
    marks += _guides(paper)
    for line in paper.lines:
        points = tuple((paper.x(float(share)), paper.y(result)) for share, result in line)
        marks.append(Stroke(points, 0.6))
    marks += _dots(paper)
    marks += _left_labels(paper)
    marks += _right_label(paper, data.ends[1])
    marks += _below(paper)
    emfs = [s for s in data.circuit.symbols if data.circuit.role(s) is Kind.BATTERY]
    name = expression_runs(data.asked.target.as_text(), emfs)
    marks.append(Label("", (LEFT + 2.6, TOP - 4.6), size=_LETTERS, anchor="start", tail=name))
    lowest = max(mark.at[1] for mark in marks if isinstance(mark, Label))
    return Drawing(WIDTH, lowest + 2.6, tuple(marks))


def _is_finite(curve: CurveInShares, share: Fraction) -> bool:
    try:
        curve.at(share)
    except ZeroDivisionError:
        return False
    return True


def _asymptotes(paper: CurveOnPaper) -> Iterable[Drawn]:
    """Dashed: the level that the curve comes near to, and an upright line where it has no bound."""
    base = TOP + TALL
    for pole in paper.data.poles:
        x = paper.x(paper.scale.share(pole.at.near))
        yield Stroke(((x, TOP), (x, base)), _FINE, dash=_DASH)
    limit = paper.data.ends[1].limit
    moves = len(paper.data.above) > 1 or len(paper.data.below) > 1
    if limit and moves:
        y = paper.y(limit)
        yield Stroke(((LEFT, y), (LEFT + WIDE, y)), _FINE, dash=_DASH)


def _guides(paper: CurveOnPaper) -> Iterable[Drawn]:
    """From each point with a name down to its value, and across to its result."""
    for point in paper.data.points:
        x, y = paper.at(point)
        base = TOP + TALL
        if abs(base - y) > 0.1:
            yield Stroke(((x, y), (x, base)), 0.2, dash=_DOTS)
        if point.result.near:
            yield Stroke(((LEFT, y), (x, y)), 0.2, dash=_DOTS)


def _dots(paper: CurveOnPaper) -> Iterable[Drawn]:
    for point in paper.data.points:
        yield Round(paper.at(point), 0.9, 0.35, filled=point.name is PointName.OWN)


def _left_labels(paper: CurveOnPaper) -> Iterable[Drawn]:
    """The results at the left, each at its height or as near to it as there is room."""
    data = paper.data
    levels: dict[Fraction, str] = {}
    for point in data.points:
        levels.setdefault(point.result.near, _amount(data, point.result.near))
    if data.ends[0].limit is not None:
        levels.setdefault(data.ends[0].limit, _amount(data, data.ends[0].limit))
    levels.setdefault(Fraction(0), "0")
    if levels.get(Fraction(0)):
        levels[Fraction(0)] = "0"
    low, high = paper.frame
    shown = [(paper.y(level), text) for level, text in levels.items() if low <= level <= high]
    if data.ends[0].limit is None:
        shown.append((TOP - 1.0, "∞") if data.ends[0].sign > 0 else (TOP + TALL, "−∞"))
    for y, (true, text) in zip(_apart([y for y, _ in shown]), shown, strict=True):
        yield Stroke(((LEFT - 0.8, true), (LEFT, true)), 0.3)
        yield Label("", (LEFT - 1.6, y), size=_LETTERS, anchor="end", tail=(Run(text),))


def _right_label(paper: CurveOnPaper, end: CurveEnd) -> Iterable[Drawn]:
    """The limit at ∞."""
    if end.limit is None:
        y, text = (TOP, "∞") if end.sign > 0 else (TOP + TALL, "−∞")
    else:
        y, text = paper.y(end.limit), _amount(paper.data, end.limit) if end.limit else "0"
        yield Stroke(((LEFT + WIDE, y), (LEFT + WIDE + 0.8, y)), 0.3)
    yield Label("", (LEFT + WIDE + 1.6, y), size=_LETTERS, anchor="start", tail=(Run(text),))


def _below(paper: CurveOnPaper) -> Iterable[Drawn]:
    """The values with a name below the scale, in as many rows as they need, and the scale's ends and name."""
    data, base = paper.data, TOP + TALL
    places = {0.0: "0", 1.0: "∞"}
    unit, _ = data.units
    for at in (*(p.at for p in data.points), *(pole.at for pole in data.poles)):
        places.setdefault(
            paper.scale.share(at.near), plain.render(amount(at.near, unit, data.circuit.figures))
        )
    taken: list[list[tuple[float, float]]] = []
    for share, text in sorted(places.items(), key=lambda item: (0 < item[0] < 1, item[0])):
        x = paper.x(share)
        label = Label("", (x, 0.0), size=_LETTERS, tail=(Run(text),))
        half = width_of(label) / 2 + 0.8
        row = next(
            (n for n, row in enumerate(taken) if all(x + half <= a or x - half >= b for a, b in row)), None
        )
        if row is None:
            row = len(taken)
            taken.append([])
        taken[row].append((x - half, x + half))
        yield Stroke(((x, base), (x, base + 0.9)), 0.3)
        yield Label("", (x, base + 3.2 + _ROW * row), size=_LETTERS, tail=(Run(text),))
    emf = data.circuit.role(data.symbol) is Kind.BATTERY
    name = expression_runs(data.symbol, [data.symbol] if emf else ())
    yield Label("", (LEFT + WIDE + 5.0, base + 3.2), size=_LETTERS, anchor="start", tail=name)


def _apart(wished: list[float], gap: float = 3.5) -> list[float]:
    """Heights as near to those wished as a gap between any two allows, none below the scale."""
    order = sorted(range(len(wished)), key=lambda n: wished[n])
    placed = [wished[n] for n in order]
    for n in range(1, len(placed)):
        placed[n] = max(placed[n], placed[n - 1] + gap)
    floor = TOP + TALL
    for n in reversed(range(len(placed))):
        placed[n] = min(placed[n], floor)
        floor = placed[n] - gap
    found = [0.0] * len(wished)
    for place, n in zip(placed, order, strict=True):
        found[n] = place
    return found


def _amount(data: CurveData, result: Fraction) -> str:
    return plain.render(amount(result, data.units[1], data.circuit.figures))
