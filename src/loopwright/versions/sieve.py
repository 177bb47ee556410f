"""Wishes as conditions on whole numbers: whether one number divides another, signs, sizes that differ.

A wish becomes one or more conditions that must all hold; each is tested on many candidates at once, in whole
numbers and without rounding. Wishes know themselves what they mean of exact fractions (`circuit/wishes`);
what is found here is held against that, candidate by candidate, before anybody gets it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from ..algebra.ratios import Ratio
from ..circuit.timed_wishes import ComparedInTime
from ..circuit.wishes import (
    SIGNS_OF,
    AllHold,
    Compared,
    Distinct,
    Multiples,
    SlipsApart,
    SoManyNegative,
    Wish,
)
from ..expressions.nodes import Expr
from .grid import SAFE, ChoiceGrid, GridBlock, GridPolynomial, Numbers, Places, WholeRatio

Holds = NDArray[np.bool_]
ValuesOf = Callable[[GridPolynomial], Numbers]
RatioOf = Callable[[Expr], Ratio]


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition. `of`: the polynomials it looks at; `reach`: no number met on the way is larger; `cost`:
    what is tried first; `passes`: which candidates satisfy it."""

    of: tuple[GridPolynomial, ...]
    reach: int
    cost: int
    passes: Callable[[ValuesOf], Holds]

    @property
    def plain(self) -> bool:
        """Whether 64-bit numbers hold all of it."""
        return self.reach < SAFE

    def everywhere(self, block: GridBlock) -> Holds:
        """Which candidates of a block satisfy it: rows by columns, or one of either that says it all."""
        return self.passes(lambda p: block.everywhere(p, self.plain))

    def at(self, block: GridBlock, places: Places) -> Holds:
        """Which of these places satisfy it."""
        return self.passes(lambda p: block.at(p, places, self.plain))


def conditions(wish: Wish, grid: ChoiceGrid, ratio_of: RatioOf) -> tuple[Condition, ...]:
    """The conditions that a wish comes to on the grid. `ratio_of`: the closed form of what is written."""
    match wish:
        case Multiples(_, of, steps):
            return tuple(
                divides(grid.ratio(ratio_of(q), 1 / step)) for q, step in zip(of, steps, strict=True)
            )
        case Compared():
            return (_compared(wish, grid, ratio_of),)
        case AllHold(_, parts):
            return tuple(_compared(part, grid, ratio_of) for part in parts)
        case Distinct(_, of):
            found = [grid.ratio(ratio_of(q)) for q in of]
            return tuple(sizes_differ(one, other) for one, other in combinations(found, 2))
        case SoManyNegative(_, of, count):
            return (so_many_negative([grid.ratio(ratio_of(q)) for q in of], count),)
        case SlipsApart() | ComparedInTime():  # no conditions on whole numbers: judged one by one
            return ()


def divides(ratio: WholeRatio) -> Condition:
    """That the quotient is a whole number."""
    above, below = ratio.above, ratio.below

    def passes(values: ValuesOf) -> Holds:
        under = values(below)
        if below.positive:
            return np.asarray(values(above) % under == 0)
        sound = under != 0
        return np.asarray(sound & (values(above) % np.where(sound, under, 1) == 0))

    return Condition((above, below), max(above.bound, below.bound), 1, passes)


def sign_in(ratio: WholeRatio, signs: Sequence[int]) -> Condition:
    """That the sign of the quotient is one of `signs`."""
    above, below = ratio.above, ratio.below

    def passes(values: ValuesOf) -> Holds:
        return _among(sign_of(ratio, values), signs) & _has_value(ratio, values)

    return Condition((above, below), max(above.bound, below.bound), 2, passes)


def sizes_differ(one: WholeRatio, other: WholeRatio) -> Condition:
    """That two quotients are not of one size."""
    if one.below == other.below:
        reach = max(one.above.bound, other.above.bound, one.below.bound)

        def passes(values: ValuesOf) -> Holds:
            differ: Holds = np.abs(values(one.above)) != np.abs(values(other.above))
            return differ & _has_value(one, values)

        return Condition((one.above, other.above, one.below), reach, 3, passes)
    return _sizes_compared(one, other, (True, True), (-1, 1))


def _sizes_compared(
    one: WholeRatio, other: WholeRatio, sized: tuple[bool, bool], signs: Sequence[int]
) -> Condition:
    """That the difference of two quotients, or of their sizes, has one of these signs."""
    products = one.above.bound * other.below.bound + other.above.bound * one.below.bound

    def passes(values: ValuesOf) -> Holds:
        a, b, c, d = map(values, (one.above, one.below, other.above, other.below))
        left = np.abs(a * d) if sized[0] else a * d * np.sign(b) * np.sign(d)
        right = np.abs(c * b) if sized[1] else c * b * np.sign(b) * np.sign(d)
        return _among(np.sign(left - right), signs) & _has_value(one, values) & _has_value(other, values)

    return Condition((one.above, one.below, other.above, other.below), products, 4, passes)


def so_many_negative(ratios: Sequence[WholeRatio], count: int) -> Condition:
    """That exactly so many of the quotients are negative."""
    of = tuple(p for ratio in ratios for p in (ratio.above, ratio.below))

    def passes(values: ValuesOf) -> Holds:
        negative = reduce(np.add, [(sign_of(r, values) < 0).astype(np.int64) for r in ratios])
        sound = reduce(np.logical_and, [_has_value(r, values) for r in ratios])
        return np.asarray((negative == count) & sound)

    return Condition(of, max((p.bound for p in of), default=0), 3, passes)


def sign_of(ratio: WholeRatio, values: ValuesOf) -> Numbers:
    """The sign of a quotient, 0 where it has no value."""
    above = np.sign(values(ratio.above))
    return above if ratio.below.positive else above * np.sign(values(ratio.below))


def _has_value(ratio: WholeRatio, values: ValuesOf) -> Holds:
    return np.ones((), dtype=bool) if ratio.below.positive else np.asarray(values(ratio.below) != 0)


def _among(signs: Numbers, wanted: Sequence[int]) -> Holds:
    return np.asarray(reduce(np.logical_or, [signs == sign for sign in wanted]))


def _compared(wish: Compared, grid: ChoiceGrid, ratio_of: RatioOf) -> Condition:
    left, right = ratio_of(wish.left), ratio_of(wish.right)
    signs = SIGNS_OF[wish.relation]
    if any(wish.sized):
        return _sizes_compared(grid.ratio(left), grid.ratio(right), wish.sized, signs)
    return sign_in(grid.ratio(left - right, Fraction(1)), signs)
