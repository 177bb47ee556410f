"""What a map is: the sign of a quantity over two values from 0 to ∞, its boundaries and its regions.

Values only; how they are found is for `sign_map`, whether they are true for `verify_maps`.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Field, Ratio
from ..algebra.real_roots import coefficients, positive_roots
from ..circuit.circuit import Circuit
from ..circuit.plots_asked import PlotAsked
from .scale import Scale, usual_middle

_CLOSE = Fraction(1, 1 << 48)  # how near a height is to the boundary, to the height itself

MapPoint = tuple[Fraction, Fraction]  # both values, in SI units


@dataclass(frozen=True, slots=True)
class MapBoundary:
    """Where a polynomial in the two values is zero, and the quantity changes its sign: because it is zero
    itself or, if it is `unbounded`, through infinity."""

    polynomial: Ratio
    unbounded: bool


@dataclass(frozen=True, slots=True)
class MapRegion:
    """A connected region in which the quantity is positive (+1) or negative (−1), with a point `inside`."""

    sign: int
    inside: MapPoint


@dataclass(frozen=True)
class SignMap:
    """One map. `form`: the quantity as a ratio in the two symbols moved. The first value is cut into strips
    at `cuts`, the values where boundaries meet, turn or leave; within a strip as many boundaries lie above
    one another everywhere. `cells`: by strip and by how many boundaries lie below, which region it is."""

    circuit: Circuit
    asked: PlotAsked
    form: Ratio
    boundaries: tuple[MapBoundary, ...]
    regions: tuple[MapRegion, ...]
    cuts: tuple[Fraction, ...]
    cells: Mapping[tuple[int, int], int]

    @cached_property
    def scales(self) -> tuple[Scale, Scale]:
        """The scales of both values, with the file's numbers in their middle."""
        one, other = (Scale(usual_middle(self.circuit, symbol)) for symbol in self.asked.over)
        return one, other

    @property
    def own(self) -> MapPoint | None:
        """The file's own numbers, where both have one."""
        found = [self.circuit.numbers.get(symbol, Fraction(0)) for symbol in self.asked.over]
        return (found[0], found[1]) if min(found) > 0 else None

    def heights(self, x: Fraction) -> tuple[Fraction, ...]:
        """The second values at which boundaries lie over a first value, rising."""
        return heights_over(self.boundaries, self.asked.over, x)

    def region_at(self, point: MapPoint) -> int:
        """Which region a point is in that lies on no boundary and at no cut."""
        x, y = point
        return self.cells[bisect(self.cuts, x), bisect(self.heights(x), y)]


def heights_over(
    boundaries: tuple[MapBoundary, ...], over: tuple[str, ...], x: Fraction
) -> tuple[Fraction, ...]:
    """The second values at which these boundaries lie over a first value, rising."""
    field = Field(over[1:])
    found: list[Fraction] = []
    for boundary in boundaries:
        above = coefficients(boundary.polynomial.at({over[0]: x}, field))
        if len(above) > 1:
            found += [root.at.near for root in positive_roots(above, _CLOSE)]
    return tuple(sorted(found))
