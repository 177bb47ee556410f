"""Right lines of a circuit, and each modelled slip made in them: written apart from the search for repairs.

A line is kept as a list of signed terms on its left side (a law), or as a name and its value (a
result), so that slips are made as a person makes them and not by undoing what the search tries.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import combinations

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Kind
from loopwright.expressions.nodes import (
    ZERO,
    Equation,
    Expr,
    Negative,
    Number,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    times,
)
from loopwright.graph.lines import reversed_loop
from loopwright.laws.laws import laws
from loopwright.laws.loops import is_plain

Holds = Callable[[Equation], bool]


@dataclass(frozen=True)
class Case:
    """A slip made in a right line. `above`: right lines written above it; `names`: what current names are."""

    entry: str
    right: Equation
    wrong: Equation
    circuit: Circuit
    above: tuple[Equation, ...] = ()
    names: dict[str, dict[str, int]] = field(default_factory=dict)


@dataclass(frozen=True)
class Term:
    """One term of a law: a sign, a current or none, and a value or none."""

    sign: int
    current: str = ""
    value: Expr | None = None
    internal: bool = False

    def expr(self) -> Expr:
        parts = ([Symbol(self.current)] if self.current else []) + ([self.value] if self.value else [])
        body: Expr = times(*parts)
        return negate(body) if self.sign < 0 else body

    def turned(self) -> Term:
        return Term(-self.sign, self.current, self.value, self.internal)


Law = tuple[Term, ...]
Form = tuple[str, list[Expr], list[Expr]]  # a name, the terms above the line, the terms below it


def loop_laws(circuit: Circuit, at_most: int = 6) -> list[Law]:
    """The loop equations in both senses of travel, term by term; no loops through gaps or current sources."""
    found: list[Law] = []
    plain = [law for law in laws(circuit).every_loop if is_plain(circuit, law.loop)]
    for equation in plain[:at_most]:
        for loop in (equation.loop, reversed_loop(equation.loop)):
            terms: list[Term] = []
            for name, sense in loop:
                b = circuit.branch(name)
                for p in b.passes if sense > 0 else tuple(reversed(b.passes)):
                    e = circuit.elements[p.element]
                    if e.kind is Kind.BATTERY:
                        terms.append(Term(p.sign * sense, "", e.value))
                    if e.kind is Kind.RESISTOR:
                        terms.append(Term(-sense, name, e.value))
                    if e.internal is not None:
                        terms.append(Term(-sense, name, e.internal, True))
            found.append(tuple(terms))
    return found


def junction_laws(circuit: Circuit) -> list[Law]:
    """The junction equations, term by term."""
    found: list[Law] = []
    for equation in laws(circuit).junctions:
        ends = [(b.name, b.start, b.end) for b in circuit.branches if b.start != b.end]
        met = [(n, end) for n, start, end in ends if equation.point in (start, end)]
        terms = [Term(1 if end == equation.point else -1, n) for n, end in met]
        if len(terms) > 2:
            found.append(tuple(terms))
    return found


def as_zero(law: Sequence[Term]) -> Equation:
    """All terms on the left."""
    return Equation(add(*(t.expr() for t in law)), ZERO)


def as_balance(law: Sequence[Term]) -> Equation:
    """What is added on the left, what is taken away on the right."""
    return Equation(
        add(*(t.expr() for t in law if t.sign > 0)), add(*(t.turned().expr() for t in law if t.sign < 0))
    )


def in_numbers(item: Expr, circuit: Circuit) -> Expr:
    """The expression with the circuit's numbers put for its symbols."""
    match item:
        case Symbol(name):
            return Number(circuit.numbers[name]) if name in circuit.numbers else item
        case Negative(body):
            return Negative(in_numbers(body, circuit))
        case Sum(parts):
            return Sum(tuple(in_numbers(p, circuit) for p in parts))
        case Product(parts):
            put = [in_numbers(p, circuit) for p in parts]
            return Product(tuple(sorted(put, key=lambda p: not isinstance(p, Number))))
        case _:
            return item


# -- slips in laws -----------------------------------------------------------------------------------


