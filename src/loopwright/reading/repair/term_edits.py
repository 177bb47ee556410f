"""Changes of signs, names and terms: what goes wrong when a law is written down.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from ...circuit.elements import Kind
from ...expressions.nodes import (
    ZERO,
    Expr,
    Negative,
    Number,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    times,
)
from .edits import Change, Edit, body_of, factors_of, names_of_factors, signed
from .line_view import LineShape, LineView, NameSort
from .places import LinePlace


def sign_edits(view: LineView) -> Iterator[Edit]:
    """Every term with its sign reversed."""
    for place in view.places:
        if not place.is_term or place.expr == ZERO or _is_subject(view, place):
            continue
        if isinstance(place.expr, Sum) and not _lone_voltage(view, place):
            continue
        turned = _turned(place.expr)
        yield Edit(_sign_entry(view, place), place.path, turned, Change.SIGN, place.expr, turned)


def _turned(expr: Expr) -> Expr:
    return add(*map(negate, expr.terms)) if isinstance(expr, Sum) else negate(expr)


def _lone_voltage(view: LineView, place: LinePlace) -> bool:
    other = view.equation.right if place.path == (0,) else view.equation.left
    return place.parent is None and isinstance(other, Symbol) and view.sort(other.name) is NameSort.VOLTAGE


def _sign_entry(view: LineView, place: LinePlace) -> str:
    if not place.is_outer:
        return _inner_sign_entry(view, place)
    if view.shape is LineShape.JUNCTION:
        return "junction-sign"
    other = view.equation.right if place.path[0] == 0 else view.equation.left
    if place.parent is None and isinstance(other, Symbol) and view.sort(other.name) is NameSort.VOLTAGE:
        return "voltage-order"
    sort = view.term_sort(body_of(place.expr))
    if place.parent is None and (view.shape is LineShape.RESULT or isinstance(body_of(place.expr), Quotient)):
        return "minus-dropped"
    if sort is NameSort.CURRENT:
        if _splits_bracket(view, place):
            return "minus-bracket"
        voltage = any(view.sort(name) is NameSort.VOLTAGE for name in view.used)
        return (
            "charging-voltage"
            if voltage and names_of_factors(place.expr) & view.internal_resistances
            else "drop-sign"
        )
    return {NameSort.SOURCE: "source-sign", NameSort.VOLTAGE: "voltage-order"}.get(sort, "moved-sign")


def _inner_sign_entry(view: LineView, place: LinePlace) -> str:
    line, sorts = place.line(), view.sorts(place.expr)
    siblings = place.parent.terms if isinstance(place.parent, Sum) else ()
    if all(view.sorts(t) == {NameSort.CURRENT} and isinstance(body_of(t), Symbol) for t in siblings):
        used = {n for t in siblings for n in names_of_factors(t)}
        return "mesh-sum" if used and view.has_loop_currents else "junction-sign"
    if line < 0:
        return "denominator-sign"
    if any(NameSort.CURRENT in view.sorts(t) for t in siblings):
        return "moved-sign"
    if sorts == {NameSort.SOURCE} and line == 0:
        return "source-sign"
    return "numerator-sign"


def _splits_bracket(view: LineView, place: LinePlace) -> bool:
    """Whether the term and the one before it look like −(Ib + Ih) R with the minus on Ib R alone."""
    siblings = place.parent.terms if isinstance(place.parent, Sum) else ()
    index = place.path[-1]
    if not siblings or not index or isinstance(place.expr, Negative):
        return False
    before = siblings[index - 1]
    shared = names_of_factors(before) & names_of_factors(place.expr)
    return (
        isinstance(before, Negative)
        and any(view.sort(name) is NameSort.RESISTANCE for name in shared)
        and bool(view.current_in(before))
        and view.current_in(before) not in ("", view.current_in(place.expr))
    )


def name_edits(view: LineView) -> Iterator[Edit]:
    """Every name with another of its sort in its place, and every value with that of another element."""
    elements = view.circuit.elements.values()
    values = tuple(dict.fromkeys(e.value for e in elements if e.kind is Kind.RESISTOR))
    composed = any(not isinstance(value, Symbol) for value in values)
    for place in view.places:
        if composed and place.expr in values:
            for value in values:
                if value != place.expr and not (isinstance(value, Symbol) and isinstance(place.expr, Symbol)):
                    yield Edit("subscript", place.path, value, Change.OTHER, place.expr, value)
        if not isinstance(place.expr, Symbol):
            continue
        sort = view.sort(place.expr.name)
        if sort not in (NameSort.CURRENT, NameSort.RESISTANCE, NameSort.SOURCE):
            continue
        subject = _is_subject(view, place)
        bare = view.shape is LineShape.JUNCTION and _stands_bare(place)
        drops = sort is NameSort.CURRENT and not subject and not bare
        entry = "wrong-current" if drops else "divider-inverted" if _in_divider(view, place) else "subscript"
        for name in view.named(sort):
            if name == place.expr.name or (bare and name in view.used and not subject):
                continue
            other = Symbol(name)
            yield Edit(entry, place.path, other, Change.OTHER, place.expr, other, 0.3 if subject else 0.0)
            if drops:
                yield Edit(
                    entry, place.path, Negative(other), Change.OTHER, place.expr, Negative(other), 0.35
                )


def _is_subject(view: LineView, place: LinePlace) -> bool:
    """Whether it is the name that a result is for, or a voltage that a side is for."""
    if place.parent is not None or not isinstance(place.expr, Symbol):
        return False
    return view.shape is LineShape.RESULT or view.sort(place.expr.name) is NameSort.VOLTAGE


def _stands_bare(place: LinePlace) -> bool:
    return all(isinstance(e, Sum | Negative) for e in place.within)


def _in_divider(view: LineView, place: LinePlace) -> bool:
    """Whether a resistance stands above a line as in I R1/(R1 + R2)."""
    if place.line() <= 0 or view.sorts(place.expr) != {NameSort.RESISTANCE}:
        return False
    quotient = next(e for e in reversed(place.within) if isinstance(e, Quotient))
    others = names_of_factors(quotient.above)
    return isinstance(quotient.below, Sum) and any(view.sort(n) is NameSort.CURRENT for n in others)


def extra_edits(view: LineView) -> Iterator[Edit]:
    """A term taken out, counted twice, or counted once less."""
    for place in view.places:
        if not place.is_term or place.expr == ZERO or isinstance(place.expr, Sum):
            continue
        if isinstance(place.parent, Sum):
            yield Edit("term-extra", place.path, ZERO, Change.EXTRA, place.expr, ZERO)
        factors = factors_of(place.expr)
        two = next((f for f in factors if isinstance(f, Number) and f.value == 2 and not f.unit), None)
        if two is not None and len(factors) > 1:
            new = signed(times(*(f for f in factors if f is not two)), place.expr)
            yield Edit("term-twice", place.path, new, Change.OTHER, place.expr, new)
        elif isinstance(place.parent, Sum) or len(factors) > 1:
            new = signed(times(Number(Fraction(2)), body_of(place.expr)), place.expr)
            yield Edit("shared-once", place.path, new, Change.OTHER, place.expr, new)
