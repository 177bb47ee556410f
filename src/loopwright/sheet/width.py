"""How wide an expression stands on the page, guessed from its tree before anything is set.

A page that is read at any width has to know which lines may outgrow it: those may shrink, break
or scroll. The guess is in em and meant to err on the wide side: against a browser it stood
between 1 part in 80 below and half as much again above (2026-11-25). It knows no renderer.
"""

from __future__ import annotations

from ..expressions.nodes import (
    Applied,
    Determinant,
    Equation,
    Exponential,
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
)

SIGN = 1.0  # em: a plus or minus between two terms, spaces included
RELATION = 1.25  # em: an equals sign between two sides, spaces included
BRACKETS = 1.25  # em: a pair of round brackets


def width_of(item: Expr | Equation) -> float:
    """The width in em of an expression or equation set on one line."""
    match item:
        case Symbol(name) if type(item) is Symbol:  # most of all
            return 0.72 + 0.38 * (len(name) - 1)
        case Product(factors):
            width, crosses = 0.0, 0
            for at, factor in enumerate(factors):
                kind = type(factor)
                width += width_of(factor) + (BRACKETS if kind is Sum or kind is Parallel else 0.2)
                crosses += at > 0 and kind is Number
            return width + crosses
        case Sum(terms):
            return sum(map(width_of, terms)) + SIGN * (len(terms) - 1)
        case Negative(body):
            return 0.8 + width_of(body) + (BRACKETS if isinstance(body, Sum) else 0.0)
        case Quotient(above, below):
            return max(width_of(above), width_of(below)) + 0.4
        case Equation(left, right):
            return width_of(left) + RELATION + width_of(right)
        case Number(value, unit, text):
            written = text or str(value)
            return 0.6 * len(written) + (0.25 + 0.75 * len(unit) if unit else 0.0)
        case Root(body=body):
            return 1.0 + width_of(body)
        case Exponential(body=body):
            return 0.5 + 0.75 * width_of(body)
        case Applied(body=body):
            return 1.2 + BRACKETS + width_of(body)
        case Symbol(name):
            return 0.72 + 0.38 * (len(name) - 1)
        case Power(base):
            return width_of(base) + 0.5 + (0.0 if isinstance(base, Symbol) else BRACKETS)
        case Parallel(parts):
            return sum(map(width_of, parts)) + SIGN * (len(parts) - 1)
        case Determinant(rows):
            return sum(max(map(width_of, column)) + 0.8 for column in zip(*rows, strict=True)) + 0.6
