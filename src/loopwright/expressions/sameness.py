"""Whether two written forms say the same: equal as functions, in the same symbols and quantities.

Judges what was written and read back; knows no writer and no grammar.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ..algebra.ratios import Field
from .nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Root,
    Sum,
    Symbol,
    negate,
    root,
)
from .values import ratio_of, symbols_of


def same_algebra(one: Expr | Equation, other: Expr | Equation) -> bool:
    """Whether two expressions or equations are equal, side by side and exactly, with the same quantities."""
    if one == other:
        return True
    if isinstance(one, Equation) or isinstance(other, Equation):
        if not (isinstance(one, Equation) and isinstance(other, Equation)) or one.relation != other.relation:
            return False
        return same_algebra(one.left, other.left) and same_algebra(one.right, other.right)
    if sorted(symbols_of(one)) != sorted(symbols_of(other)) or _measures(one) != _measures(other):
        return False
    field = Field(symbols_of(one))
    try:
        return ratio_of(one, field) == ratio_of(other, field)
    except ZeroDivisionError:  # no value on one side: then the same form is asked for
        return _bare(one) == _bare(other)


def _measures(expr: Expr) -> list[tuple[Fraction, str]]:
    """The numbers with units in order, in SI base units."""
    return [(leaf.value, leaf.unit.lstrip("pnµmkMGT")) for leaf in _numbers(expr) if leaf.unit]


def _bare(expr: Expr) -> Expr:
    """The tree with every number in its shortest form: 1 over 33 is the number 1/33; no digits are kept."""
    match expr:
        case Number(value):
            return negate(Number(-value)) if value < 0 else Number(value)
        case Root(body=body):
            return root(_bare(body))
        case Symbol():
            return expr
        case Quotient(above, below):
            top, bottom = _bare(above), _bare(below)
            if isinstance(top, Number) and isinstance(bottom, Number) and bottom.value:
                return Number(top.value / bottom.value)
            return Quotient(top, bottom)
        case Negative(body):
            return Negative(_bare(body))
        case Power(base, exponent):
            return Power(_bare(base), exponent)
        case Sum(inner):
            return Sum(tuple(map(_bare, inner)))
        case Product(inner):
            return Product(tuple(map(_bare, inner)))
        case Parallel(inner):
            return Parallel(tuple(map(_bare, inner)))


def _numbers(expr: Expr) -> Iterator[Number]:
    match expr:
        case Number():
            yield Number(abs(expr.value), expr.unit)
        case Symbol():
            return
        case Sum(inner) | Product(inner) | Parallel(inner):
            for part in inner:
                yield from _numbers(part)
        case Negative(body) | Power(body):
            yield from _numbers(body)
        case Quotient(above, below):
            yield from _numbers(above)
            yield from _numbers(below)