def slips_in_loops(circuit: Circuit) -> Iterator[tuple[str, Law, Law]]:
    """Every modelled slip in every loop equation: its key, the right terms, the wrong ones."""
    for law in loop_laws(circuit):
        drops = [t for t in law if t.current]
        sources = [t for t in law if not t.current]
        for i, t in enumerate(law):
            rest = (law[:i], law[i + 1 :])
            yield ("drop-sign" if t.current else "source-sign"), law, (*rest[0], t.turned(), *rest[1])
            left_out = "inside-forgotten" if t.internal else "drop-missing" if t.current else "source-missing"
            if len(law) > 2:
                yield left_out, law, (*rest[0], *rest[1])
            twice = Term(
                t.sign, t.current, times(Number(Fraction(2)), t.value or Symbol(t.current)), t.internal
            )
            if t.current:
                yield "term-twice", law, (*rest[0], twice, *rest[1])
            for other in circuit.currents:
                if t.current and other not in {u.current for u in law if u.value == t.value}:
                    yield "wrong-current", law, (*rest[0], Term(t.sign, other, t.value), *rest[1])
            for e in circuit.elements.values():
                same = e.kind is (Kind.RESISTOR if t.current else Kind.BATTERY)
                if same and e.value != t.value and not t.internal:
                    yield "subscript", law, (*rest[0], Term(t.sign, t.current, e.value), *rest[1])
        for b in circuit.branches:
            passed = [circuit.elements[p.element] for p in b.passes]
            resistors = [e for e in passed if e.kind is Kind.RESISTOR]
            if resistors and b.name not in {t.current for t in law}:
                yield "term-extra", law, (*law, Term(1, b.name, resistors[0].value))
        if len({t.sign for t in drops}) == 2 and sum(t.sign > 0 for t in drops) >= 2:
            minus = {t: t if t.sign < 0 or not t.current else t.turned() for t in law}
            yield "drops-all-minus", law, tuple(minus[t] for t in law)
        if len({t.sign for t in sources}) == 2 and sum(t.sign < 0 for t in sources) >= 2:
            yield "sources-all-plus", law, tuple(t if t.current else Term(1, "", t.value) for t in law)
        if len(sources) >= 2:
            yield "terminals-swapped", law, tuple(t if t.current else t.turned() for t in law)
        for at in range(2, len(law) - 1):
            yield "sense-turned", law, (*law[:at], *(t.turned() for t in law[at:]))
        for name in {t.current for t in drops}:
            if sum(t.current == name for t in drops) > 1:
                yield "arrow-otherwise", law, tuple(t.turned() if t.current == name else t for t in law)


def slips_in_junctions(circuit: Circuit) -> Iterator[tuple[str, Law, Law]]:
    """A sign turned, a branch missed, a name exchanged, in every junction equation."""
    for law in junction_laws(circuit):
        for i, t in enumerate(law):
            yield "junction-sign", law, (*law[:i], t.turned(), *law[i + 1 :])
            yield "branch-missing", law, (*law[:i], *law[i + 1 :])
            for other in circuit.currents:
                if other not in {u.current for u in law}:
                    yield "subscript", law, (*law[:i], Term(t.sign, other), *law[i + 1 :])


def law_cases(circuit: Circuit) -> Iterator[Case]:
    """Slips in loop and junction equations, written with zero on the right and as a balance."""
    for entry, right, wrong in (*slips_in_loops(circuit), *slips_in_junctions(circuit)):
        yield Case(entry, as_zero(right), as_zero(wrong), circuit)
        in_order = entry in ("sense-turned", "drops-all-minus")  # seen only where terms stand in order
        if {t.sign for t in right} == {1, -1} == {t.sign for t in wrong} and not in_order:
            yield Case(entry, as_balance(right), as_balance(wrong), circuit)


def moved_cases(circuit: Circuit) -> Iterator[Case]:
    """A term taken across the equals sign with its sign kept, or miscopied, below the right line."""
    for law in loop_laws(circuit, 3):
        above = as_zero(law)
        for i, t in enumerate(law):
            rest = add(*(u.expr() for j, u in enumerate(law) if j != i))
            right, wrong = Equation(rest, t.turned().expr()), Equation(rest, t.expr())
            yield Case("moved-sign", right, wrong, circuit, (above,))
            for j, u in enumerate(law):
                if j != i and u.current and t.current and u.current != t.current:
                    copied = (*law[:i], Term(t.sign, u.current, t.value), *law[i + 1 :])
                    yield Case("copied-wrong", above, as_zero(copied), circuit, (above,))


