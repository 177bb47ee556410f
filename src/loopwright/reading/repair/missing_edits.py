"""Terms that a line lacks: a source, a drop or a current left out, or a part of a bracket.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from functools import cached_property
from itertools import combinations, combinations_with_replacement

from ...circuit.elements import Branch, Element, Kind
from ...expressions.nodes import (
    ONE,
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
    over,
    parts_of,
    times,
)
from ...expressions.values import symbols_of
from ...laws.equations import drop
from ..truth.dimensions import thousands
from .edits import Change, Edit, body_of, factors_of, names_of_factors, signed
from .idea_values import emf_of, resistance_of
from .law_terms import monomials
from .line_view import LineShape, LineView, NameSort
from .places import LinePlace
from .trial_values import Trial

MOST_PRODUCTS = 80
MOST_LEFT_OUT = 2  # resistances on the way of one current
REST_OF_THE_WAY = -0.3  # how much likelier these are missing than a drop of which nothing stands there
OF_A_LINE_ABOVE = -0.6  # how much likelier what a line above adds up is missing where that is put in
A_WHOLE = -0.4  # how much likelier a one is missing beside ratios: I (R4/R1 + R4/R2) of a current by itself
A_POTENTIAL = -0.6  # how much likelier a potential is missing where the working speaks of potentials


class TermsInStyle:
    """The terms that the laws of the circuit would have in the style of one line: its names for currents,
    and symbols or numbers as it has them."""

    def __init__(self, view: LineView, trial: Trial) -> None:
        self.view, self.trial = view, trial
        symbols = [n for n in view.used if view.sort(n) in (NameSort.SOURCE, NameSort.RESISTANCE)]
        self.in_numbers = bool(trial.numbers) and not symbols
        self.with_units = any(number.unit for number in numbers_in(view.equation))

    def value(self, expr: Expr, unit: str) -> Expr:
        """The value of an element as the line would have it: by its symbol, or as a number."""
        if not self.in_numbers:
            return expr
        circuit = self.view.circuit
        value = _number_of(expr, circuit.numbers)
        if self.trial.thousands and not self.with_units:
            value = value * thousands(unit)
        return Number(value, unit if self.with_units else "")

    def each(self, total: Expr, unit: str) -> Expr:
        """A sum of such values, each as the line would have it."""
        terms = total.terms if isinstance(total, Sum) else (total,)
        return add(*(signed(self.value(body_of(term), unit), term) for term in terms))

    @cached_property
    def resistances(self) -> tuple[Expr, ...]:
        """The value of every resistor and every internal resistance, each once."""
        elements = list(self._met())
        values = [e.value for e in elements if e.kind is Kind.RESISTOR]
        values += [e.internal for e in elements if e.internal is not None]
        return tuple(dict.fromkeys(self.value(value, "Ω") for value in values))

    @cached_property
    def sources(self) -> tuple[Expr, ...]:
        """The emf of every battery, each once."""
        found = (e for e in self._met() if e.kind is Kind.BATTERY)
        return tuple(dict.fromkeys(self.value(e.value, "V") for e in found))

    @cached_property
    def drops(self) -> tuple[tuple[str, Expr], ...]:
        """The drop across every resistor and every internal resistance, with the slip of leaving it out."""
        found: dict[Expr, str] = {}
        shared: dict[Expr, str] = {}
        for b in self.view.circuit.branches:
            carrier = self.view.carriers.get(b.name)
            for p in b.passes:
                e = self.view.circuit.elements[p.element]
                if carrier is not None and e.kind is Kind.RESISTOR:
                    found.setdefault(_drop(carrier, self.value(e.value, "Ω")), "drop-missing")
                    for part in carrier.terms if isinstance(carrier, Sum) else ():
                        shared.setdefault(_drop(part, self.value(e.value, "Ω")), "drop-missing")
                if carrier is not None and e.internal is not None:
                    found.setdefault(_drop(carrier, self.value(e.internal, "Ω")), "inside-forgotten")
        if self.view.has_loop_currents or self.view.round_loops:
            for j, r in self._through_sources():
                shared.setdefault(_drop(j, r), "drop-missing")
        for name, own in self._round_loops().items():
            shared.setdefault(times(add(*own), Symbol(name)), "drop-missing")
        return tuple((entry, expr) for expr, entry in {**shared, **found}.items())

    def _through_sources(self) -> Iterator[tuple[Expr, Expr]]:
        """Each current of a source with each resistance, in letters: it may go round a loop of its own."""
        if self.in_numbers:
            return
        for e in self._met():
            if e.kind is Kind.CURRENT_SOURCE:
                yield from ((e.value, r) for r in self.resistances)

    def _round_loops(self) -> dict[str, list[Expr]]:
        """For each current round a loop the resistances that it passes: (R1 + R3) J1."""
        found: dict[str, list[Expr]] = {}
        for b in self.view.circuit.branches:
            carrier = self.view.carriers.get(b.name)
            met = [self.view.circuit.elements[p.element] for p in b.passes]
            ohms = [self.value(e.value, "Ω") for e in met if e.kind is Kind.RESISTOR]
            for name in symbols_of(carrier) if carrier is not None else ():
                found.setdefault(name, []).extend(ohms)
        return found if self.view.has_loop_currents else {}

    def passed_by(self, name: str) -> list[tuple[bool, Fraction]]:
        """The resistances that a current passes, each as the line would write it, and whether it is inside a
        battery."""
        found: list[tuple[bool, Fraction]] = []
        for b in self.view.circuit.branches:
            carrier = self.view.carriers.get(b.name)
            if carrier is None or name not in symbols_of(carrier):
                continue
            for e in (self.view.circuit.elements[p.element] for p in b.passes):
                own = [(False, e.value)] if e.kind is Kind.RESISTOR else []
                own += [(True, e.internal)] if e.internal is not None else []
                values = ((inside, self.value(value, "Ω")) for inside, value in own)
                found += [(inside, v.value) for inside, v in values if isinstance(v, Number)]
        return found

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


def missing_edits(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A source, a drop or a current put into a line that lacks it."""
    if view.shape is LineShape.JUNCTION:
        for carrier in view.carriers.values():
            yield from _put_in(view, "branch-missing", carrier)
        for name in view.currents if view.has_loop_currents else ():
            if Symbol(name) not in view.carriers.values():
                yield from _put_in(view, "term-missing", Symbol(name))
    else:
        for name in _beside_above(view):
            for edit in _put_in(view, "term-missing", Symbol(name)):
                yield replace(edit, extra=OF_A_LINE_ABOVE)
    for divisor in view.divisors:
        stands = [s.expr for s in view.places if isinstance(s.expr, Quotient) and s.expr.below == divisor]
        for source in parts.sources:
            if not any(
                source == e or source in parts_of(e) for q in stands for e in (q.above, *parts_of(q.above))
            ):
                yield from _put_in(view, "source-missing", over(source, divisor))
        for entry, each in parts.drops:
            if not view.is_subject(view.current_in(each)):
                yield from _put_in(view, entry, over(each, divisor))
    if view.shape is LineShape.LOOP or any(
        view.term_sort(s.expr) is NameSort.VOLTAGE for s in view.outer_terms
    ):
        for source in parts.sources:
            yield from _put_in(view, "source-missing", source)
        for entry, each in parts.drops:
            yield from _put_in(view, entry, each)
        yield from _rest_of_the_way(view, parts)
    if view.levels:
        yield from _of_potentials(view, parts)
        yield from _conductance_missing(view, parts)
    yield from missing_in_series(view, parts)
    for place in view.places:
        if place.parent is not None and (isinstance(place.expr, Sum) or isinstance(place.parent, Quotient)):
            yield from _missing_inside(view, place, place.expr)
        if isinstance(place.expr, Symbol | Product | Quotient | Parallel) and view.sorts(place.expr) == {
            NameSort.RESISTANCE
        }:
            yield from _missing_beside(view, place)
        is_divisor = isinstance(place.parent, Quotient) and place.path[-1] == 1
        if parts.in_numbers and is_divisor and place.expr in parts.resistances:
            for wanted in parts.resistances:
                if wanted != place.expr:
                    new = Sum((place.expr, wanted))
                    yield Edit("drop-missing", place.path, new, Change.MISSING, place.expr, wanted, -0.3)


