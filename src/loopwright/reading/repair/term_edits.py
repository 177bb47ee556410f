"""Changes of signs, names and terms: what goes wrong when a law is written down.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator
from fractions import Fraction
from itertools import combinations

from ...circuit.elements import Kind
from ...expressions.nodes import (
    ZERO,
    Expr,
    Negative,
    Number,
    Parallel,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    numbers_in,
    times,
)
from ...expressions.values import symbols_of
from ..truth.rounding import is_decimal, lone
from .edits import Change, Edit, body_of, factors_of, names_of_factors, signed
from .line_view import LineShape, LineView, NameSort, results_above
from .places import LinePlace

A_NEW_NAME = 0.8  # how much less likely a combined resistance is given the name of another
LOAD_LEFT_IN = -0.5  # how much likelier one resistance too many stands side by side than any other term
COMBINED_FOR_ONE = 0.3  # how much less likely a resistor is written for a combined resistance by its letters


TAKEN_OFF = 0.5  # how much less likely a resistance is to be taken off what is divided by than another sign


def sign_edits(view: LineView) -> Iterator[Edit]:
    """Every term with its sign reversed."""
    for place in view.places:
        if not place.is_term or place.expr == ZERO or _is_subject(view, place):
            continue
        if isinstance(place.expr, Sum) and not _lone_voltage(view, place):
            continue
        turned = _turned(place.expr)
        entry = _sign_entry(view, place)
        extra = TAKEN_OFF if entry == "denominator-sign" and isinstance(place.expr, Number | Symbol) else 0.0
        yield Edit(entry, place.path, turned, Change.SIGN, place.expr, turned, extra=extra)


def _turned(expr: Expr) -> Expr:
    return add(*map(negate, expr.terms)) if isinstance(expr, Sum) else negate(expr)


def _lone_voltage(view: LineView, place: LinePlace) -> bool:
    other = view.equation.right if place.path == (0,) else view.equation.left
    return place.parent is None and isinstance(other, Symbol) and view.sort(other.name) is NameSort.VOLTAGE


def _sign_entry(view: LineView, place: LinePlace) -> str:
    if not place.is_outer:
        return _inner_sign_entry(view, place)
    if is_of_loops(view, place):
        return "mesh-sum"
    if view.shape is LineShape.JUNCTION or _is_of_currents(view):
        return "junction-sign"
    other = view.equation.right if place.path[0] == 0 else view.equation.left
    if place.parent is None and isinstance(other, Symbol) and view.sort(other.name) is NameSort.VOLTAGE:
        return "voltage-order"
    if view.is_junction_of_potentials:
        return "junction-sign"
    if _is_added(view, place, other):
        return "added-for-subtracted"
    sort = view.term_sort(body_of(place.expr))
    if place.parent is None and (view.shape is LineShape.RESULT or isinstance(body_of(place.expr), Quotient)):
        return _formula_sign(view, place, other)
    if sort is NameSort.CURRENT:
        if _splits_bracket(view, place):
            return "minus-bracket"
        voltage = any(view.sort(name) is NameSort.VOLTAGE for name in view.used)
        return (
            "charging-voltage"
            if voltage and names_of_factors(place.expr) & view.internal_resistances
            else "drop-sign"
        )
    own = lone(place.expr)
    used = {view.sort(name) for name in view.used}
    on_potentials = NameSort.VOLTAGE in used and not used & {NameSort.CURRENT, NameSort.RESISTANCE}
    if own is not None and on_potentials and view.is_worth_a(own, Kind.BATTERY):
        return "source-sign"  # between two potentials: Vn = Vt + 5
    body = body_of(place.expr)
    if isinstance(body, Quotient) and _is_source(view, body.above):
        return "source-sign"  # 10/5 in a sum of what short-circuited sources drive
    if sort is NameSort.VOLTAGE and isinstance(body, Product) and any(map(lone, body.factors)):
        return "moved-sign"  # 14.6 V of an equation in numbers
    if isinstance(body, Product) and _is_drop_of_a_source(view, body):
        return "mesh-sum" if view.round_loops else "drop-sign"
    return {NameSort.SOURCE: "source-sign", NameSort.VOLTAGE: "voltage-order"}.get(sort, "moved-sign")


def _is_drop_of_a_source(view: LineView, body: Product) -> bool:
    """Whether numbers are a resistance times the current of a source: 4·2 for 4 Ω and 2 A."""
    factors = [f for f in body.factors if isinstance(f, Number)]
    if len(body.factors) != 2 or len(factors) != 2:
        return False
    ways = (factors, factors[::-1])
    return any(view.is_worth_a(a, Kind.RESISTOR) and view.is_worth_a(b, Kind.CURRENT_SOURCE) for a, b in ways)


def _is_driven(view: LineView, body: Expr) -> bool:
    """Whether a term is what a source drives through a wire: E/R, or the current of a source."""
    own = lone(body)
    of_source = own is not None and view.is_worth_a(own, Kind.CURRENT_SOURCE)
    return of_source or isinstance(body, Quotient)


def is_of_loops(view: LineView, place: LinePlace) -> bool:
    """Whether a term is one of several currents round loops, by their names or their numbers, that are put
    together for the current of a branch."""
    terms = place.parent.terms if isinstance(place.parent, Sum) else ()
    subject = view.equation.right if place.path[0] == 0 else view.equation.left
    if len(terms) < 2 or not isinstance(subject, Symbol) or subject.name in view.round_loops:
        return False
    above = results_above(view)
    ends = [lone(above[name]) for name in view.round_loops if name in above]
    sizes = {end.value for end in ends if end is not None}
    bodies = [body_of(body_of(term)) for term in terms]  # of −(−0.52) too
    return all(
        b.name in view.round_loops if isinstance(b, Symbol) else isinstance(b, Number) and b.value in sizes
        for b in bodies
    )


def _is_added(view: LineView, place: LinePlace, other: Expr) -> bool:
    """Whether a term of a result that is a sum of voltages, or one of numbers for a current, is added where
    it should be subtracted, or the other way round."""
    terms = place.parent.terms if isinstance(place.parent, Sum) else ()
    if not isinstance(other, Symbol) or len(terms) < 2:
        return False
    sort = view.sort(other.name)
    if sort is NameSort.VOLTAGE:
        potentials = [b for b in map(body_of, terms) if isinstance(b, Symbol)]
        plus = not isinstance(place.expr, Negative)
        return (
            plus
            and len(potentials) == len(terms)
            and all(view.sort(b.name) is NameSort.VOLTAGE for b in potentials)
        )
    return sort is NameSort.CURRENT and all(lone(body_of(term)) is not None for term in terms)


def _formula_sign(view: LineView, place: LinePlace, other: Expr) -> str:
    """The sign before all of a result: in what a branch carries by a voltage or by its share of a current it
    is the arrow that was not looked at; else a minus was lost."""
    if not isinstance(other, Symbol) or view.sort(other.name) is not NameSort.CURRENT:
        return "minus-dropped"
    above = results_above(view)
    held = {view.sort(name) for name in symbols_of(place.expr)}
    held |= {
        view.sort(name)
        for name, value in above.items()
        for own in (lone(value),)
        if own is not None and is_decimal(own) and own.value in {n.value for n in numbers_in(place.expr)}
    }
    body = body_of(place.expr)
    if isinstance(body, Quotient) and _is_source(view, body.above):
        return "source-sign"
    if not isinstance(body, Number | Symbol):
        if NameSort.VOLTAGE in held:
            return "drop-sign"
        if NameSort.CURRENT in held:
            return "junction-sign"
    return "minus-dropped"


def _is_source(view: LineView, expr: Expr) -> bool:
    """Whether an expression is the emf of one battery, by its symbol or its number."""
    own = lone(expr)
    return (
        view.is_worth_a(own, Kind.BATTERY)
        if own is not None
        else isinstance(expr, Symbol) and (view.sort(expr.name) is NameSort.SOURCE)
    )


def _inner_sign_entry(view: LineView, place: LinePlace) -> str:
    line, sorts = place.line(), view.sorts(place.expr)
    if sorts == {NameSort.SOURCE} and any(NameSort.VOLTAGE in view.sorts(e) for e in place.within):
        return "source-sign"  # in what a branch carries by the potentials at its ends
    siblings = place.parent.terms if isinstance(place.parent, Sum) else ()
    if line > 0 and _is_of_sources(view, place, siblings):
        return "source-sign"
    if line > 0 and _is_subject_a_current(view) and _is_potential(view, place.expr, _voltages_above(view)):
        return "voltage-order"  # of the potentials at the ends of a branch
    if all(view.sorts(t) == {NameSort.CURRENT} and isinstance(body_of(t), Symbol) for t in siblings):
        used = {n for t in siblings for n in names_of_factors(t)}
        of_loops = view.has_loop_currents or view.in_loop_currents
        return "mesh-sum" if used and of_loops else "junction-sign"
    if line < 0:
        return "denominator-sign"
    if view.shape is LineShape.LOOP and (current := _current_of_bracket(view, place)):
        return "mesh-sum" if current in view.round_loops else "drop-sign"
    if any(NameSort.CURRENT in view.sorts(t) for t in siblings):
        return "moved-sign"
    if sorts == {NameSort.SOURCE} and line == 0:
        return "source-sign"
    return "numerator-sign"


def _current_of_bracket(view: LineView, place: LinePlace) -> str:
    """The current that a sum of resistances is multiplied by, (R1 − R5) m3, where a term is one of that sum;
    empty elsewhere."""
    if (
        len(place.within) < 2
        or not isinstance(place.parent, Sum)
        or not isinstance(place.within[-2], Product)
    ):
        return ""
    factors = [f.name for f in place.within[-2].factors if isinstance(f, Symbol)]
    return next((name for name in factors if view.sort(name) is NameSort.CURRENT), "")


def _is_of_sources(view: LineView, place: LinePlace, siblings: tuple[Expr, ...]) -> bool:
    """Whether a term above a line is an emf beside potentials or beside other emfs, or what an emf drives
    through a resistance, beside others of its kind: (E1/R1 - E2/R2)/(1/R1 + 1/R2)."""
    body = body_of(place.expr)
    if isinstance(body, Quotient):
        return _is_source(view, body.above) and all(_is_driven(view, body_of(t)) for t in siblings)
    if not _is_source(view, body) or not siblings:
        return False
    others = [t for t in siblings if t is not place.expr]
    sizes = _voltages_above(view)
    beside_potentials = any(
        NameSort.VOLTAGE in view.sorts(t) or _is_potential(view, t, sizes) for t in others
    )
    return beside_potentials or bool(view.levels) or all(_is_source(view, body_of(t)) for t in others)


def _is_subject_a_current(view: LineView) -> bool:
    sides = (view.equation.left, view.equation.right)
    return any(isinstance(s, Symbol) and view.sort(s.name) is NameSort.CURRENT for s in sides)


def _is_of_currents(view: LineView) -> bool:
    """Whether a line holds nothing but currents and what current sources give: `I2 = 80 + I3`."""
    bodies = [body_of(place.expr) for place in view.outer_terms]
    plain = (
        view.sort(b.name) is NameSort.CURRENT
        if isinstance(b, Symbol)
        else isinstance(b, Number) and bool(b.value) and view.is_worth_a(b, Kind.CURRENT_SOURCE)
        for b in bodies
    )
    return len(bodies) > 2 and all(plain)


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


def order_edits(view: LineView) -> Iterator[Edit]:
    """Two potentials above a line, by their names or their numbers, the other way round: (Va - Vb + E)/R for
    (Vb - Va + E)/R."""
    above = results_above(view)
    sizes = {
        n.value for name, end in above.items() if _is_voltage(view, name) and (n := lone(end)) is not None
    }
    for place in view.places:
        terms = place.expr.terms if isinstance(place.expr, Sum) else ()
        if len(terms) < 3 or not isinstance(place.parent, Quotient | None):
            continue
        of_voltages = [at for at, term in enumerate(terms) if _is_potential(view, term, sizes)]
        for pair in combinations(of_voltages, 2):
            new = add(*(negate(term) if at in pair else term for at, term in enumerate(terms)))
            old, wanted = add(*(terms[at] for at in pair)), add(*(negate(terms[at]) for at in pair))
            yield Edit("voltage-order", place.path, new, Change.OTHER, old, wanted)


def _voltages_above(view: LineView) -> set[Fraction]:
    """The numbers that lines above give voltages."""
    above = results_above(view)
    return {
        n.value for name, end in above.items() if _is_voltage(view, name) and (n := lone(end)) is not None
    }


def _is_potential(view: LineView, term: Expr, sizes: Collection[Fraction]) -> bool:
    body = body_of(term)
    number = lone(body)
    if number is not None:
        return number.value in sizes and not view.is_worth_a(number, Kind.BATTERY)
    return isinstance(body, Symbol) and _is_voltage(view, body.name)


def _is_voltage(view: LineView, name: str) -> bool:
    return view.sort(name) is NameSort.VOLTAGE


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
        if sort is NameSort.RESISTANCE and _holds_no_current(view, place):
            for name in view.currents:
                new = Symbol(name)
                yield Edit("wrong-current", place.path, new, Change.OTHER, place.expr, new, 0.1)
        subject = _is_subject(view, place)
        bare = view.shape is LineShape.JUNCTION and _stands_bare(place)
        drops = sort is NameSort.CURRENT and not subject and not bare
        entry = "wrong-current" if drops else "divider-inverted" if _in_divider(view, place) else "subscript"
        for name in view.named(sort):
            if name == place.expr.name or (bare and name in view.used and not subject):
                continue
            other = Symbol(name)
            extra = 0.3 if subject else 0.0
            if subject and place.expr.name in view.own_resistances:
                extra = A_NEW_NAME
            combined = name in view.own_resistances and place.expr.name not in view.own_resistances
            if combined and place.expr.name not in symbols_of(view.meaning[name]):
                extra += COMBINED_FOR_ONE
            yield Edit(entry, place.path, other, Change.OTHER, place.expr, other, extra)
            if drops:
                yield Edit(
                    entry, place.path, Negative(other), Change.OTHER, place.expr, Negative(other), 0.35
                )


def _holds_no_current(view: LineView, place: LinePlace) -> bool:
    """Whether a resistance is a factor of a term of a loop that is made of resistances alone."""
    term = next((p for p in view.outer_terms if p.path == place.path[: len(p.path)]), None)
    if term is None or view.shape is not LineShape.LOOP or not isinstance(body_of(term.expr), Product):
        return False
    return view.sorts(term.expr) == {NameSort.RESISTANCE}


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


def _is_one_over(expr: Expr) -> bool:
    return isinstance(expr, Quotient) and isinstance(expr.above, Number)


def extra_edits(view: LineView) -> Iterator[Edit]:
    """A term taken out, counted twice, or counted once less; a resistance taken out that a load sees in
    itself."""
    for place in view.places:
        if isinstance(place.expr, Parallel) and len(place.expr.parts) > 2:
            for part in place.expr.parts:
                rest = Parallel(tuple(p for p in place.expr.parts if p is not part))
                yield Edit("term-extra", place.path, rest, Change.EXTRA, part, rest, LOAD_LEFT_IN)
        if not place.is_term or place.expr == ZERO or isinstance(place.expr, Sum):
            continue
        if isinstance(place.parent, Sum):
            loaded = view.is_result and place.line() < 0 and _is_one_over(place.expr)
            extra = LOAD_LEFT_IN if loaded else 0.0
            yield Edit("term-extra", place.path, ZERO, Change.EXTRA, place.expr, ZERO, extra)
        factors = factors_of(place.expr)
        two = next((f for f in factors if isinstance(f, Number) and f.value == 2 and not f.unit), None)
        if two is not None and len(factors) > 1:
            new = signed(times(*(f for f in factors if f is not two)), place.expr)
            yield Edit("term-twice", place.path, new, Change.OTHER, place.expr, new)
        elif isinstance(place.parent, Sum) or len(factors) > 1:
            new = signed(times(Number(Fraction(2)), body_of(place.expr)), place.expr)
            yield Edit("shared-once", place.path, new, Change.OTHER, place.expr, new)
