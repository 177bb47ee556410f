"""From what is written to what it is worth: expression trees into exact ratios and numbers."""

from __future__ import annotations

from ..algebra.ratios import Field, Ratio
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


def ratio_of(expr: Expr, field: Field) -> Ratio:
    """The value of an expression in `field`.

    Raises KeyError (the symbol) when the field lacks a symbol, ZeroDivisionError for a zero denominator.
    """
    match expr:
        case Number(value):
            return field.number(value)
        case Symbol(name):
            return field.symbol(name)
        case Sum(terms):
            total = field.zero
            for term in terms:
                total = total + ratio_of(term, field)
            return total
        case Product(factors):
            result = field.one
            for factor in factors:
                result = result * ratio_of(factor, field)
            return result
        case Negative(body):
            return -ratio_of(body, field)
        case Quotient(above, below):
            return ratio_of(above, field) / ratio_of(below, field)
        case Power(base, exponent):
            return ratio_of(base, field) ** exponent
        case Parallel(parts):
            conductance = field.zero
            for part in parts:
                conductance = conductance + 1 / ratio_of(part, field)
            return 1 / conductance


def difference_of(equation: Equation, field: Field) -> Ratio:
    """Left side minus right side: zero exactly when the equation is an identity of the field."""
    return ratio_of(equation.left, field) - ratio_of(equation.right, field)


def symbols_of(item: Expr | Equation) -> tuple[str, ...]:
    """The names of the symbols written, in order of first appearance, each once."""
    match item:
        case Equation(left, right):
            parts: tuple[Expr, ...] = (left, right)
        case Number():
            return ()
        case Symbol(name):
            return (name,)
        case Sum(inner) | Product(inner) | Parallel(inner):
            parts = inner
        case Negative(body) | Power(body):
            parts = (body,)
        case Quotient(above, below):
            parts = (above, below)
    return tuple(dict.fromkeys(name for part in parts for name in symbols_of(part)))
