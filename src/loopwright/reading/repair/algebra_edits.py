"""Changes of brackets, fractions and factors: what goes wrong when a line is worked on.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import combinations

from ...expressions.nodes import (
    ONE,
    ZERO,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    number,
    numbers_in,
    over,
    put_in,
    times,
)
from ...expressions.values import symbols_of
from .edits import Change, Edit, body_of, factors_of, names_of_factors, signed
from .line_view import LineView, NameSort
from .missing_edits import TermsInStyle
from .places import LinePlace

MOST_IN_SERIES = 6  # resistances added of which two groups may lie side by side
PUT_IN = -0.3  # how much likelier a bracket is lost round what was put in for a name


def algebra_edits(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """Every change of brackets, fractions and factors."""
    yield from _left_out_of_name(view)
    for place in view.places:
        if isinstance(place.expr, Sum):
            yield from _brackets(view, place, place.expr)
            yield from _order_of_operations(place, place.expr)
            yield from _series_for_parallel(view, place, place.expr)
        nested = isinstance(place.parent, Sum)  # a bracket that lost what stood before it
        if place.is_term and (nested or not isinstance(place.expr, Sum)) and place.expr != ZERO:
            yield from _factors(view, parts, place)
        match body_of(place.expr):
            case Product() as product if not isinstance(place.expr, Negative):
                yield from _false_series(view, place, product)
                yield from _square_in_product(view, place, product)
            case Quotient() as quotient if not isinstance(place.expr, Negative):
                yield from _fraction(view, place, quotient)
            case Parallel(beside):
                yield _other("false-parallel", place, add(*beside))
            case Power(base, exponent) if not isinstance(place.expr, Negative):
                new = base if exponent == 2 else Power(base, exponent - 1)
                yield _other("resistance-squared", place, new)


def _left_out_of_name(view: LineView) -> Iterator[Edit]:
    """What a combined resistance is, where some of its resistors are left out: beside one source alone the
    branches of the others, which stay in as wires."""
    sides = (view.equation.left, view.equation.right)
    for at, (name, given) in enumerate((sides, sides[::-1])):
        meant = view.meaning.get(name.name) if isinstance(name, Symbol) else None
        if meant is None or view.sorts(name) != {NameSort.RESISTANCE} or isinstance(given, Number):
            continue
        held, whole = set(symbols_of(given)), set(symbols_of(meant))
        if not held:  # in numbers
            values = {n: v for n, v in view.circuit.numbers.items() if n in whole}
            sizes = {n.value for n in numbers_in(given) if n.value != 1}
            kilo = 1000 if sizes and max(sizes) * 100 < max(values.values(), default=0) else 1
            held = {n for n, v in values.items() if v / kilo in sizes}
            new = put_in(meant, {n: number(v / kilo) for n, v in values.items()})
            if len(held) < len(sizes) or symbols_of(new):
                continue
            meant = new
        if held and held < whole:
            entry = "superposed-open" if view.superposes else "term-missing"
            yield Edit(entry, (1 - at,), meant, Change.OTHER, given, meant)


def _other(entry: str, place: LinePlace, new: Expr, extra: float = 0.0) -> Edit:
    return Edit(entry, place.path, new, Change.OTHER, place.expr, new, extra)


def _scaled(term: Expr, factor: Expr) -> Expr:
    return signed(times(body_of(term), factor), term)


def _as_drop(view: LineView, term: Expr, factor: Expr) -> Expr:
    """A term with a factor put to it; a current stands before a resistance."""
    first = isinstance(factor, Symbol) and view.sort(factor.name) is NameSort.CURRENT
    return signed(times(factor, body_of(term)), term) if first else _scaled(term, factor)


# -- factors -----------------------------------------------------------------------------------------


def _brackets(view: LineView, place: LinePlace, total: Sum) -> Iterator[Edit]:
    """A factor of one term applied to its neighbours as well."""
    terms = total.terms
    for i, term in enumerate(terms):
        for factor in _bracketable(view, term):
            for run in _runs(i, len(terms)):
                if any(factor in factors_of(terms[j]) for j in run):
                    continue
                inside = [times(*(f for f in factors_of(term) if f is not factor)), *(terms[j] for j in run)]
                put_in = frozenset(inside) in view.sums_above
                if _cannot_scale(view, factor, (terms[j] for j in run)) and not put_in:
                    continue
                others = [s.expr for s in view.outer_terms if s.expr is not terms[run[0]]]
                entry = "numerator-bracket" if place.line() > 0 else "bracket-lost"
                if place.parent is None and len(run) == 1 and _is_in_all(factor, others):
                    entry = "one-term-multiplied"
                new = add(*(_scaled(t, factor) if j in run else t for j, t in enumerate(terms)))
                old, wanted = (
                    add(*(_scaled(terms[j], f) if f else terms[j] for j in run)) for f in (None, factor)
                )
                extra = PUT_IN if put_in else 0.05 * (len(run) - 1)
                yield Edit(entry, place.path, new, Change.OTHER, old, wanted, extra)


def _bracketable(view: LineView, term: Expr) -> tuple[Expr, ...]:
    """The factors of a term, each alone, that the writer may have put before a bracket."""
    factors = factors_of(term)
    if len(factors) < 2:
        return ()
    in_symbols = view.named_here(NameSort.RESISTANCE) or view.named_here(NameSort.SOURCE)
    return tuple(f for f in factors if not isinstance(f, Number) or not in_symbols)


def _is_in_all(factor: Expr, terms: Sequence[Expr]) -> bool:
    """Whether every one of two or more terms holds a factor: the line was multiplied by it."""
    return len(terms) > 1 and all(factor in factors_of(term) for term in terms)


def _cannot_scale(view: LineView, factor: Expr, terms: Iterable[Expr]) -> bool:
    """Whether a current would stand twice in a term, or a number be put to what holds no current."""
    if isinstance(factor, Number):
        return not all(view.current_in(term) for term in terms)
    is_current = isinstance(factor, Symbol) and view.sort(factor.name) is NameSort.CURRENT
    return is_current and any(view.current_in(term) for term in terms)


def _runs(i: int, count: int) -> list[range]:
    """The places of the one or two terms just before term `i`, and just after it, out of `count`."""
    found = [range(i - n, i) for n in (1, 2) if i - n >= 0]
    return found + [range(i + 1, i + 1 + n) for n in (1, 2) if i + n < count]


def _factors(view: LineView, parts: TermsInStyle, place: LinePlace) -> Iterator[Edit]:
    """A factor put to one term, or taken from it."""
    own = factors_of(place.expr)
    others = [s.expr for s in view.outer_terms if s.path != place.path]
    lone = place.parent is None and len(own) == 1 and view.is_result and not isinstance(own[0], Quotient)
    if lone and view.clashes(view.equation):  # U = I: what a voltage is set equal to lacks a factor
        lone = view.term_sort(place.expr) is NameSort.VOLTAGE
    for factor in _possible_factors(view, parts, place):
        if factor not in own and not lone and not _cannot_scale(view, factor, (place.expr,)):
            everywhere = place.is_outer and _is_in_all(factor, others)
            yield _other(
                "one-term-multiplied" if everywhere else "factor-missing",
                place,
                _as_drop(view, place.expr, factor),
            )
        if factor in own:
            yield from _factor_taken(place, own, factor)
            if _may_stand_twice(view, factor):
                yield _squared(place, factor)
        elif isinstance(factor, Symbol) and view.sort(factor.name) is NameSort.RESISTANCE:
            yield _other("wrong-divisor", place, signed(over(body_of(place.expr), factor), place.expr), 0.1)


def _possible_factors(view: LineView, parts: TermsInStyle, place: LinePlace) -> dict[Expr, None]:
    """What a term may lack as a factor: names of the line, and what makes a drop of it."""
    names = [n for n in view.used if view.sort(n) not in (NameSort.VOLTAGE, NameSort.OTHER)]
    found: dict[Expr, None] = dict.fromkeys(map(Symbol, names))
    sorts = view.sorts(place.expr)
    if sorts == {NameSort.RESISTANCE} and isinstance(place.parent, Sum) and not place.is_outer:
        found.update(dict.fromkeys(map(Symbol, view.named(NameSort.RESISTANCE))))
        found.update(dict.fromkeys(view.brackets))
        if any(NameSort.SOURCE in view.sorts(term) for term in place.parent.terms):
            found.update(dict.fromkeys(map(Symbol, view.named(NameSort.SOURCE))))
    elif sorts == {NameSort.CURRENT}:
        found.update(dict.fromkeys((*parts.resistances, *map(Symbol, view.own_resistances))))
    elif NameSort.CURRENT not in sorts and NameSort.SOURCE not in sorts:
        found.update(dict.fromkeys(map(Symbol, view.currents)))
    return found


def _factor_taken(place: LinePlace, own: tuple[Expr, ...], factor: Expr) -> Iterator[Edit]:
    rest = list(own)
    rest.remove(factor)
    if rest:
        new = signed(times(*rest), place.expr)
        yield _other("resistance-squared" if factor in rest else "factor-extra", place, new)
        yield _other("wrong-divisor", place, signed(over(times(*rest), factor), place.expr))


def _squared(place: LinePlace, factor: Expr) -> Edit:
    """A factor of a term with its square in its place."""
    body = body_of(place.expr)
    inside = (0,) if isinstance(place.expr, Negative) else ()
    at = (body.factors.index(factor),) if isinstance(body, Product) else ()
    new = Power(factor, 2)
    return Edit("factor-missing", (*place.path, *inside, *at), new, Change.OTHER, factor, new)


def _may_stand_twice(view: LineView, factor: Expr) -> bool:
    """Whether a current may stand squared: where a power is written."""
    powers = any(view.is_power(Symbol(name)) for name in view.used)
    return powers and isinstance(factor, Symbol) and view.sort(factor.name) is NameSort.CURRENT


def _square_in_product(view: LineView, place: LinePlace, product: Product) -> Iterator[Edit]:
    """A resistance that stands twice in one product, where the product is no term."""
    if place.is_term or isinstance(place.parent, Negative):
        return
    for factor in set(names_of_factors(product)):
        if list(product.factors).count(Symbol(factor)) > 1:
            rest = list(product.factors)
            rest.remove(Symbol(factor))
            yield _other("resistance-squared", place, times(*rest))


# -- fractions ---------------------------------------------------------------------------------------


def _fraction(view: LineView, place: LinePlace, quotient: Quotient) -> Iterator[Edit]:
    above, below = quotient.above, quotient.below
    if not isinstance(above, Number):
        yield _other("fraction-inverted", place, over(below, above))
    kept = [f for f in factors_of(above) if view.current_in(f)]
    rest = [f for f in factors_of(above) if not view.current_in(f)]
    if kept and rest:  # I (R1 + R2)/R1, turned round but for the current
        yield _other("fraction-inverted", place, over(times(*kept, below), times(*rest)))
    unknown = isinstance(above, Symbol) and view.sort(above.name) in (NameSort.CURRENT, NameSort.VOLTAGE)
    if unknown and isinstance(below, Number):  # I4/2 for 2 I4, once 24 I4 = 12 I5
        yield _other("fraction-inverted", place, times(below, above), -0.2)
    else:
        yield _other("wrong-divisor", place, times(above, below))
    total = below.terms if isinstance(below, Sum) else ()
    product = factors_of(above)
    if isinstance(above, Product) and set(product) == set(total):
        entry = "product-over-sum" if len(total) > 2 else "false-parallel"
        yield _other(entry, place, Parallel(total) if len(total) > 2 else below)
    if isinstance(below, Number) and below.value == 2 and view.current_in(above):
        for one, other in combinations(view.named(NameSort.RESISTANCE), 2):
            for own in (one, other):
                shared = Quotient(times(above, Symbol(own)), Sum((Symbol(one), Symbol(other))))
                yield _other("equal-split", place, shared)
    if above == ONE and total and all(_is_reciprocal(term) for term in total):
        yield _other("false-parallel", place, add(*(t.below for t in total if isinstance(t, Quotient))))
    yield from _cancelled(view, place, above, below)


def _cancelled(view: LineView, place: LinePlace, above: Expr, below: Expr) -> Iterator[Edit]:
    """One term above the line and one below, each given back a factor that may have been cancelled in them
    alone."""
    if not isinstance(above, Sum) and not isinstance(below, Sum):
        return
    tops = above.terms if isinstance(above, Sum) else (above,)
    bottoms = below.terms if isinstance(below, Sum) else (below,)
    for name in view.named(NameSort.RESISTANCE):
        factor = Symbol(name)
        for i, top in enumerate(tops):
            for j, bottom in enumerate(bottoms):
                if factor in factors_of(top) or factor in factors_of(bottom):
                    continue
                new = over(_with_scaled(tops, i, factor), _with_scaled(bottoms, j, factor))
                yield _other("cancelled-across-sum", place, new)


def _with_scaled(terms: tuple[Expr, ...], index: int, factor: Expr) -> Expr:
    return add(*(_scaled(t, factor) if i == index else t for i, t in enumerate(terms)))


def _order_of_operations(place: LinePlace, total: Sum) -> Iterator[Edit]:
    """a/b + c where a/(b + c) is meant."""
    terms = total.terms
    for i, term in enumerate(terms[:-1]):
        body = body_of(term)
        if not isinstance(body, Quotient):
            continue
        for end in range(i + 2, len(terms) + 1):
            taken = [negate(t) if isinstance(term, Negative) else t for t in terms[i + 1 : end]]
            meant = signed(Quotient(body.above, add(body.below, *taken)), term)
            new = add(*terms[:i], meant, *terms[end:])
            yield Edit("calculator-order", place.path, new, Change.OTHER, total, new, 0.05 * (end - i - 2))


# -- series and parallel -----------------------------------------------------------------------------


def _series_for_parallel(view: LineView, place: LinePlace, total: Sum) -> Iterator[Edit]:
    turned = [t for t in total.terms if _is_reciprocal(t)]
    if len(turned) > 1:
        rest = [t for t in total.terms if t not in turned]
        yield _other("reciprocal-left", place, add(*rest, Quotient(ONE, add(*turned))))
        return
    over_it = place.parent.above if isinstance(place.parent, Quotient) else None
    if isinstance(over_it, Product) and set(over_it.factors) == set(total.terms):
        return  # product over sum is parallel already
    in_numbers = all(isinstance(t, Number) for t in total.terms)
    if any(len(factors_of(t)) > 1 or isinstance(t, Negative) for t in total.terms):
        return
    if view.sorts(total) != {NameSort.RESISTANCE} and not in_numbers:
        return
    count = len(total.terms)
    for size in range(2, count + 1):
        for chosen in combinations(range(count), size):
            rest = [t for i, t in enumerate(total.terms) if i not in chosen]
            side = Parallel(tuple(total.terms[i] for i in chosen))
            yield _other("parallel-added", place, add(*rest, side), 0.05 * (count - size))
    if count > 2:
        yield from _in_groups(place, total)


def _in_groups(place: LinePlace, total: Sum) -> Iterator[Edit]:
    """Resistances added of which some in series lie beside others: (R1 + R4) ∥ R3, as they are written in a
    row."""
    terms = total.terms
    for parts in range(2, len(terms)) if len(terms) <= MOST_IN_SERIES else ():
        for cuts in combinations(range(1, len(terms)), parts - 1):
            ends = zip((0, *cuts), (*cuts, len(terms)), strict=True)
            side = Parallel(tuple(add(*terms[first:last]) for first, last in ends))
            yield _other("parallel-added", place, side, 0.1)


def _is_reciprocal(term: Expr) -> bool:
    return isinstance(term, Quotient) and isinstance(term.above, Number)


def _false_series(view: LineView, place: LinePlace, product: Product) -> Iterator[Edit]:
    """I (R1 + R2) where the two resistances carry different currents."""
    total = next((f for f in product.factors if isinstance(f, Sum)), None)
    symbols = (f for f in product.factors if isinstance(f, Symbol))
    current = next((f for f in symbols if view.sort(f.name) is NameSort.CURRENT), None)
    if total is None or current is None or view.sorts(total) != {NameSort.RESISTANCE} or place.line():
        return
    rest = [f for f in product.factors if f is not total and f is not current]
    for i, own in enumerate(total.terms):
        first = times(*rest, current, add(*(t for j, t in enumerate(total.terms) if j != i)))
        for name, carrier in view.carriers.items():
            if carrier == current or name == current.name:
                continue
            if isinstance(carrier, Sum) and current in map(body_of, carrier.terms):
                continue  # the current of the other loop is what is missing there
            for other in (carrier, negate(carrier)):
                yield _other("false-series", place, add(first, times(*rest, other, own)))
