"""Dividers in numbers whose load was not counted, 20 · 15/(10 + 15) with 30 beside the 15, or that lack the
resistance above the line, 1.2/(6 + 3), or one of those below, 1.2 · 6/3.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from itertools import combinations

from ...circuit.elements import Kind
from ...expressions.nodes import Equation, Expr, Number, Product, Quotient, Sum, Symbol, alike, number
from ..truth.rounding import lone
from .edits import Change, Edit, WideEdit
from .line_view import LineView, NameSort
from .places import LinePlace, replaced

A_SHARE = -0.6  # how much likelier a load is forgotten in a share of a voltage than elsewhere
NO_FACTOR, NO_TERM = -0.9, -0.6  # how much likelier a factor or a term is missing in a share of a current
MOST_LOADS = 8


def loads_forgotten(view: LineView) -> Iterator[WideEdit]:
    """A share of a voltage in numbers, with one resistor or two in series put beside the one across which it
    is."""
    if not any(view.sort(name) is NameSort.VOLTAGE for name in view.used):
        return
    circuit = view.circuit
    own = [n for n in circuit.numbers if circuit.role(n) is Kind.RESISTOR][:MOST_LOADS]
    for scale in (1, 1000):  # of a share it does not matter which of the two its resistances are in
        worth = {n: circuit.numbers[n] / scale for n in own}
        for place in view.places:
            if isinstance(place.expr, Quotient):
                yield from _loaded(view.equation, place, place.expr, worth)


def shares_cut_short(view: LineView) -> Iterator[Edit]:
    """A share of a current in numbers with what it lacks: the other resistance above the line, or below."""
    subject = view.equation.left
    if not isinstance(subject, Symbol) or subject.name not in view.currents:
        return
    for place in view.places:
        share = place.expr
        if not isinstance(share, Quotient) or place.path[0] == 0:
            continue
        above = share.above.factors if isinstance(share.above, Product) else (share.above,)
        terms = share.below.terms if isinstance(share.below, Sum) else (share.below,)
        if any(lone(each) is None for each in (*above, *terms)):
            continue
        if len(terms) == 2 and len(above) == 1:
            for term in terms:
                new = Product((*above, term))
                yield Edit("factor-missing", (*place.path, 0), new, Change.OTHER, share.above, new, NO_FACTOR)
        elif len(terms) == 1 and len(above) == 2:
            given = [f for f in above if (n := lone(f)) is not None and view.is_given(n.value)]
            for factor in given or above:
                new_below = Sum((*terms, factor))
                path = (*place.path, 1)
                yield Edit("term-missing", path, new_below, Change.MISSING, factor, factor, NO_TERM)


def _loaded(
    written: Equation, place: LinePlace, share: Quotient, worth: Mapping[str, Fraction]
) -> Iterator[WideEdit]:
    for name, own in worth.items():
        other = _other(share, own)
        if other is None or other not in worth.values():
            continue
        rest = [n for n in worth if n != name and worth[n] != other]
        for loads in (*((n,) for n in rest), *combinations(rest, 2)):
            load = sum((worth[n] for n in loads), Fraction(0))
            if not own + load:
                continue
            mended = _with(written, place, share, own, own * load / (own + load), other)
            parts = (Symbol(name), Sum(tuple(map(Symbol, loads))) if loads[1:] else Symbol(loads[0]))
            yield WideEdit("loaded-divider", mended, Change.THROUGHOUT, parts, A_SHARE)


def _other(share: Quotient, own: Fraction) -> Fraction | None:
    """The other resistance of a share that has one above the line: 10 in 15/(10 + 15) and in 15/25; None
    where it is no share of that."""
    above = share.above.factors if isinstance(share.above, Product) else (share.above,)
    if own not in [n.value for each in above if (n := lone(each)) is not None and not n.unit]:
        return None
    whole = lone(share.below)
    if whole is not None:
        return whole.value - own if whole.value > own else None
    terms = [lone(t) for t in share.below.terms] if isinstance(share.below, Sum) else []
    values = [n.value for n in terms if n is not None]
    if len(values) != 2 or len(terms) != 2 or own not in values:
        return None
    return values[1] if values[0] == own else values[0]


def _with(
    written: Equation, place: LinePlace, share: Quotient, own: Fraction, beside: Fraction, other: Fraction
) -> Equation:
    """The claim with the two side by side in the place of the one, above the line and below it."""
    new = Number(beside)
    above = _put(share.above, own, new)
    return replaced(written, place.path, Quotient(above, Sum((number(other), new))))


def _put(above: Expr, own: Fraction, new: Number) -> Expr:
    if isinstance(above, Product):
        at = next(i for i, f in enumerate(above.factors) if (n := lone(f)) is not None and n.value == own)
        return alike(above, [new if i == at else f for i, f in enumerate(above.factors)])
    return new