def two_line_cases(circuit: Circuit) -> Iterator[Case]:
    """Two loop equations put together: added where they should be subtracted, or a shared term once."""
    for one, other in combinations(loop_laws(circuit, 3), 2):
        shared = {(t.current, t.value) for t in one if t.current} & {(t.current, t.value) for t in other}
        above = (as_zero(one), as_zero(other))
        alike = all(t in other for t in one if (t.current, t.value) in shared)
        if len(shared) != 1 or {t.value for t in one if not t.current} & {
            t.value for t in other if not t.current
        }:
            continue
        own = [t for t in one if (t.current, t.value) not in shared]
        theirs = [t for t in other if (t.current, t.value) not in shared]
        if alike and len(theirs) > 1 and len(own) > 1:
            right = as_zero([*own, *(t.turned() for t in theirs)])
            yield Case("added-for-subtracted", right, as_zero([*own, *theirs]), circuit, above)
            mid = next(t for t in one if (t.current, t.value) in shared)
            twice = Term(mid.sign, mid.current, times(Number(Fraction(2)), mid.value or ZERO))
            body = times(Number(Fraction(2)), Symbol(mid.current), mid.value or ZERO)
            both = add(*(t.expr() for t in (*own, *theirs)), negate(body) if twice.sign < 0 else body)
            yield Case("shared-once", Equation(both, ZERO), as_zero([*own, *theirs, mid]), circuit, above)


def put_in_cases(circuit: Circuit) -> Iterator[Case]:
    """A junction equation put into a loop equation, with the brackets lost in several ways."""
    for junction in junction_laws(circuit):
        if len(junction) != 3:
            continue
        for lone in junction:
            first, second = (Term(-t.sign * lone.sign, t.current) for t in junction if t is not lone)
            if first.sign < 0:
                first, second = second, first
            if first.sign < 0:
                continue
            for law in loop_laws(circuit, 3):
                found = [t for t in law if t.current == lone.current and t.value is not None]
                if len(found) == 1 and not {first.current, second.current} - set(circuit.currents):
                    yield from _bracket_cases(circuit, law, found[0], first, second)


def _bracket_cases(circuit: Circuit, law: Law, at: Term, first: Term, second: Term) -> Iterator[Case]:
    value = at.value or ZERO
    before, after = law[: law.index(at)], law[law.index(at) + 1 :]

    def line(*middle: Expr) -> Equation:
        return Equation(add(*(t.expr() for t in before), *middle, *(t.expr() for t in after)), ZERO)

    def signed(expr: Expr, sign: int) -> Expr:
        return negate(expr) if sign < 0 else expr

    one, two = Symbol(first.current), signed(Symbol(second.current), second.sign)
    a, b = times(one, value), signed(times(Symbol(second.current), value), second.sign)
    right = line(signed(a, at.sign), signed(b, at.sign))
    yield Case("bracket-lost", right, line(signed(one, at.sign), signed(b, at.sign)), circuit)
    if at.sign < 0 and second.sign > 0:
        yield Case("minus-bracket", right, line(negate(a), b), circuit)
    bracket = Sum((one, two))
    whole = line(signed(Product((bracket, value)), at.sign))
    turned = line(signed(Product((Sum((one, negate(two))), value)), at.sign))
    yield Case("junction-sign", whole, turned, circuit)


def multiplied_cases(circuit: Circuit) -> Iterator[Case]:
    """A loop equation multiplied by a resistance, one term left as it was."""
    for law in loop_laws(circuit, 3):
        for e in circuit.elements.values():
            if e.kind is not Kind.RESISTOR or e.value in {t.value for t in law} or len(law) < 3:
                continue
            scaled = [Term(t.sign, t.current, times(t.value or ZERO, e.value)) for t in law]
            for i, t in enumerate(law):
                wrong = [*scaled[:i], t, *scaled[i + 1 :]]
                yield Case("one-term-multiplied", as_zero(scaled), as_zero(wrong), circuit)


def numeric_cases(circuit: Circuit) -> Iterator[Case]:
    """The laws with numbers put in: slips of signs, terms and currents."""
    kept = {"drop-sign", "source-sign", "drop-missing", "source-missing", "wrong-current", "subscript"}
    for case in law_cases(circuit):
        if case.entry in kept:
            put = [
                Equation(in_numbers(e.left, circuit), in_numbers(e.right, circuit))
                for e in (case.right, case.wrong)
            ]
            yield Case(case.entry, put[0], put[1], circuit)


# -- slips in results --------------------------------------------------------------------------------


