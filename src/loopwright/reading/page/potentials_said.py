"""Two potentials, one less the other: `Va − Vb` is the potential difference V(a, b), whatever their zero."""

from __future__ import annotations

from ...expressions.nodes import (
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
from .naming import Names


def with_differences(expr: Expr, names: Names, notes: dict[str, None]) -> Expr:
    """The expression with each such pair in one sum as one quantity; what was read so is put in `notes`."""
    match expr:
        case Sum(terms):
            return _sum([with_differences(term, names, notes) for term in terms], names, notes)
        case Product(parts):
            return Product(tuple(with_differences(part, names, notes) for part in parts))
        case Parallel(parts):
            return Parallel(tuple(with_differences(part, names, notes) for part in parts))
        case Negative(body):
            return Negative(with_differences(body, names, notes))
        case Power(base, exponent):
            return Power(with_differences(base, names, notes), exponent)
        case Quotient(above, below):
            return Quotient(with_differences(above, names, notes), with_differences(below, names, notes))
        case Number() | Symbol():
            return expr


def _sum(terms: list[Expr], names: Names, notes: dict[str, None]) -> Expr:
    while True:
        plus = next((term for term in terms if _point(term, names)), None)
        minus = next((t for t in terms if isinstance(t, Negative) and _point(t.body, names)), None)
        if plus is None or minus is None or minus.body == plus:
            return terms[0] if len(terms) == 1 else Sum(tuple(terms))
        call = f"V({_point(plus, names)}, {_point(minus.body, names)})"
        notes[f"the difference of two potentials is read as {call}"] = None
        terms[terms.index(plus)] = Symbol(call)
        terms.remove(minus)


def _point(expr: Expr, names: Names) -> str:
    """The point whose potential a name is, `Va` or `UA`; empty for anything else."""
    if not isinstance(expr, Symbol) or expr.name in names.known or expr.name[:1] not in "VU":
        return ""
    return names.point(expr.name[1:]) or ""
