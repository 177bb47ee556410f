"""Lines in numbers that are what a line above gives when a bracket in it was lost, or a term, while it was
multiplied out and like terms were put together: -1.667 x - y = -3.39 after x - (-1.389 - 2.667 x) - y = -2.

The line above may be one into which another was put on the way.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import permutations

from ...expressions.amounts import shortened
from ...expressions.nodes import (
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
    number,
    numbers_in,
    put,
    put_in,
    times,
)
from ...expressions.values import symbols_of
from .edits import Change, WideEdit
from .law_terms import Monomials, monomials, row_of
from .line_view import LineView
from .places import places, replaced

NEAR = 4  # lines above that are looked at, and as many results that may have been put in
AS_ROUNDED = Fraction(1, 250)  # relative: how far the numbers of the line may be off
LIKELY = -0.4  # how much likelier a line came about so than that one number in it is wrong
FIGURES = 5
PLAIN = ("", "V", "A", "Ω")  # units in which a number is as it is without


def wrongly_worked_out(view: LineView) -> Iterator[WideEdit]:
    """The line as it should be worked out, where it is what a lost bracket gives."""
    own = row_of(view.equation)
    if own is None or len(own) < 2 or any(n.unit not in PLAIN for n in numbers_in(view.equation)):
        return
    met: set[str] = set()
    for line in _lines(view):
        right = row_of(line)
        if right is None:
            continue
        lost = ((entry, row_of(variant)) for entry, variant in _lost(line))
        left_out = (("term-missing", {k: v for k, v in right.items() if k != key}) for key in right)
        for entry, wrong in (*lost, *left_out):
            ratio = _ratio(own, wrong) if wrong is not None and wrong != right else None
            if ratio is not None and entry not in met:
                met.add(entry)
                meant = {key: value * ratio for key, value in right.items()}
                yield WideEdit(entry, _written(view, meant), Change.WORKED, (line.left, line.right), LIKELY)
    yield from _left_out_of_a_sum(view, own)


def _left_out_of_a_sum(view: LineView, own: Monomials) -> Iterator[WideEdit]:
    """The sum or the difference of two lines above, where all but one of its terms stand here."""
    for total in _sums(view):
        for key in total:
            ratio = _ratio(own, {k: v for k, v in total.items() if k != key})
            if ratio is not None and abs(abs(ratio) - 1) <= AS_ROUNDED:
                wanted = _term(key, total[key] * ratio)
                mended = _written(view, {k: v * ratio for k, v in total.items()})
                yield WideEdit("term-missing", mended, Change.MISSING, (wanted,), LIKELY)


def _lines(view: LineView) -> Iterator[Equation]:
    """The lines just above in numbers, and those with the results above put in that they may have been given
    on the way."""
    numbers = {n: number(v) for n, v in view.circuit.numbers.items()}
    near = [_in_numbers(line, numbers) for line in view.above[-NEAR:]]
    results = [_in_numbers(line, numbers) for line in view.above[-2 * NEAR :]]
    yield from reversed(near)
    for line in reversed(results):
        for name, formula in _formulas(results):
            if name in symbols_of(line) and line.left != Symbol(name) and name not in symbols_of(formula):
                table = {name: formula}
                yield Equation(put(line.left, table), put(line.right, table), line.relation)


def _formulas(lines: Sequence[Equation]) -> Iterator[tuple[str, Expr]]:
    """What lines say that names are in terms of others, at the ends of chains too, the last first; a sum over
    a number as a sum."""
    found: dict[tuple[str, Expr], None] = {}
    name, end = "", None
    for line in lines:
        name = line.left.name if isinstance(line.left, Symbol) else name if line.left == end else ""
        end = line.right
        if name and symbols_of(end):
            found[name, _as_sum(end)] = None
    yield from reversed(found)


def _as_sum(formula: Expr) -> Expr:
    """A sum over a number with each of its terms divided."""
    if not isinstance(formula, Quotient) or not isinstance(formula.above, Sum):
        return formula
    below = monomials(formula.below) or {}
    rows = [monomials(term) or {} for term in formula.above.terms]
    if set(below) != {()} or not below[()] or any(len(row) != 1 for row in rows):
        return formula
    return add(*(_term(key, value / below[()], exact=True) for row in rows for key, value in row.items()))


def _sums(view: LineView) -> Iterator[Monomials]:
    """The rows that two lines just above give when they are added, or one is subtracted from the other."""
    rows = [row for line in view.above[-NEAR:] if (row := row_of(line)) is not None]
    for one, other in permutations(rows, 2):
        for sign in (1, -1):
            total = {key: one.get(key, Fraction(0)) + sign * other.get(key, 0) for key in {*one, *other}}
            yield {key: value for key, value in total.items() if value}


def _in_numbers(line: Equation, numbers: Mapping[str, Expr]) -> Equation:
    return Equation(put_in(line.left, numbers), put_in(line.right, numbers), line.relation)


def _lost(line: Equation) -> Iterator[tuple[str, Equation]]:
    """The line with one bracket lost: the minus before it, or the factor, applied to its first term alone."""
    for place in places(line):
        minus = isinstance(place.expr, Negative)
        body = place.expr.body if isinstance(place.expr, Negative) else place.expr
        factors = body.factors if isinstance(body, Product) else (body,)
        total = next((f for f in factors if isinstance(f, Sum)), None)
        if total is None or isinstance(place.parent, Negative) or (not minus and len(factors) == 1):
            continue
        rest = [f for f in factors if f is not total]
        first, *more = total.terms
        before = times(*rest, first) if rest else first
        if minus:
            after = [times(*rest, term) if rest else term for term in more]
            yield "minus-bracket", replaced(line, place.path, add(negate(before), *after))
        if rest:
            once = [before, *more]
            yield "bracket-lost", replaced(line, place.path, add(*map(negate, once)) if minus else add(*once))


def _ratio(own: Monomials, wrong: Monomials) -> Fraction | None:
    """By what a row is the multiple of another, as rounded; None where it is none."""
    if own.keys() != wrong.keys():
        return None
    key = max(wrong, key=lambda each: abs(wrong[each]))
    ratio = own[key] / wrong[key]
    near = all(abs(own[k] - wrong[k] * ratio) <= AS_ROUNDED * abs(own[k]) for k in own)
    return ratio if near else None


def _written(view: LineView, meant: Monomials) -> Equation:
    """A row as an equation, the bare number on the right where it stood there alone."""
    terms = [_term(key, value) for key, value in meant.items() if key]
    constant = meant.get((), Fraction(0))
    if () in (monomials(view.equation.left) or {}):
        return Equation(add(*terms, _term((), constant)), number(0), view.equation.relation)
    return Equation(add(*terms), _term((), -constant), view.equation.relation)


def _term(key: tuple[str, ...], value: Fraction, *, exact: bool = False) -> Expr:
    size = Number(abs(value)) if exact else shortened(abs(value), FIGURES)
    body = times(size, Symbol(key[0])) if key and abs(value) != 1 else Symbol(key[0]) if key else size
    return negate(body) if value < 0 else body
