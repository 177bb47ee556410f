"""From what is written to its value: expression trees into exact ratios and numbers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..algebra.ratios import Field, Polynomial, Ratio
from .nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)


def ratio_of(expr: Expr, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """The exact value of an expression in `field`. `names`: the values of symbols that the field does not
    have, or that are to stand for something else than the field's own.

    Raises KeyError (the symbol) when a symbol is in neither, ZeroDivisionError for a zero denominator.
    """
    return Ratio(field, *_over_line(expr, field, names or {}))


_OverLine = tuple[Polynomial, Polynomial]  # what stands above and below one line, not in lowest terms


def _over_line(expr: Expr, field: Field, names: Mapping[str, Ratio]) -> _OverLine:
    match expr:
        case Symbol(name):
            symbol = names[name] if name in names else field.symbol(name)
            return symbol.above, symbol.below
        case Product(factors):
            return _multiplied([_over_line(factor, field, names) for factor in factors])
        case Sum(terms):
            return _total([_over_line(term, field, names) for term in terms])
        case Negative(body):
            above, below = _over_line(body, field, names)
            return -above, below
        case Number(value):
            constant = field.number(value)
            return constant.above, constant.below
        case Quotient(dividend, divisor):
            above, below = _over_line(dividend, field, names)
            one, other = _upside_down(_over_line(divisor, field, names))
            return above * one, below * other
        case Power(base, exponent):
            above, below = _over_line(base, field, names)
            return above**exponent, below**exponent
        case Parallel(parts):
            return _upside_down(_total([_upside_down(_over_line(part, field, names)) for part in parts]))


def _multiplied(factors: Sequence[_OverLine]) -> _OverLine:
    above, below = factors[0]
    for one, other in factors[1:]:
        above = above * one
        if not other.is_one():
            below = other if below.is_one() else below * other
    return above, below


def _total(terms: Sequence[_OverLine]) -> _OverLine:
    above, below = terms[0]
    for one, other in terms[1:]:
        if other == below:
            above = above + one
        elif other.is_one():
            above = above + one * below
        else:
            above, below = above * other + one * below, below * other
    return above, below


def _upside_down(fraction: _OverLine) -> _OverLine:
    above, below = fraction
    if above.is_zero():
        raise ZeroDivisionError("a denominator is zero identically")
    return below, above


def difference_of(equation: Equation, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """Left side minus right side: zero exactly when the equation is an identity of the field."""
    return ratio_of(equation.left, field, names) - ratio_of(equation.right, field, names)


def over_one_line(equation: Equation, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """What stands above the line once left side minus right side is written as one fraction. It is zero
    exactly when the equation is an identity of the field; factors shared with the denominator are left in,
    which saves the search for them."""
    names = names or {}
    (above, below), (other, under) = (
        _over_line(side, field, names) for side in (equation.left, equation.right)
    )
    whole = above - other if below == under else above * under - other * below
    return Ratio(field, whole, field.one.below, reduced=True)


def is_multiple(equation: Equation, factor: Expr, product: Equation, field: Field) -> bool:
    """Whether `product` is `equation` with both sides multiplied by `factor`, its sides perhaps
    exchanged."""
    multiplied, wanted = (
        difference_of(equation, field) * ratio_of(factor, field),
        difference_of(product, field),
    )
    return multiplied in (wanted, -wanted)


def symbols_of(item: Expr | Equation) -> tuple[str, ...]:
    """The names of the symbols written, in order of first appearance, each once."""
    found: dict[str, None] = {}
    waiting: list[Expr | Equation] = [item]
    while waiting:
        match waiting.pop():
            case Symbol(name):
                found[name] = None
            case Sum(inner) | Product(inner) | Parallel(inner):
                waiting.extend(reversed(inner))
            case Negative(body) | Power(body):
                waiting.append(body)
            case Quotient(one, other) | Equation(one, other):
                waiting.extend((other, one))
            case Number():
                pass
    return tuple(found)
