"""Whether two written forms say the same: equal as functions, in the same symbols and quantities.

Judges what was written and read back; knows no writer and no grammar.
"""

from __future__ import annotations

from fractions import Fraction

from ..algebra.ratios import Field
from .nodes import Equation, Expr, Number, Quotient, alike, negate, numbers_in, parts_of
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
    return [(abs(leaf.value), leaf.unit.lstrip("pnµmkMGT")) for leaf in numbers_in(expr) if leaf.unit]


def _bare(expr: Expr) -> Expr:
    """The tree with every number in its shortest form: 1 over 33 is the number 1/33; no digits are kept."""
    match expr:
        case Number(value):
            return negate(Number(-value)) if value < 0 else Number(value)
        case Quotient(above, below):
            top, bottom = _bare(above), _bare(below)
            if isinstance(top, Number) and isinstance(bottom, Number) and bottom.value:
                return Number(top.value / bottom.value)
            return Quotient(top, bottom)
    return alike(expr, [_bare(part) for part in parts_of(expr)])
