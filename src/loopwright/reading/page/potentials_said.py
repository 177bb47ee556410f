"""Two potentials, one less the other: `Va − Vb` is the potential difference V(a, b), whatever their zero."""

from __future__ import annotations

from ...expressions.nodes import (
    Expr,
    Negative,
    Sum,
    Symbol,
    alike,
    parts_of,
)
from .naming import NamesInUse


def with_differences(expr: Expr, names: NamesInUse, notes: dict[str, None]) -> Expr:
    """The expression with each such pair in one sum as one quantity; what was read so is put in `notes`."""
    parts = [with_differences(part, names, notes) for part in parts_of(expr)]
    if isinstance(expr, Sum):
        return _sum(parts, names, notes)
    return alike(expr, parts) if parts else expr


def _sum(terms: list[Expr], names: NamesInUse, notes: dict[str, None]) -> Expr:
    while True:
        plus = next((term for term in terms if _point(term, names)), None)
        minus = next((t for t in terms if isinstance(t, Negative) and _point(t.body, names)), None)
        if plus is None or minus is None or minus.body == plus:
            return terms[0] if len(terms) == 1 else Sum(tuple(terms))
        call = f"V({_point(plus, names)}, {_point(minus.body, names)})"
        notes[f"the difference of two potentials is read as {call}"] = None
        terms[terms.index(plus)] = Symbol(call)
        terms.remove(minus)


def _point(expr: Expr, names: NamesInUse) -> str:
    """The point whose potential a name is, `Va` or `UA`; empty for anything else."""
    if not isinstance(expr, Symbol) or expr.name in names.known or expr.name[:1] not in "VU":
        return ""
    return names.point(expr.name[1:]) or ""
