"""Wishes for the resistance of a ladder without end, which has a square root: as conditions on whole numbers.

The resistance is p + √q, both quotients of polynomials on the grid. It is a whole number of some step only
where √q is a quotient of whole numbers; and its size is compared by squaring. Nothing is rounded.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import isqrt

import numpy as np

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd
from ..circuit.wishes import SIGNS_OF, AllHold, Compared, Multiples, Wish
from ..expressions.nodes import Expr, Symbol
from ..expressions.values import symbols_of
from .grid import SAFE, ChoiceGrid, Numbers, WholeRatio
from .sieve import Condition, Holds, RatioOf, ValuesOf, conditions

_ROOT = np.frompyfunc(isqrt, 1, 1)


def ladder_conditions(
    wish: Wish, grid: ChoiceGrid, name: str, root: Surd, ratio_of: RatioOf
) -> tuple[Condition, ...]:
    """The conditions that a wish comes to. `name`: of the resistance in wishes, whose value is `root`;
    `ratio_of`: the closed form of what is written without it. Raises KeyError for a wish in which it does not
    stand by itself."""
    match wish:
        case AllHold(_, parts):
            return tuple(c for part in parts for c in ladder_conditions(part, grid, name, root, ratio_of))
        case Multiples(text, of, steps):
            found: list[Condition] = []
            for quantity, step in zip(of, steps, strict=True):
                if quantity == Symbol(name):
                    found.append(_whole(*_on_grid(root * root.plain.field.number(1 / step), grid)))
                else:
                    found += conditions(Multiples(text, (quantity,), (step,)), grid, ratio_of)
            return tuple(found)
        case Compared(_, left, relation, right):
            signs = SIGNS_OF[relation]
            if left == Symbol(name) and not _holds(right, name):
                return (_sign(*_on_grid(root + -ratio_of(right), grid), signs),)
            if right == Symbol(name) and not _holds(left, name):
                return (_sign(*_on_grid(root + -ratio_of(left), grid), [-sign for sign in signs]),)
    return conditions(wish, grid, ratio_of)


def _holds(written: Expr, name: str) -> bool:
    return name in symbols_of(written)


def _on_grid(root: Surd, grid: ChoiceGrid) -> tuple[WholeRatio, WholeRatio]:
    """p and q of p + √q; what stands before the root of a resistance is above 0."""
    under: Ratio = root.factor * root.factor * root.under
    return grid.ratio(root.plain), grid.ratio(under)


def _parts(plain: WholeRatio, under: WholeRatio, values: ValuesOf) -> tuple[Numbers, ...]:
    """Above and below the line of each, what stands below turned positive."""
    found: list[Numbers] = []
    for ratio in (plain, under):
        above, below = values(ratio.above), values(ratio.below)
        turn = np.where(below < 0, -1, 1)
        found += [above * turn, below * turn]
    return tuple(found)


def _condition(plain: WholeRatio, under: WholeRatio, passes: object) -> Condition:
    of = (plain.above, plain.below, under.above, under.below)
    return Condition(of, SAFE, 5, passes)  # type: ignore[arg-type]  # in Python's own whole numbers


def _whole(plain: WholeRatio, under: WholeRatio) -> Condition:
    """That p + √q is a whole number."""

    def passes(values: ValuesOf) -> Holds:
        a, b, c, d = _parts(plain, under, values)
        square = np.asarray(c * d, dtype=object)
        side = _ROOT(square)
        exact: Holds = np.asarray(side * side == square, dtype=bool)
        whole: Holds = np.asarray((a * d + b * side) % (b * d) == 0, dtype=bool)
        return whole & exact

    return _condition(plain, under, passes)


def _sign(plain: WholeRatio, under: WholeRatio, signs: Sequence[int]) -> Condition:
    """That the sign of p + √q is one of `signs`."""

    def passes(values: ValuesOf) -> Holds:
        a, b, c, d = _parts(plain, under, values)
        root_larger = np.sign(np.asarray(c * b * b - a * a * d, dtype=object))
        sign = np.where(a > 0, 1, np.where(a == 0, np.sign(c), root_larger))
        return np.asarray(np.isin(sign.astype(np.int64), list(signs)))

    return _condition(plain, under, passes)
