"""Changes of signs, names and terms: what goes wrong when a law is written down."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from functools import cached_property
from itertools import combinations, combinations_with_replacement

from ..circuit.elements import Element, Kind
from ..expressions.nodes import (
    ZERO,
    Expr,
    Negative,
    Number,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    numbers_in,
    times,
)
from ..laws.equations import drop
from .edits import Change, Edit, body_of, factors_of, names_of_factors, signed
from .line_view import LineView, Shape, Sort, monomials
from .spots import Spot
from .trial_values import Trial

MOST_PRODUCTS = 80


def sign_edits(view: LineView) -> Iterator[Edit]:
    """Every term with its sign turned."""
    for spot in view.spots:
        if not spot.is_term or spot.expr == ZERO or _is_subject(view, spot):
            continue
        if isinstance(spot.expr, Sum) and not _lone_voltage(view, spot):
            continue
        turned = _turned(spot.expr)
        yield Edit(_sign_entry(view, spot), spot.path, turned, Change.SIGN, spot.expr, turned)


def _turned(expr: Expr) -> Expr:
    return add(*map(negate, expr.terms)) if isinstance(expr, Sum) else negate(expr)


def _lone_voltage(view: LineView, spot: Spot) -> bool:
    other = view.equation.right if spot.path == (0,) else view.equation.left
    return spot.parent is None and isinstance(other, Symbol) and view.sort(other.name) is Sort.VOLTAGE


def _sign_entry(view: LineView, spot: Spot) -> str:
    if not spot.is_outer:
        return _inner_sign_entry(view, spot)
    if view.shape is Shape.JUNCTION:
        return "junction-sign"
    other = view.equation.right if spot.path[0] == 0 else view.equation.left
    if spot.parent is None and isinstance(other, Symbol) and view.sort(other.name) is Sort.VOLTAGE:
        return "voltage-order"
    sort = view.term_sort(body_of(spot.expr))
    if spot.parent is None and (view.shape is Shape.RESULT or isinstance(body_of(spot.expr), Quotient)):
        return "minus-dropped"
    if sort is Sort.CURRENT:
        if _splits_bracket(view, spot):
            return "minus-bracket"
        voltage = any(view.sort(name) is Sort.VOLTAGE for name in view.used)
        return "charging-voltage" if voltage and names_of_factors(spot.expr) & view.insides else "drop-sign"
    return {Sort.SOURCE: "source-sign", Sort.VOLTAGE: "voltage-order"}.get(sort, "moved-sign")


def _inner_sign_entry(view: LineView, spot: Spot) -> str:
    line, sorts = spot.line(), view.sorts(spot.expr)
    siblings = spot.parent.terms if isinstance(spot.parent, Sum) else ()
    if all(view.sorts(t) == {Sort.CURRENT} and isinstance(body_of(t), Symbol) for t in siblings):
        used = {n for t in siblings for n in names_of_factors(t)}
        return "mesh-sum" if used and view.has_loop_currents else "junction-sign"
    if line < 0:
        return "denominator-sign"
    if any(Sort.CURRENT in view.sorts(t) for t in siblings):
        return "moved-sign"
    if sorts == {Sort.SOURCE} and line == 0:
        return "source-sign"
    return "numerator-sign"


def _splits_bracket(view: LineView, spot: Spot) -> bool:
    """Whether the term and the one before it look like −(I1 + I2) R with the minus on I1 R alone."""
    siblings = spot.parent.terms if isinstance(spot.parent, Sum) else ()
    index = spot.path[-1]
    if not siblings or not index or isinstance(spot.expr, Negative):
        return False
    before = siblings[index - 1]
    shared = names_of_factors(before) & names_of_factors(spot.expr)
    return (
        isinstance(before, Negative)
        and any(view.sort(name) is Sort.RESISTANCE for name in shared)
        and bool(view.current_in(before))
        and view.current_in(before) not in ("", view.current_in(spot.expr))
    )


def name_edits(view: LineView) -> Iterator[Edit]:
    """Every name with another of its sort in its place, and every value with that of another element."""
    elements = view.circuit.elements.values()
    values = tuple(dict.fromkeys(e.value for e in elements if e.kind is Kind.RESISTOR))
    composed = any(not isinstance(value, Symbol) for value in values)
    for spot in view.spots:
        if composed and spot.expr in values:
            for value in values:
                if value != spot.expr and not (isinstance(value, Symbol) and isinstance(spot.expr, Symbol)):
                    yield Edit("subscript", spot.path, value, Change.OTHER, spot.expr, value)
        if not isinstance(spot.expr, Symbol):
            continue
        sort = view.sort(spot.expr.name)
        if sort not in (Sort.CURRENT, Sort.RESISTANCE, Sort.SOURCE) or _is_subject(view, spot):
            continue
        drops = sort is Sort.CURRENT and not (view.shape is Shape.JUNCTION and _stands_bare(spot))
        entry = "wrong-current" if drops else "divider-inverted" if _in_divider(view, spot) else "subscript"
        for name in view.named(sort):
            if name == spot.expr.name:
                continue
            other = Symbol(name)
            yield Edit(entry, spot.path, other, Change.OTHER, spot.expr, other)
            if drops:
                yield Edit(entry, spot.path, Negative(other), Change.OTHER, spot.expr, Negative(other), 0.35)


def _is_subject(view: LineView, spot: Spot) -> bool:
    """Whether it is the name that a result is for, or a voltage that a side is for."""
    if spot.parent is not None or not isinstance(spot.expr, Symbol):
        return False
    return view.shape is Shape.RESULT or view.sort(spot.expr.name) is Sort.VOLTAGE


def _stands_bare(spot: Spot) -> bool:
    return all(isinstance(e, Sum | Negative) for e in spot.within)


def _in_divider(view: LineView, spot: Spot) -> bool:
    """Whether a resistance stands above a line as in I R1/(R1 + R2)."""
    if spot.line() <= 0 or view.sorts(spot.expr) != {Sort.RESISTANCE}:
        return False
    quotient = next(e for e in reversed(spot.within) if isinstance(e, Quotient))
    others = names_of_factors(quotient.above)
    return isinstance(quotient.below, Sum) and any(view.sort(n) is Sort.CURRENT for n in others)


class Parts:
    """What the terms of a law of the circuit look like in the style of a line."""

    def __init__(self, view: LineView, trial: Trial) -> None:
        self.view, self.trial = view, trial
        symbols = [n for n in view.used if view.sort(n) in (Sort.SOURCE, Sort.RESISTANCE)]
        self.in_numbers = bool(trial.numbers) and not symbols
        self.with_units = any(number.unit for number in numbers_in(view.equation))

    def _value(self, expr: Expr, unit: str) -> Expr:
        if not self.in_numbers:
            return expr
        circuit = self.view.circuit
        value = _number_of(expr, circuit.numbers)
        if unit == "Ω" and self.trial.thousands and not self.with_units:
            value = value / 1000
        return Number(value, unit if self.with_units else "")

    @cached_property
    def sources(self) -> tuple[Expr, ...]:
        """The emf of every battery, each once."""
        found = (e for e in self._met() if e.kind is Kind.BATTERY)
        return tuple(dict.fromkeys(self._value(e.value, "V") for e in found))

    @cached_property
    def drops(self) -> tuple[tuple[str, Expr], ...]:
        """The drop across every resistor and inside every battery, with the slip of leaving it out."""
        found: dict[Expr, str] = {}
        for b in self.view.circuit.branches:
            carrier = self.view.carriers.get(b.name)
            for p in b.passes:
                e = self.view.circuit.elements[p.element]
                if carrier is not None and e.kind is Kind.RESISTOR:
                    found.setdefault(_drop(carrier, self._value(e.value, "Ω")), "drop-missing")
                if carrier is not None and e.inside is not None:
                    found.setdefault(_drop(carrier, self._value(e.inside, "Ω")), "inside-forgotten")
        return tuple((entry, expr) for expr, entry in found.items())

    def _met(self) -> list[Element]:
        circuit = self.view.circuit
        return [circuit.elements[p.element] for b in circuit.branches for p in b.passes]


def _number_of(expr: Expr, numbers: Mapping[str, Fraction]) -> Fraction:
    terms = monomials(expr) or {}
    total = Fraction(0)
    for key, value in terms.items():
        for name in key:
            value = value * numbers.get(name, Fraction(1))
        total += value
    return total


def _drop(carrier: Expr, resistance: Expr) -> Expr:
    if isinstance(carrier, Symbol):
        return (
            times(resistance, carrier) if isinstance(resistance, Number) else drop(carrier.name, resistance)
        )
    if isinstance(carrier, Negative) and isinstance(carrier.body, Symbol):
        return negate(_drop(carrier.body, resistance))
    return times(carrier, resistance)


def missing_edits(view: LineView, trial: Trial) -> Iterator[Edit]:
    """A source, a drop or a current put into a line that lacks it."""
    if view.shape is Shape.JUNCTION:
        for carrier in view.carriers.values():
            yield from _put_in(view, "branch-missing", carrier)
    parts = Parts(view, trial)
    if view.shape is Shape.LOOP or any(view.term_sort(s.expr) is Sort.VOLTAGE for s in view.outer_terms):
        for source in parts.sources:
            yield from _put_in(view, "source-missing", source)
        for entry, each in parts.drops:
            yield from _put_in(view, entry, each)
    for spot in view.spots:
        if spot.parent is not None and (isinstance(spot.expr, Sum) or isinstance(spot.parent, Quotient)):
            yield from _missing_inside(view, spot, spot.expr)
        if isinstance(spot.expr, Symbol | Product) and view.sorts(spot.expr) == {Sort.RESISTANCE}:
            yield from _missing_beside(view, spot)


def _put_in(view: LineView, entry: str, term: Expr) -> Iterator[Edit]:
    """A term put into a side, unless it stands in the line already."""
    if any(_bare(term) == _bare(spot.expr) for spot in view.outer_terms):
        return
    for turned in (False, True):
        wanted = negate(term) if turned else term
        side, kept = _side_for(view, wanted)
        whole = view.equation.left if side == 0 else view.equation.right
        yield Edit(entry, (side,), add(whole, kept), Change.MISSING, kept, kept)


def _bare(term: Expr) -> set[Expr]:
    """The factors of a term; without counting numbers where it holds names."""
    factors = set(factors_of(term))
    return {f for f in factors if not isinstance(f, Number)} or factors


def _side_for(view: LineView, wanted: Expr) -> tuple[int, Expr]:
    """On which side a term of left minus right is written: where it stands without a minus, if both
    sides hold something."""
    left, right = view.equation.left, view.equation.right
    if right == ZERO or (left != ZERO and not isinstance(wanted, Negative)):
        return 0, wanted
    if left == ZERO or isinstance(wanted, Negative):
        return 1, negate(wanted)
    return 0, wanted


def _missing_inside(view: LineView, spot: Spot, total: Expr) -> Iterator[Edit]:
    """A term put into a bracket: products like those that stand there."""
    known = monomials(total)
    if not known:
        return
    sorts = [[view.sort(name) for name in key] for key in known]
    degree = len(sorts[0])
    if any(len(s) != degree for s in sorts) or not degree:
        return
    resistances = view.named(Sort.RESISTANCE)
    if all(s == Sort.CURRENT for row in sorts for s in row) and degree == 1:
        for carrier in view.carriers.values():
            for term in (carrier, negate(carrier)):
                yield Edit("branch-missing", spot.path, add(total, term), Change.MISSING, term, term)
    elif all(s == Sort.RESISTANCE for row in sorts for s in row):
        for term in _products(resistances, degree, set(known)):
            entry = "denominator-term" if spot.line() <= 0 else "term-missing"
            if degree == 1:
                entry = "inside-forgotten" if names_of_factors(term) & view.insides else "drop-missing"
            yield Edit(entry, spot.path, add(total, term), Change.MISSING, term, term)
    elif all(row.count(Sort.SOURCE) == 1 and Sort.CURRENT not in row for row in sorts):
        for source in view.named(Sort.SOURCE):
            products = _products(resistances, degree - 1, set())
            if degree == 2:  # one more bracket: E (R1 + R2)
                products += [Sum((Symbol(a), Symbol(b))) for a, b in combinations(resistances, 2)]
            for product in products:
                term = times(Symbol(source), product)
                if tuple(sorted((source, *names_of_factors(product)))) in known:
                    continue
                for wanted in (term, negate(term)):
                    yield Edit("term-missing", spot.path, add(total, wanted), Change.MISSING, wanted, wanted)


def _products(names: tuple[str, ...], degree: int, known: set[tuple[str, ...]]) -> list[Expr]:
    choose = combinations if len(names) > degree else combinations_with_replacement
    found: list[Expr] = []
    for chosen in choose(names, degree):
        if tuple(sorted(chosen)) not in known:
            found.append(times(*(Symbol(name) for name in chosen)))
        if len(found) == MOST_PRODUCTS:
            break
    return found


def _missing_beside(view: LineView, spot: Spot) -> Iterator[Edit]:
    """A resistance that should be the sum of two: an inside one forgotten, or another below a line."""
    below = isinstance(spot.parent, Quotient) and spot.path[-1] == 1
    for name in view.named(Sort.RESISTANCE):
        inside = name in view.insides
        if Symbol(name) == spot.expr or not (below or (inside and isinstance(spot.expr, Symbol))):
            continue
        entry = "inside-forgotten" if inside else "drop-missing"
        yield Edit(
            entry, spot.path, Sum((spot.expr, Symbol(name))), Change.MISSING, spot.expr, Symbol(name), 0.1
        )


def extra_edits(view: LineView) -> Iterator[Edit]:
    """A term taken out, counted twice, or counted once less."""
    for spot in view.spots:
        if not spot.is_term or spot.expr == ZERO or isinstance(spot.expr, Sum):
            continue
        if isinstance(spot.parent, Sum):
            yield Edit("term-extra", spot.path, ZERO, Change.EXTRA, spot.expr, ZERO)
        factors = factors_of(spot.expr)
        two = next((f for f in factors if isinstance(f, Number) and f.value == 2 and not f.unit), None)
        if two is not None and len(factors) > 1:
            new = signed(times(*(f for f in factors if f is not two)), spot.expr)
            yield Edit("term-twice", spot.path, new, Change.OTHER, spot.expr, new)
        elif isinstance(spot.parent, Sum) or len(factors) > 1:
            new = signed(times(Number(Fraction(2)), body_of(spot.expr)), spot.expr)
            yield Edit("shared-once", spot.path, new, Change.OTHER, spot.expr, new)
