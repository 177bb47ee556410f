"""A map found: the factors that change the sign, cut into strips, in each of which they lie in one order.

Every cut is a root of a polynomial in the first value alone: of a factor's first or last coefficient in the
second value, of its discriminant, or of the resultant of two (cylindrical decomposition: G. E. Collins, 1975;
from memory). So one point of a cell tells the sign of the whole cell.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import combinations, pairwise

from ..algebra.ratios import Polynomial, Ratio
from ..algebra.real_roots import coefficients, positive_roots
from ..circuit.circuit import Circuit
from ..circuit.plots_asked import PlotAsked
from .curve_data import form_in
from .maps import MapBoundary, MapPoint, MapRegion, SignMap, heights_over
from .scale import Scale, usual_middle

_NEAR = Fraction(1, 1 << 40)  # how near to a cut two strips are compared, to the cut
_TOUCHING = 1e-9  # share of the scale that two cells must have in common to be one region

StripRow = tuple[int, int]


def sign_map(circuit: Circuit, asked: PlotAsked) -> SignMap:
    """The map of a quantity's sign over two values. Raises FaultyMaterial where the circuit with these
    numbers has no one answer, or the quantity no value."""
    form = form_in(circuit, asked, asked.over)
    boundaries = tuple(_boundaries(form)) if form else ()
    cuts = tuple(sorted({near for p in _cutting(boundaries) for near in p}))
    scales = tuple(Scale(usual_middle(circuit, symbol)) for symbol in asked.over)
    samples = [_inside(scales[0], low, high) for low, high in _gaps(cuts)]
    points: dict[StripRow, MapPoint] = {}
    for strip, x in enumerate(samples):
        heights = heights_over(boundaries, asked.over, x)
        for row, (low, high) in enumerate(_gaps(heights)):
            points[strip, row] = (x, _inside(scales[1], low, high))
    signs = {cell: sign_at(form, asked.over, point) for cell, point in points.items()}
    joined = _joined(list(points), signs, boundaries, asked.over, cuts, scales[1])
    firsts = list(dict.fromkeys(joined.values()))
    regions = tuple(MapRegion(signs[cell], points[cell]) for cell in firsts)
    cells = {cell: firsts.index(first) for cell, first in joined.items()}
    return SignMap(circuit, asked, form, boundaries, regions, cuts, cells)


def sign_at(form: Ratio, over: Sequence[str], point: MapPoint) -> int:
    """The sign of a ratio in two symbols at a point."""
    values = dict(zip(over, point, strict=True))
    above, below = form.numerator.value(values), form.denominator.value(values)
    return (above * below > 0) - (above * below < 0)


def _boundaries(form: Ratio) -> Iterator[MapBoundary]:
    """The factors of numerator and denominator that may change the sign for positive values."""
    for below in (False, True):
        for factor, times in form.factors(below=below)[1]:
            if times % 2 and len(factor.signs()) > 1:
                yield MapBoundary(factor, below)


def _cutting(boundaries: Sequence[MapBoundary]) -> Iterator[list[Fraction]]:
    """The positive first values at which the order of the boundaries may change."""
    polynomials = [boundary.polynomial for boundary in boundaries]
    for p in polynomials:
        second = p.field.symbols[1]
        parts = p.coefficients_in(second)
        yield _roots(parts[max(parts)])
        yield _roots(parts[min(parts)])
        if max(parts) > 1:
            yield _roots(_ratio(p, p.above.discriminant(1)))
    for one, other in combinations(polynomials, 2):
        if min(p.degree(p.field.symbols[1]) for p in (one, other)) > 0:
            yield _roots(_ratio(one, one.above.resultant(other.above, 1)))


def _ratio(like: Ratio, polynomial: Polynomial) -> Ratio:
    return Ratio(like.field, polynomial, like.field.one.below, reduced=True)


def _roots(polynomial: Ratio) -> list[Fraction]:
    found = coefficients(polynomial)
    return [root.at.near for root in positive_roots(found)] if len(found) > 1 else []


def _gaps(marks: Sequence[Fraction]) -> list[tuple[Fraction, Fraction | None]]:
    """From 0 to the first mark, from each to the next, and from the last on."""
    return list(zip((Fraction(0), *marks), (*marks, None), strict=True))


def _inside(scale: Scale, low: Fraction, high: Fraction | None) -> Fraction:
    """A value between two, in short figures where there is room: half-way on the scale."""
    ends = scale.share(low), 1.0 if high is None else scale.share(high)
    middle = scale.value(Fraction((ends[0] + ends[1]) / 2))
    for figures in range(1, 17):
        rounded = Fraction(f"{float(middle):.{figures}g}")
        room = (rounded - low, middle if high is None else high - rounded)
        if min(room) > 0 and abs(rounded - middle) < min(room):
            return rounded
    return middle


def _joined(
    cells: Sequence[StripRow],
    signs: dict[StripRow, int],
    boundaries: tuple[MapBoundary, ...],
    over: tuple[str, ...],
    cuts: Sequence[Fraction],
    scale: Scale,
) -> dict[StripRow, StripRow]:
    """Each cell with the first cell of its region: cells of one sign that lie side by side across a cut are
    one."""
    first = {cell: cell for cell in cells}
    for strip, cut in enumerate(cuts):
        ranges: list[dict[StripRow, tuple[float, float]]] = []
        for side, x in ((strip, cut * (1 - _NEAR)), (strip + 1, cut * (1 + _NEAR))):
            shares = (0.0, *(scale.share(y) for y in heights_over(boundaries, over, x)), 1.0)
            ranges.append({(side, row): ends for row, ends in enumerate(pairwise(shares))})
        if any(b.polynomial.degree(over[1]) == 0 and _near_zero(b.polynomial, over, cut) for b in boundaries):
            continue
        for one, (low, high) in ranges[0].items():
            for other, (lower, higher) in ranges[1].items():
                if signs[one] == signs[other] and min(high, higher) - max(low, lower) > _TOUCHING:
                    kept, gone = sorted((first[one], first[other]))
                    first = {cell: kept if now == gone else now for cell, now in first.items()}
    return first


def _near_zero(polynomial: Ratio, over: tuple[str, ...], cut: Fraction) -> bool:
    """Whether a polynomial in the first value alone changes its sign at a cut."""
    ends = [polynomial.value({over[0]: cut * (1 + side * _NEAR)}) for side in (-1, 1)]
    return ends[0] * ends[1] <= 0
