"""Expressions in plain letters on one line, as they are typed: `2 R`, `E1 / (R1 + R2)`, `R1 || R2`."""

from __future__ import annotations

from ..expressions.nodes import (
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


def written(expr: Expr) -> str:
    """The expression as a person types it; brackets wherever they are needed."""
    match expr:
        case Number(value, unit, text):
            digits = text or str(value)
            return f"{digits} {unit}" if unit else digits
        case Symbol(name):
            return name
        case Sum(terms):
            first, *rest = terms
            tail = "".join(
                f" - {_factor(term.body, loose=True)}"
                if isinstance(term, Negative)
                else f" + {_factor(term, loose=True)}"
                for term in rest
            )
            return written(first) + tail
        case Product(factors):
            return " ".join(_factor(factor, loose=False) for factor in factors)
        case Negative(body):
            return f"-{_factor(body, loose=True)}"
        case Quotient(above, below):
            return f"{_factor(above, loose=False)} / {_factor(below, loose=False, below=True)}"
        case Power(base, exponent):
            return f"{_factor(base, loose=False)}^{exponent}"
        case Parallel(parts):
            return " || ".join(_factor(part, loose=False) for part in parts)


def _factor(expr: Expr, *, loose: bool, below: bool = False) -> str:
    """An expression as a part of a larger one, bracketed unless it holds together by itself."""
    single = isinstance(expr, Number | Symbol | Power) or (isinstance(expr, Number) and not expr.unit)
    held = (
        single
        or (loose and isinstance(expr, Product | Quotient))
        or (not below and not loose and isinstance(expr, Product))
    )
    if isinstance(expr, Number) and "/" in (expr.text or str(expr.value)) and not loose:
        held = False
    return written(expr) if held else f"({written(expr)})"
