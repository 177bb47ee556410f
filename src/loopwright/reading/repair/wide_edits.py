"""Changes in several places of a line that come from one slip: arrows, senses, brackets of signs.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from ...circuit.elements import Kind
from ...expressions.nodes import (
    ZERO,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    numbers_in,
    parts_of,
    rebuilt,
)
from ...expressions.values import symbols_of
from ..truth.rounding import lone
from .edits import Change, WideEdit, body_of
from .law_terms import Monomials
from .line_view import LineShape, LineView, NameSort, terms_with_signs
from .places import LinePlace, Sides, put_in_both, replaced
from .row_slips import repeated_number_edits
from .term_edits import is_of_loops

_NOTHING = ZERO
MOST_SIGNED = 9  # outer terms of which every choice of signs is tried


def throughout_edits(view: LineView) -> Iterator[WideEdit]:
    """An arrow reversed, two names exchanged, or a load put beside a resistance, wherever they stand."""
    counts = dict.fromkeys(view.used, 0)
    for place in view.places:
        if isinstance(place.expr, Symbol):
            counts[place.expr.name] += 1
    for name, count in counts.items():
        if view.sort(name) is NameSort.CURRENT and count > 1:
            turned = put_in_both(view.equation, {name: Negative(Symbol(name))})
            drawn = view.shape is LineShape.LOOP and any(name in symbols_of(line) for line in view.above)
            if drawn:  # lines above go by its arrow
                held = (body_of(place.expr) for place in view.outer_terms)
                drops = tuple(body for body in held if name in symbols_of(body))
                yield WideEdit("drop-sign", turned, Change.SIGN, drops)
            else:
                yield WideEdit("arrow-otherwise", turned, Change.THROUGHOUT, (Symbol(name),))
    for one, other in combinations(view.used, 2):
        if view.sort(one) is view.sort(other) and view.sort(one) not in (NameSort.OTHER, NameSort.VOLTAGE):
            exchanged = put_in_both(view.equation, {one: Symbol(other), other: Symbol(one)})
            yield WideEdit("subscript", exchanged, Change.THROUGHOUT, (Symbol(one), Symbol(other)), 0.3)
    for name, count in counts.items():
        if count > 1 and view.shape is LineShape.RESULT and view.sort(name) is NameSort.RESISTANCE:
            for other in view.named(NameSort.RESISTANCE):
                if other not in view.used:
                    renamed = put_in_both(view.equation, {name: Symbol(other)})
                    yield WideEdit("subscript", renamed, Change.PLACES, (Symbol(name), Symbol(other)), 0.1)
    for place in view.places:
        turned_round = _quotients_turned(view, place.expr)
        if turned_round != place.expr:
            mended = replaced(view.equation, place.path, turned_round)
            parts = place.expr, turned_round
            yield WideEdit("fraction-inverted", mended, Change.THROUGHOUT, parts)
    for written, meant in repeated_number_edits(view):
        sides = [_with(side, written, meant) for side in (view.equation.left, view.equation.right)]
        mended = Equation(sides[0], sides[1], view.equation.relation)
        yield WideEdit("copied-wrong", mended, Change.THROUGHOUT, (written, meant), 0.1)
    if any(isinstance(place.expr, Quotient) for place in view.places):
        for name, count in counts.items():
            if view.sort(name) is NameSort.RESISTANCE and count > 1:
                for load in view.named(NameSort.RESISTANCE):
                    if load not in view.used:
                        beside = Parallel((Symbol(name), Symbol(load)))
                        loaded = put_in_both(view.equation, {name: beside})
                        yield WideEdit(
                            "loaded-divider", loaded, Change.THROUGHOUT, (Symbol(name), Symbol(load))
                        )


def insides_forgotten(view: LineView) -> Iterator[WideEdit]:
    """What batteries have inside put to the resistances that voltages above a line are divided by, where it
    is left out in more than one branch."""
    mended, parts = view.equation, list[Expr]()
    for place in view.places:
        if isinstance(place.expr, Quotient):
            below = _with_the_inside(view, place.expr)
            if below is not None:
                mended = replaced(mended, place.path, Quotient(place.expr.above, below))
                parts += [place.expr.below, below]
    if len(parts) > 2:
        yield WideEdit("inside-forgotten", mended, Change.THROUGHOUT, (parts[0], parts[1]))


def _with_the_inside(view: LineView, written: Quotient) -> Expr | None:
    """What is below a line with the resistance inside the battery put to it whose emf is above, where the
    rest of its branch is all that stands there; None where it is not."""
    circuit, below = view.circuit, written.below
    held = {*symbols_of(written.above), *(n.value for n in numbers_in(written.above))}
    for branch in circuit.branches:
        elements = [circuit.elements[p.element] for p in branch.passes]
        inside = [
            e for e in elements if e.internal is not None and held & {e.name, circuit.numbers.get(e.name)}
        ]
        resistors = [e.name for e in elements if e.kind is Kind.RESISTOR]
        if len(inside) != 1 or inside[0].internal is None or not resistors:
            continue
        if below in (Symbol(resistors[0]), Sum(tuple(map(Symbol, resistors)))):
            return add(below, inside[0].internal)
        if not circuit.has_all_numbers:
            continue
        more = circuit.internal_resistance(inside[0].name).value(circuit.numbers)
        rest = circuit.resistance(branch.name).value(circuit.numbers) - more
        for kilo in (1, 1000):
            if isinstance(below, Number) and below.value * kilo == rest:
                return Number(below.value + more / kilo, below.unit)
    return None


def _quotients_turned(view: LineView, expr: Expr) -> Expr:
    """A sum, or a quotient, with each resistance over an emf turned round: 15/4.5 for 4.5/15."""
    if isinstance(expr, Sum):
        return Sum(tuple(_quotients_turned(view, term) for term in expr.terms))
    if isinstance(expr, Negative):
        return Negative(_quotients_turned(view, expr.body))
    if not isinstance(expr, Quotient):
        return expr
    above = _is_one(view, expr.above, NameSort.RESISTANCE, Kind.RESISTOR)
    below = _is_one(view, expr.below, NameSort.SOURCE, Kind.BATTERY)
    return Quotient(expr.below, expr.above) if above and below else expr


def _is_one(view: LineView, expr: Expr, sort: NameSort, kind: Kind) -> bool:
    """Whether an expression is an element of a kind, by name or by its number, in kilohms too."""
    if isinstance(expr, Symbol):
        return view.sort(expr.name) is sort
    number = lone(expr)
    if number is None:
        return False
    kilo = Number(number.value * 1000)
    return view.is_worth_a(number, kind) or (kind is Kind.RESISTOR and view.is_worth_a(kilo, kind))


def _with(expr: Expr, written: Expr, meant: Expr) -> Expr:
    """An expression with one number put for another wherever it stands."""
    if expr == written:
        return meant
    parts = parts_of(expr)
    return rebuilt(expr, [_with(part, written, meant) for part in parts]) if parts else expr


def sign_sets(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """Two or more outer terms with their signs reversed, where that makes the sides equal and one slip
    explains it."""
    terms = terms_with_signs(view)
    if not 3 <= len(terms) <= MOST_SIGNED:
        return
    values = [sides.value_of(body_of(place.expr)) * sign for place, sign in terms]
    for size in range(2, len(terms) - 1):
        for chosen in combinations(range(len(terms)), size):
            left = sides.residue - 2 * sum(values[i] for i in chosen)
            if sides.trial.is_zero(left, sides.scale):
                entry = _explained(view, terms, chosen)
                if entry:
                    turned = [terms[i][0] for i in chosen]
                    parts = tuple(body_of(place.expr) for place in turned)
                    yield WideEdit(entry, _with_turned(view.equation, turned), Change.SIGN, parts)


def _with_turned(equation: Equation, turned: list[LinePlace]) -> Equation:
    for place in turned:
        equation = replaced(equation, place.path, negate(place.expr))
    return equation


def _explained(view: LineView, terms: list[tuple[LinePlace, int]], chosen: tuple[int, ...]) -> str:
    """The key of the one slip that turns just these signs; empty where none does."""
    count = len(terms)
    sorts = [view.term_sort(body_of(place.expr)) for place, _ in terms]
    drops = [i for i in range(count) if sorts[i] is NameSort.CURRENT]
    sources = [i for i in range(count) if sorts[i] is NameSort.SOURCE]
    signs = [sign for _, sign in terms]
    line = [body_of(place.expr) for place, _ in terms]
    of_one = set(chosen) <= set(drops) and len({view.current_in(line[i]) for i in chosen}) == 1
    parts = [line[i] for i in chosen], [signs[i] for i in chosen]
    if view.above and not of_one and _is_one_line(view, *parts):
        return "added-for-subtracted"
    if all(is_of_loops(view, terms[i][0]) for i in chosen):
        return "mesh-sum"
    if view.shape is not LineShape.LOOP:
        return ""
    same_drops = len({signs[i] for i in drops}) == 1
    if set(chosen) == set(sources):
        return "terminals-swapped" if len({signs[i] for i in sources}) > 1 else "sources-all-plus"
    if set(chosen) < set(drops) and same_drops:
        return "" if of_one else "drops-all-minus"  # one current: its arrow is another
    if set(chosen) <= set(sources) and len({signs[i] for i in sources}) == 1:
        return "sources-all-plus"
    ends = {tuple(drops[: len(chosen)]), tuple(drops[-len(chosen) :])}
    if chosen in ends and len(drops) > len(chosen) and not of_one:
        return "sense-turned"
    if view.equation.right in (terms[0][0].expr,) or len({place.path[0] for place, _ in terms}) > 1:
        return ""
    tail = tuple(range(chosen[0], count))
    return "sense-turned" if chosen == tail and count >= 4 and chosen[0] >= 2 else ""


def _is_one_line(view: LineView, parts: list[Expr], signs: list[int]) -> bool:
    """Whether these terms, with these signs or all with the opposite ones, are all that this line has taken
    over from one line above."""
    for line in view.above:
        theirs = view.terms_of(line)
        if not theirs:
            continue
        ratios: set[int] = set()
        for part, sign in zip(parts, signs, strict=True):
            own = view.terms_of(Equation(part, _NOTHING))
            key = next(iter(own)) if own and len(own) == 1 else None
            if own is None or key is None or key not in theirs or abs(theirs[key]) != abs(own[key]):
                break
            ratios.add(int(sign * own[key] / theirs[key]))
        else:
            if len(ratios) == 1 and len(parts) >= 2 and _covers_own(view, parts, theirs):
                return _rest_is_above(view, parts)
    return False


def _covers_own(view: LineView, parts: list[Expr], theirs: Monomials) -> bool:
    """Whether the terms of the line above that stand in this line too are all among `parts`."""
    held = view.terms_of(view.equation) or {}
    taken = {key for part in parts for key in (view.terms_of(Equation(part, _NOTHING)) or {})}
    return not any(key in held and key not in taken for key in theirs)


def _rest_is_above(view: LineView, parts: list[Expr]) -> bool:
    """Whether all other terms of this line were taken over from lines above, too: else it is no sum of
    these, but a law of its own."""
    taken = {key for part in parts for key in (view.terms_of(Equation(part, _NOTHING)) or {})}
    theirs = [terms for line in view.above if (terms := view.terms_of(line))]
    own = (view.terms_of(view.equation) or {}).items()
    return all(key in taken or any(abs(t.get(key, 0)) == abs(size) for t in theirs) for key, size in own)