def _rest_of_the_way(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A drop in numbers that leaves out some of what its current passes: 1.5 I3 for (1.5 + 0.5) I3."""
    if not parts.in_numbers:
        return
    for place in view.outer_terms:
        factors = factors_of(place.expr)
        if len(factors) != 2 or not isinstance(factors[0], Number) or not isinstance(factors[1], Symbol):
            continue
        passed = parts.passed_by(factors[1].name)
        whole = sum((value for _, value in passed), Fraction(0))
        for size in range(1, min(len(passed), MOST_LEFT_OUT + 1)):
            for gone in combinations(passed, size):
                lacking = sum((value for _, value in gone), Fraction(0))
                if whole - lacking != factors[0].value:
                    continue
                inside = all(internal for internal, _ in gone)
                unit = factors[0].unit
                new = signed(times(Number(whole, unit), factors[1]), place.expr)
                wanted = signed(times(Number(lacking, unit), factors[1]), place.expr)
                entry = "inside-forgotten" if inside else "drop-missing"
                yield Edit(entry, place.path, new, Change.MISSING, wanted, wanted, REST_OF_THE_WAY)


def _conductance_missing(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A potential times conductances in numbers, with that of one more branch: 1.2 V for 1.0 V."""
    for place in view.outer_terms if parts.in_numbers else ():
        factors = factors_of(place.expr)
        if len(factors) != 2 or not isinstance(factors[0], Number) or not isinstance(factors[1], Symbol):
            continue
        if view.sort(factors[1].name) is not NameSort.VOLTAGE:
            continue
        for ohms in parts.resistances:
            if isinstance(ohms, Number) and ohms.value and 1 / ohms.value < factors[0].value:
                more = times(Number(1 / ohms.value), factors[1])
                new = times(Number(factors[0].value + 1 / ohms.value), factors[1])
                wanted = signed(more, place.expr)
                yield Edit(
                    "branch-missing",
                    place.path,
                    signed(new, place.expr),
                    Change.MISSING,
                    wanted,
                    wanted,
                    -0.3,
                )


def _met(view: LineView, branch: Branch) -> list[tuple[Element, int]]:
    return [(view.circuit.elements[p.element], p.sign) for p in branch.passes]


def missing_in_series(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """A resistance left out of those in series that a name of the working's own stands for."""
    inside = {parts.value(Symbol(name), "Ω") for name in view.internal_resistances}
    sides = (view.equation.left, view.equation.right)
    for at, (name, given) in enumerate((sides, sides[::-1])):
        terms = given.terms if isinstance(given, Sum) else (given,)
        plain = all(isinstance(term, Symbol | Number) for term in terms)
        if not plain or not isinstance(name, Symbol) or name.name not in view.own_resistances:
            continue
        own = () if parts.in_numbers else tuple(map(Symbol, view.own_resistances))
        for wanted in (*parts.resistances, *own):
            if wanted not in (name, *terms):
                entry = "inside-forgotten" if wanted in inside else "term-missing"
                yield Edit(entry, (1 - at,), add(given, wanted), Change.MISSING, wanted, wanted)


def _of_potentials(view: LineView, parts: TermsInStyle) -> Iterator[Edit]:
    """What a branch carries by the potentials at its ends, put into a junction equation that lacks it; a
    source or a potential put above a line where one is missing."""
    if view.is_junction_of_potentials:
        for b in view.circuit.branches:
            by_potentials, by_source = _by_potentials(view, parts, b), _by_its_source(view, parts, b)
            for entry, term in (("branch-missing", by_potentials), ("source-missing", by_source)):
                stands = term is None or body_of(term) in [body_of(place.expr) for place in view.outer_terms]
                for wanted in () if term is None or stands else (term, negate(term)):
                    side, kept = _side_for(view, wanted)
                    whole = view.equation.left if side == 0 else view.equation.right
                    yield Edit(entry, (side,), add(whole, kept), Change.MISSING, kept, kept)
    for place in view.places:
        if not isinstance(place.parent, Quotient) or place.path[-1] != 0:
            continue
        sorts = view.sorts(place.expr)
        if not sorts <= {NameSort.VOLTAGE, NameSort.SOURCE} or not view.sorts(place.parent.below) <= {
            NameSort.RESISTANCE
        }:
            continue
        here = place.expr.terms if isinstance(place.expr, Sum) else (place.expr,)
        bodies = [body_of(term) for term in here]
        met = {n for item in (view.equation, *view.above) for n in symbols_of(item)}
        levels = [e for e in view.levels.values() if isinstance(e, Symbol) and e.name in met]
        missing = [("source-missing", e) for e in parts.sources]
        missing += [("term-missing", e) for e in levels if view.levels]
        for entry, term in missing:
            if term not in bodies:
                for wanted in (term, negate(term)):
                    new = add(place.expr, wanted)
                    extra = A_POTENTIAL if entry == "term-missing" else 0.0
                    yield Edit(entry, place.path, new, Change.MISSING, wanted, wanted, extra)


def _by_potentials(view: LineView, parts: TermsInStyle, branch: Branch) -> Expr | None:
    """What a branch carries along its arrow, `(Va − Vb + E)/R`, in the style of the line; None where a
    potential has no name, or the branch holds more than resistors and batteries."""
    start, end = view.levels.get(branch.start), view.levels.get(branch.end)
    kinds = {view.circuit.elements[p.element].kind for p in branch.passes}
    ohms = resistance_of(view.circuit, branch)
    if start is None or end is None or ohms == ZERO or not kinds <= {Kind.RESISTOR, Kind.BATTERY}:
        return None
    over_it = [e for e in (start, negate(end) if end != ZERO else ZERO) if e != ZERO]
    return over(add(*over_it, parts.each(emf_of(view.circuit, branch), "V")), parts.each(ohms, "Ω"))


def _by_its_source(view: LineView, parts: TermsInStyle, branch: Branch) -> Expr | None:
    """What a branch carries along its arrow that holds a current source; None for any other."""
    for p in branch.passes:
        element = view.circuit.elements[p.element]
        if element.kind is Kind.CURRENT_SOURCE:
            value = parts.value(element.value, "A")
            return value if p.sign > 0 else negate(value)
    return None


def _beside_above(view: LineView) -> Iterator[str]:
    """The currents that a line above adds up for the name that a line gives: I2 = 3 I4 - 9 + 1.2 I4 after
    I2 = I1 + I3 + I4."""
    name = view.equation.left
    for line in view.above if isinstance(name, Symbol) and name.name in view.currents else ():
        if line.left == name and isinstance(line.right, Sum):
            held = [body_of(term) for term in line.right.terms]
            yield from (t.name for t in held if isinstance(t, Symbol) and t.name in view.currents)


def _put_in(view: LineView, entry: str, term: Expr) -> Iterator[Edit]:
    """A term put into a side, unless it stands in the line already."""
    if any(_bare(term) == _bare(place.expr) for place in view.outer_terms):
        return
    if _is_number_times(term) and any(_alike(term, place.expr) for place in view.outer_terms):
        return
    for turned in (False, True):
        wanted = negate(term) if turned else term
        side, kept = _side_for(view, wanted)
        whole = view.equation.left if side == 0 else view.equation.right
        yield Edit(entry, (side,), add(whole, kept), Change.MISSING, kept, kept)


def _is_number_times(term: Expr) -> bool:
    body = term.body if isinstance(term, Negative) else term
    return isinstance(body, Product) and isinstance(body.factors[0], Number)


def _alike(one: Expr, other: Expr) -> bool:
    """Whether two terms are numbers times the same: nobody writes 8 I − 4 I for what is left out."""
    return _is_number_times(other) and factors_of(one)[1:] == factors_of(other)[1:]


def _bare(term: Expr) -> set[Expr]:
    """The factors of a term as a set, without the 2 of a term counted twice."""
    factors = set(factors_of(term))
    return factors - {Number(Fraction(2))} or factors


def _side_for(view: LineView, wanted: Expr) -> tuple[int, Expr]:
    """Where a term of left minus right is put: the side (0 left, 1 right), and the term as it is written
    there. In a result that is the side which is no lone name, elsewhere the side on which the term needs no
    minus."""
    left, right = view.equation.left, view.equation.right
    if view.shape is LineShape.RESULT and isinstance(left, Symbol) != isinstance(right, Symbol):
        return (1, negate(wanted)) if isinstance(left, Symbol) else (0, wanted)
    own = set(view.circuit.currents)
    if isinstance(left, Symbol) and left.name in own and not own & set(symbols_of(right)):
        return 1, negate(wanted)  # what a branch carries, in currents round loops
    if right == ZERO or (left != ZERO and not isinstance(wanted, Negative)):
        return 0, wanted
    if left == ZERO or isinstance(wanted, Negative):
        return 1, negate(wanted)
    return 0, wanted


def _missing_inside(view: LineView, place: LinePlace, total: Expr) -> Iterator[Edit]:
    """A term put into a bracket: products like those that stand there."""
    if isinstance(total, Sum) and all(isinstance(body_of(t), Quotient) for t in total.terms):
        yield Edit("term-missing", place.path, add(total, ONE), Change.MISSING, ONE, ONE, A_WHOLE)
    known = monomials(total)
    if known is not None and view.in_loop_currents and view.shape is LineShape.LOOP:
        known = {key: value for key, value in known.items() if key}  # 0.5 is what a current source gives
    if not known:
        return
    sorts = [[view.sort(name) for name in key] for key in known]
    degree = len(sorts[0])
    if any(len(s) != degree for s in sorts) or not degree:
        return
    resistances = view.named(NameSort.RESISTANCE)
    if all(s == NameSort.CURRENT for row in sorts for s in row) and degree == 1:
        entry = "term-missing" if view.in_loop_currents else "branch-missing"
        loops = [Symbol(name) for name in view.loop_currents]
        for carrier in dict.fromkeys((*view.carriers.values(), *loops)):
            for term in (carrier, negate(carrier)):
                yield Edit(entry, place.path, add(total, term), Change.MISSING, term, term)
    elif all(s == NameSort.RESISTANCE for row in sorts for s in row):
        terms = _products(resistances, degree, set(known))
        if degree == 2:  # a whole bracket left out: R1 (R2 + R3)
            pairs = list(combinations(resistances, 2))[:MOST_PRODUCTS]
            terms += [
                Product((Symbol(n), Sum((Symbol(a), Symbol(b))))) for n in resistances[:6] for a, b in pairs
            ]
        for term in terms:
            entry = "denominator-term" if place.line() <= 0 else "term-missing"
            if degree == 1:
                entry = (
                    "inside-forgotten"
                    if names_of_factors(term) & view.internal_resistances
                    else "drop-missing"
                )
            yield Edit(entry, place.path, add(total, term), Change.MISSING, term, term)
    elif all(row.count(NameSort.SOURCE) == 1 and NameSort.CURRENT not in row for row in sorts):
        for source in view.named(NameSort.SOURCE):
            products = _products(resistances, degree - 1, set())
            if degree == 2:  # one more bracket: E (R1 + R2)
                products += [Sum((Symbol(a), Symbol(b))) for a, b in combinations(resistances, 2)]
            for product in products:
                term = times(Symbol(source), product)
                if tuple(sorted((source, *names_of_factors(product)))) in known:
                    continue
                for wanted in (term, negate(term)):
                    yield Edit("term-missing", place.path, add(total, wanted), Change.MISSING, wanted, wanted)


def _products(names: tuple[str, ...], degree: int, known: set[tuple[str, ...]]) -> list[Expr]:
    choose = combinations if len(names) > degree else combinations_with_replacement
    found: list[Expr] = []
    for chosen in choose(names, degree):
        if tuple(sorted(chosen)) not in known:
            found.append(times(*(Symbol(name) for name in chosen)))
        if len(found) == MOST_PRODUCTS:
            break
    return found


def _missing_beside(view: LineView, place: LinePlace) -> Iterator[Edit]:
    """A resistance that should be the sum of two: an internal one forgotten, or another below a line."""
    below = isinstance(place.parent, Quotient) and place.path[-1] == 1
    for name in view.named(NameSort.RESISTANCE):
        internal = name in view.internal_resistances
        if Symbol(name) == place.expr or not (below or (internal and isinstance(place.expr, Symbol))):
            continue
        entry = "inside-forgotten" if internal else "drop-missing"
        yield Edit(
            entry, place.path, Sum((place.expr, Symbol(name))), Change.MISSING, place.expr, Symbol(name), 0.1
        )
