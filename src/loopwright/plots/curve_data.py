"""A curve found: where a quantity is zero, without bound or greatest are roots of polynomials, so nothing
here is read off samples. Stands on the circuit solved in the one symbol that is moved.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..algebra.real_roots import (
    Coefficients,
    PositiveRoot,
    coefficients,
    known,
    located_value,
    positive_roots,
    sign_beside,
    value_at,
)
from ..circuit.circuit import Circuit
from ..circuit.plots_asked import PlotAsked
from ..errors import FaultyMaterial
from ..expressions.nodes import number, put_in
from ..findings import Finding
from ..solve.asked import value_of
from ..solve.exact import solve
from .curves import CurveData, CurveEnd, CurvePoint, PointName
from .polynomials import slope_of


def curve_data(circuit: Circuit, asked: PlotAsked) -> CurveData:
    """The curve of a quantity against one value. Raises FaultyMaterial where the circuit with these numbers
    has no one answer, or the quantity no value."""
    form = form_in(circuit, asked, asked.over)
    above, below = coefficients(form), coefficients(form, below=True)
    ends = _at_zero(above, below), _at_infinity(above, below)
    poles = positive_roots(below)
    points = [*_zeros(above), *_extremes(above, below, ends, poles)]
    own = circuit.numbers.get(asked.over[0], Fraction(0))
    if own > 0 and value_at(below, own):
        points.append(
            CurvePoint(PointName.OWN, known(own), known(value_at(above, own) / value_at(below, own)))
        )
    points.sort(key=lambda point: (point.at.near, list(PointName).index(point.name)))
    return CurveData(circuit, asked, form, ends, tuple(points), poles)


def form_in(circuit: Circuit, asked: PlotAsked, free: Sequence[str]) -> Ratio:
    """The quantity as a ratio in the symbols `free`, in their order, every other one at its number: the
    circuit is solved with these numbers in it. Raises FaultyMaterial where it has no one answer."""
    numbers = {name: number(v) for name, v in circuit.numbers.items() if name not in free}
    target = asked.target
    if target.written is not None:
        target = replace(target, written=put_in(target.written, numbers))
    try:
        return value_of(solve(circuit.with_put_in(numbers)), target).at({}, Field(free))
    except ZeroDivisionError as trouble:
        message = f"{target.as_text()} has no value with these numbers: something in it is divided by zero."
        raise FaultyMaterial(Finding("solve/over-zero", message, "Change one of the numbers.")) from trouble


# -- the ends ------------------------------------------------------------------------------------


def _at_zero(above: Coefficients, below: Coefficients) -> CurveEnd:
    first, other = _lowest(above), _lowest(below)
    if first is None or other is None or first > other:
        return CurveEnd(Fraction(0))
    ratio = Fraction(above[first], below[other])
    return CurveEnd(ratio) if first == other else CurveEnd(None, 1 if ratio > 0 else -1)


def _at_infinity(above: Coefficients, below: Coefficients) -> CurveEnd:
    if above == (0,) or len(above) < len(below):
        return CurveEnd(Fraction(0))
    slope = Fraction(above[-1], below[-1])
    if len(above) == len(below):
        return CurveEnd(slope)
    leaning = None
    if len(above) == len(below) + 1:
        level = above[-2] - slope * (below[-2] if len(below) > 1 else 0)
        leaning = slope, level / below[-1]
    return CurveEnd(None, 1 if slope > 0 else -1, leaning)


def _lowest(polynomial: Coefficients) -> int | None:
    return next((power for power, c in enumerate(polynomial) if c), None)


# -- points with names ---------------------------------------------------------------------------


def _zeros(above: Coefficients) -> list[CurvePoint]:
    if above == (0,):
        return []
    nothing = known(Fraction(0))
    return [
        CurvePoint(PointName.REVERSAL if root.times % 2 else PointName.TOUCH, root.at, nothing, root)
        for root in positive_roots(above)
    ]


def _extremes(
    above: Coefficients, below: Coefficients, ends: Sequence[CurveEnd], poles: Sequence[PositiveRoot]
) -> list[CurvePoint]:
    slope = slope_of(above, below)
    if slope == (0,):  # the quantity is one number
        return []
    told = {pole.factor for pole in poles} | ({r.factor for r in positive_roots(above)})  # a zero says it all
    roots = [r for r in positive_roots(slope) if r.times % 2 and r.factor not in told]
    found = [(root, located_value(above, below, root.at), _sign_before(slope, root)) for root in roots]
    bounds = [end.limit for end in ends if end.limit is not None]
    every = [*bounds, *(result.near for _, result, _ in found)]
    free_above = bool(poles) or any(end.sign > 0 for end in ends)
    free_below = bool(poles) or any(end.sign < 0 for end in ends)
    points: list[CurvePoint] = []
    for root, result, before in found:
        if before > 0:
            whole = not free_above and result.near == max(every)
            name = PointName.GREATEST if whole else PointName.LOCALLY_GREATEST
        else:
            whole = not free_below and result.near == min(every)
            name = PointName.LEAST if whole else PointName.LOCALLY_LEAST
        points.append(CurvePoint(name, root.at, result, root))
    return points


def _sign_before(slope: Coefficients, root: PositiveRoot) -> int:
    """The sign of the slope just below a root: at the middle between it and the root before."""
    lower = [other.at.high for other in positive_roots(slope) if other.at.high < root.at.low]
    return sign_beside(slope, ((lower[-1] if lower else 0) + root.at.low) / 2)
