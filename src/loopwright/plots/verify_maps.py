"""Whether the maps of a sheet are true: the circuit solved afresh inside every region and at points spread
over the whole map; points of each boundary put back. Knows no way of finding any of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from ..algebra.ratios import Field, Ratio
from ..checks.ledger.ledger import LedgerEntry, listed
from ..expressions.said import counted
from ..solve.asked import value_of
from ..solve.exact import Solution
from .formulas import solved_for
from .maps import MapPoint, SignMap
from .verify import afresh

_SPREAD = 5  # by so many points a map is gone over


def map_entries(solution: Solution, maps: Sequence[SignMap]) -> tuple[LedgerEntry, ...]:
    """What is checked of maps. `solution`: the circuit's closed forms in all symbols."""
    return (_regions(maps), _boundaries(solution, maps)) if maps else ()


def _regions(maps: Sequence[SignMap]) -> LedgerEntry:
    bad: list[str] = []
    regions = points = 0
    for found in maps:
        regions += len(found.regions)
        for region in found.regions:
            if _sign(found, region.inside) not in (region.sign, None):
                bad.append(f"{found.asked.as_text()} at {_told(region.inside)}")
        for point in _spread(found):
            points += 1
            sign = _sign(found, point)
            if sign and sign != found.regions[found.region_at(point)].sign:
                bad.append(f"{found.asked.as_text()} at {_told(point)}")
    method = (
        "the circuit solved afresh by node potentials, in fractions, inside each region and at points between"
    )
    what = f"{regions} {'region' if regions == 1 else 'regions'} and {points} points"
    result = f"Not so for {listed(bad)}." if bad else f"{what} have the sign that the map gives them."
    return LedgerEntry("plots/regions", "Regions of maps", method, result, not bad)


def _boundaries(solution: Solution, maps: Sequence[SignMap]) -> LedgerEntry:
    """A point of each boundary put back, and the number of boundaries."""
    method = (
        "points of each boundary put into the closed form in all symbols, and the circuit solved afresh there"
    )
    bad: list[str] = []
    count = 0
    for found in maps:
        over = found.asked.over
        numbers = {n: v for n, v in solution.circuit.numbers.items() if n not in over}
        form = value_of(solution, found.asked.target).at(numbers, Field(over))
        if form != found.form:
            bad.append(f"the form of {found.asked.as_text()}")
        for boundary in found.boundaries:
            count += 1
            for point in _points_on(found, boundary.polynomial):
                values = dict(zip(over, point, strict=True))
                vanishing = form.denominator if boundary.unbounded else form.numerator
                again = None if boundary.unbounded else afresh(found.circuit, found.asked.target, values)
                if vanishing.value(values) or again:
                    bad.append(f"{found.asked.as_text()} at {_told(point)}")
    if not count and not bad:
        return LedgerEntry("plots/boundaries", "Boundaries of maps", method, "No map has one.", None)
    told = counted(count, "boundary", "boundaries")
    holds = "is" if count == 1 else "are"
    result = (
        f"Not so for {listed(bad)}."
        if bad
        else f"{told[0].upper()}{told[1:]} {holds} exactly where the map says."
    )
    return LedgerEntry("plots/boundaries", "Boundaries of maps", method, result, not bad)


def _points_on(found: SignMap, polynomial: Ratio) -> Iterator[MapPoint]:
    """Points with fractions on a boundary that is linear in one of the values."""
    one, other = found.asked.over
    for axis, symbol in ((1, other), (0, one)):
        formula = solved_for(polynomial, symbol)
        if formula is None:
            continue
        moved = found.asked.over[1 - axis]
        for share in (Fraction(k, 6) for k in (1, 2, 3, 4, 5)):
            x = found.scales[1 - axis].value(share)
            try:
                y = formula.value({moved: x})
            except ZeroDivisionError:
                continue
            if y > 0:
                yield (x, y) if axis else (y, x)
        return


def _spread(found: SignMap) -> Iterator[MapPoint]:
    one, other = found.scales
    for k in range(_SPREAD):
        for j in range(_SPREAD):
            x = one.value(Fraction(97 * k + 13, 97 * _SPREAD))
            y = other.value(Fraction(89 * j + 17, 89 * _SPREAD))
            yield x, y


def _sign(found: SignMap, point: MapPoint) -> int | None:
    value = afresh(found.circuit, found.asked.target, dict(zip(found.asked.over, point, strict=True)))
    return None if value is None else (value > 0) - (value < 0)


def _told(point: MapPoint) -> str:
    return " and ".join(f"{float(value):.4g}" for value in point)