def closed_form_cases(circuit: Circuit, forms: Sequence[Form]) -> Iterator[Case]:
    """Slips in results: name = (sum of terms)/(sum of terms)."""
    for form in forms:
        right, (name, above, below) = _line(form), form
        for i, t in enumerate(below):
            yield Case("denominator-term", right, _line((name, above, below[:i] + below[i + 1 :])), circuit)
            if i:
                turned = _with(below, i, negate(t))
                yield Case("denominator-sign", right, _line((name, above, turned)), circuit)
            factor = t.factors[-1] if isinstance(t, Product) else t
            squared = _with(below, i, times(t, factor))
            yield Case("resistance-squared", right, _line((name, above, squared)), circuit)
        for i, t in enumerate(above):
            turned = _with(above, i, negate(t))
            yield Case("numerator-sign", right, _line((name, turned, below)), circuit)
            yield Case("term-missing", right, _line((name, above[:i] + above[i + 1 :], below)), circuit)
            yield from _numerator_bracket_cases(circuit, form, i)
        upside_down = Equation(Symbol(name), Quotient(add(*below), add(*above)))
        yield Case("fraction-inverted", right, upside_down, circuit)
        yield from _cancelled_cases(circuit, form)
        yield from _subscript_cases(circuit, form)


def _line(form: Form) -> Equation:
    name, above, below = form
    return Equation(Symbol(name), Quotient(add(*above), add(*below)))


def _with(terms: list[Expr], index: int, *new: Expr) -> list[Expr]:
    return [*terms[:index], *new, *terms[index + 1 :]]


def _numerator_bracket_cases(circuit: Circuit, form: Form, i: int) -> Iterator[Case]:
    name, above, below = form
    term = above[i]
    factors = term.factors if isinstance(term, Product) else ()
    for bracket in factors:
        if isinstance(bracket, Sum):
            rest = times(*(f for f in factors if f is not bracket))
            full = _with(above, i, *(times(rest, part) for part in bracket.terms))
            lost = _with(above, i, times(rest, bracket.terms[0]), *bracket.terms[1:])
            yield Case("numerator-bracket", _line((name, full, below)), _line((name, lost, below)), circuit)


def _cancelled_cases(circuit: Circuit, form: Form) -> Iterator[Case]:
    name, above, below = form
    for i, top in enumerate(above):
        for j, bottom in enumerate(below):
            if not (isinstance(top, Product) and isinstance(bottom, Product)):
                continue
            for factor in top.factors:
                if factor in bottom.factors:
                    a, b = _with(above, i, _without(top, factor)), _with(below, j, _without(bottom, factor))
                    yield Case("cancelled-across-sum", _line(form), _line((name, a, b)), circuit)


def _without(product: Product, factor: Expr) -> Expr:
    rest = list(product.factors)
    rest.remove(factor)
    return times(*rest)


def _subscript_cases(circuit: Circuit, form: Form) -> Iterator[Case]:
    name, above, below = form
    for i, term in enumerate(above):
        body = term.body if isinstance(term, Negative) else term
        factors = body.factors if isinstance(body, Product) else ()
        for factor in factors:
            for other in circuit.symbols:
                if not isinstance(factor, Symbol) or other == factor.name:
                    continue
                if circuit.role(other) is circuit.role(factor.name):
                    wrong = times(*(Symbol(other) if f is factor else f for f in factors))
                    wrong = negate(wrong) if isinstance(term, Negative) else wrong
                    yield Case(
                        "subscript", _line(form), _line((name, _with(above, i, wrong), below)), circuit
                    )


# -- all of them -------------------------------------------------------------------------------------


def cases(circuit: Circuit) -> Iterator[Case]:
    """Every slip modelled in the laws of a circuit and in lines made from them."""
    for made in (law_cases, moved_cases, two_line_cases, put_in_cases, multiplied_cases):
        yield from made(circuit)


def unique_and_false(cases: Iterable[Case], holds: Holds) -> list[Case]:
    """The cases whose wrong line is false, and is made by no other slip from a right line of the list."""
    kept = [case for case in cases if not holds(case.wrong)]
    entries: dict[object, set[str]] = {}
    for case in kept:
        entries.setdefault(_as_read(case), set()).add(case.entry)
    return [case for case in kept if len(entries[_as_read(case)]) == 1]


def _as_read(case: Case) -> object:
    """The wrong line whatever the order of its terms, its sides and, with zero on the right, its sign."""

    def side(expr: Expr) -> frozenset[Expr]:
        terms = expr.terms if isinstance(expr, Sum) else (expr,)
        return frozenset(terms) - {ZERO}

    left, right = side(case.wrong.left), side(case.wrong.right)
    if not right:
        right = frozenset(map(negate, left))
        return frozenset((left, right)), case.above, "zero"
    return frozenset((left, right)), case.above
