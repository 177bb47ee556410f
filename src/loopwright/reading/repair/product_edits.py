"""Products that were not formed as a law has them: a current left unsquared in a power, P = R I; a voltage as
R/I or a current as R U, where the one is to be multiplied by the other or divided by it.

Each function gives changes of one line in numbers, to be tried one by one.
"""

from __future__ import annotations

from collections.abc import Iterator

from ...expressions.nodes import Expr, Power, Product, Quotient, Symbol, over, times
from ...expressions.values import symbols_of
from ..truth.rounding import lone
from .edits import Change, Edit, body_of, signed
from .line_view import LineView

UNSQUARED = -0.7  # how much likelier a factor of a power was left unsquared than one is missing elsewhere
TURNED = -0.9  # how much likelier a quotient of two numbers was meant for a product, or a product for one


def unsquared_edits(view: LineView) -> Iterator[Edit]:
    """A power in numbers with one of its factors squared: 12 · 0.182² for 12 · 0.182."""
    for place in view.places:
        factors = _factors(place.expr)
        if len(place.path) > 2 or len(factors) < 2 or not view.is_power(_other_side(view, place.path[0])):
            continue
        for at, old in factors.items():
            if lone(old) is None:
                continue
            new = Power(old, 2)
            yield Edit("factor-missing", (*place.path, *at), new, Change.OTHER, old, new, UNSQUARED)


def turned_products(view: LineView) -> Iterator[Edit]:
    """A result of two numbers as their product where it is their quotient, and the other way round."""
    for at, side in enumerate((view.equation.left, view.equation.right)):
        body = body_of(side)
        if symbols_of(side) or not isinstance(_other_side(view, at), Symbol):
            continue
        for new in _otherwise(body):
            whole = signed(new, side)
            yield Edit("wrong-divisor", (at,), whole, Change.OTHER, side, whole, TURNED)


def _otherwise(body: Expr) -> Iterator[Expr]:
    if isinstance(body, Quotient) and lone(body.above) is not None and lone(body.below) is not None:
        yield times(body.above, body.below)
    if isinstance(body, Product) and len(body.factors) == 2:
        one, other = body.factors
        if lone(one) is not None and lone(other) is not None:
            yield from (over(one, other), over(other, one))


def _other_side(view: LineView, at: int) -> Expr:
    return view.equation.left if at else view.equation.right


def _factors(expr: Expr) -> dict[tuple[int, ...], Expr]:
    """The factors of a product, or what stands above the line of a quotient and below it, each with its way
    there."""
    if isinstance(expr, Product):
        return {(at,): factor for at, factor in enumerate(expr.factors)}
    if isinstance(expr, Quotient):
        return {(0,): expr.above, (1,): expr.below}
    return {}
