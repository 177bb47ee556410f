"""The polyline that stands for a curve: within a stated distance of it, by proof.

In the share t of the scale the curve is a ratio of polynomials again. It is cut where its second derivative
changes sign, where it has no bound and where it leaves the frame, all exactly; between two cuts it bends one
way. There a piece lies within the triangle of its chord and the tangents at its ends, and the height of that
triangle is the bound: pieces are halved until it is small enough.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise
from math import lcm

from ..algebra.real_roots import Coefficients, positive_roots, value_at
from .polynomials import derivative, minus, slope_of, times

_DEEPEST = 24  # halvings of a piece

SharePoint = tuple[Fraction, Fraction]  # the share of the scale, and the quantity there


@dataclass(frozen=True)
class CurveInShares:
    """The curve by the share t of its scale, from 0 to 1, as a ratio of polynomials in t."""

    above: Coefficients
    below: Coefficients

    def at(self, share: Fraction) -> Fraction:
        """The quantity there, at 0 and 1 the limit. Raises ZeroDivisionError where it has no bound."""
        return value_at(self.above, share) / value_at(self.below, share)

    @cached_property
    def _slope(self) -> Coefficients:
        return slope_of(self.above, self.below)

    def slope(self, share: Fraction) -> Fraction:
        """The slope there."""
        return value_at(self._slope, share) / value_at(self.below, share) ** 2

    @cached_property
    def bends(self) -> Coefficients:
        """The numerator of the second derivative."""
        return minus(
            times(derivative(self._slope), self.below),
            times(times(self._slope, derivative(self.below)), (2,)),
        )


def in_shares(above: Coefficients, below: Coefficients, middle: Fraction) -> CurveInShares:
    """One polynomial over another by the share of the scale that has `middle` in its middle."""
    degree = max(len(above), len(below)) - 1
    one, other = (_in_shares(part, middle, degree) for part in (above, below))
    common = lcm(*(c.denominator for c in (*one, *other)))
    return CurveInShares(tuple(int(c * common) for c in one), tuple(int(c * common) for c in other))


def _in_shares(polynomial: Coefficients, middle: Fraction, degree: int) -> list[Fraction]:
    """p(m t/(1 − t)) (1 − t)^degree."""
    total = [Fraction(0)] * (degree + 1)
    for power, c in enumerate(polynomial):
        piece: Coefficients = (1,)
        for _ in range(degree - power):
            piece = times(piece, (1, -1))
        for shift, share in enumerate(piece):
            total[power + shift] += share * c * middle**power
    return total


def drawn_lines(
    curve: CurveInShares, frame: tuple[Fraction, Fraction], within: Fraction, marked: Sequence[Fraction] = ()
) -> tuple[tuple[SharePoint, ...], ...]:
    """The lines that stand for the curve between the two levels of the frame, never further from it than
    `within` (in the quantity's unit, measured upright); what runs outside of the frame is left out. `marked`:
    shares that are to be points of it."""
    low, high = frame
    cuts = {Fraction(0), Fraction(1), *(share for share in marked if 0 < share < 1)}
    edges = (minus(_scaled(curve.above, level), _scaled_below(curve.below, level)) for level in frame)
    for polynomial in (curve.below, curve.bends, *edges):
        if any(polynomial):
            cuts |= {root.at.near for root in positive_roots(polynomial) if root.at.near < 1}
    lines: list[list[SharePoint]] = []
    for left, right in pairwise(sorted(cuts)):
        middle = (left + right) / 2
        if not value_at(curve.below, middle) or not low <= curve.at(middle) <= high:
            continue
        ends = [(share, curve.at(share)) for share in (left, right)]
        piece = [ends[0], *_between(curve, ends[0], ends[1], within, _DEEPEST), ends[1]]
        if lines and lines[-1][-1] == piece[0]:
            lines[-1] += piece[1:]
        else:
            lines.append(piece)
    return tuple(map(tuple, lines))


def _between(
    curve: CurveInShares, one: SharePoint, other: SharePoint, within: Fraction, depth: int
) -> list[SharePoint]:
    """The points to be put between two, between which the curve bends one way."""
    if not depth or _height(curve, one, other) <= within:
        return []
    share = Fraction(float((one[0] + other[0]) / 2))
    if not one[0] < share < other[0]:
        return []
    middle = (share, curve.at(share))
    return [
        *_between(curve, one, middle, within, depth - 1),
        middle,
        *_between(curve, middle, other, within, depth - 1),
    ]


def _height(curve: CurveInShares, one: SharePoint, other: SharePoint) -> Fraction:
    """How far the corner at which the tangents of both ends meet lies from the chord."""
    wide = other[0] - one[0]
    chord = (other[1] - one[1]) / wide
    first, last = curve.slope(one[0]) - chord, chord - curve.slope(other[0])
    if not first or not last:
        return Fraction(0)
    return abs(first * last / (first + last)) * wide


def _scaled(polynomial: Coefficients, level: Fraction) -> Coefficients:
    return times(polynomial, (level.denominator,))


def _scaled_below(polynomial: Coefficients, level: Fraction) -> Coefficients:
    return times(polynomial, (level.numerator,))
