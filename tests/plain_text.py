"""Expressions as plain text and back, for tests only: what is compared is what a person would read."""

from __future__ import annotations

import re

from loopwright.algebra.ratios import Field, Ratio
from loopwright.expressions.nodes import (
    Determinant,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    expanded,
)


def plain(expr: Expr) -> str:
    """`E1 R2/(R1 + R2 ∥ R3)`: brackets only where a reader needs them."""
    match expr:
        case Number(value):
            return str(value)
        case Symbol(name):
            return name
        case Sum(terms):
            rest = (f"- {_factor(t.body)}" if isinstance(t, Negative) else f"+ {plain(t)}" for t in terms[1:])
            return " ".join([plain(terms[0]), *rest])
        case Product(factors):
            return " ".join(map(_factor, factors))
        case Negative(body):
            return f"-{_factor(body)}"
        case Quotient(above, below):
            return f"{_factor(above)}/{plain(below) if _is_atom(below) else f'({plain(below)})'}"
        case Power(base, exponent):
            return f"{_factor(base)}^{exponent}"
        case Parallel(parts):
            return " ∥ ".join(map(_factor, parts))
        case Determinant(rows):
            return plain(expanded(rows))


def ratio(text: str, field: Field) -> Ratio:
    """The exact value of Python arithmetic in the field's symbols."""
    assert re.fullmatch(r"[\w\s+*/().-]+", text)
    value = eval(text, {"__builtins__": {}}, {name: field.symbol(name) for name in field.symbols})
    return value if isinstance(value, Ratio) else field.number(value)


def _factor(expr: Expr) -> str:
    return f"({plain(expr)})" if isinstance(expr, Sum | Negative | Parallel) else plain(expr)


def _is_atom(expr: Expr) -> bool:
    return isinstance(expr, Number | Symbol | Power)
