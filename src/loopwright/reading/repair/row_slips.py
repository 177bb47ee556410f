"""Slips made on the way from one line in numbers to the next: one term of a row not multiplied with the
others, one taken across with its sign kept, one copied wrongly; and a result that lacks a part.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import permutations

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
    over,
    put_in,
    times,
)
from ...expressions.values import symbols_of
from ..truth.rounding import digits_of, lone
from ..truth.truth import KILOHMS_FROM
from .edits import Change, Edit, WideEdit, body_of, signed
from .law_terms import Monomials, monomials, row_of
from .line_view import LineShape, LineView, NameSort, results_above
from .places import LinePlace, TreePath, places, signed_terms

NEAR_BRACKETS = 3  # lines above whose brackets are looked into
NEAR_SUMS = 5  # lines above of which two may have been added
_THOUSANDS = (1000, Fraction(1, 1000))  # one term in ohms, the others in kilohms
FEWEST = 3  # terms of a row of which one can be told to be the odd one
AS_ROUNDED = Fraction(1, 200)  # relative: 1.333 for 4/3


def row_edits(view: LineView) -> Iterator[Edit]:
    """The one term of a row that is not the multiple of a line above that all others are."""
    own = row_of(view.equation)
    if own is None or len(own) < FEWEST or any(n.unit for n in numbers_in(view.equation)):
        return
    for line in reversed(view.above):
        theirs = row_of(line)
        if theirs is None or theirs.keys() != own.keys():
            continue
        ratios = {key: own[key] / theirs[key] for key in own}
        common, agree = Counter(ratios.values()).most_common(1)[0]
        odd = [key for key, ratio in ratios.items() if ratio != common]
        if len(odd) != 1 or agree < 2:
            continue
        place = _place_of(view, odd[0])
        if place is not None:
            new = _scaled(place.expr, common / ratios[odd[0]])
            entry = _entry(ratios[odd[0]], common)
            change = Change.SIGN if entry == "moved-sign" else Change.OTHER
            yield Edit(entry, place.path, new, change, place.expr, new)


def multiplied_edits(view: LineView) -> Iterator[Edit]:
    """The one term of a line that is not the multiple of its term in a line above that all others are:
    `15 (18 − V) − V = 0` below `(18 − V)/4 − V/3 = 0`. A bracket that was not multiplied may stand without
    its brackets."""
    own = _outer(view.equation)
    if len(own) < 2 or any(n.unit for n in numbers_in(view.equation)):
        return
    in_symbols = any(view.sort(n) in (NameSort.SOURCE, NameSort.RESISTANCE) for n in view.used)
    for line in reversed(view.above[-NEAR_BRACKETS:]):
        theirs = [_in_numbers(view, expr, in_symbols) for _, expr in _outer(line)]
        groups = _grouped([monomials(expr) for _, expr in own], theirs)
        if groups is None or len(groups) < FEWEST:
            continue
        ratios = [ratio for _, ratio in groups]
        common, agree = Counter(ratios).most_common(1)[0]
        odd = [group for group, ratio in groups if ratio != common]
        if len(odd) != 1 or agree < 2:
            continue
        factor = next(ratio for _, ratio in groups if ratio != common)
        mixed = common / factor in _THOUSANDS
        if common in (1, *_THOUSANDS) and not mixed:  # the same line again, in kilohms too
            continue
        entry = "units-mixed" if mixed else "one-term-multiplied"
        terms = [own[at] for at in odd[0]]
        old = add(*(expr for _, expr in terms))
        if common / factor < 0 or not symbols_of(old):
            continue
        new = times(number(common / factor), old if len(terms) > 1 else body_of(old))
        new = new if len(terms) > 1 else signed(new, old)
        (path, _), *more = terms
        if more:
            side = view.equation.right if path[0] else view.equation.left
            whole = side.terms if isinstance(side, Sum) else (side,)
            first, last = path[-1], more[-1][0][-1]
            put = add(*whole[:first], new, *whole[last + 1 :])
            yield Edit(entry, path[:1], put, Change.OTHER, old, new, -0.3)
        else:
            yield Edit(entry, path, new, Change.OTHER, old, new, -0.3)


def _outer(line: Equation) -> list[tuple[TreePath, Expr]]:
    """The terms of both sides, those in brackets as they stand, with their places; no side that is 0."""
    found: list[tuple[TreePath, Expr]] = []
    for at, side in enumerate((line.left, line.right)):
        if isinstance(side, Sum):
            found += [((at, i), term) for i, term in enumerate(side.terms)]
        elif side != number(0):
            found.append(((at,), side))
    return found


def _in_numbers(view: LineView, term: Expr, in_symbols: bool) -> Monomials | None:
    """A term multiplied out; with the circuit's numbers put in, where the line to compare is in numbers."""
    own = None if in_symbols else put_in(term, {n: number(v) for n, v in view.circuit.numbers.items()})
    return monomials(own or term)


def _grouped(
    own: Sequence[Monomials | None], theirs: Sequence[Monomials | None]
) -> list[tuple[range, Fraction]] | None:
    """For each term of a line above the terms of this one that are made of it, one or as many as stand in its
    bracket, and by what they are its multiple; None where they are not."""
    found: list[tuple[range, Fraction]] = []
    at = 0
    for term in theirs:
        if not term:
            return None
        for size in dict.fromkeys((1, len(term))):
            here = own[at : at + size]
            together: Monomials = {}
            for each in here:
                together.update(each or {})
            ratio = ratio_of(together, term) if sum(len(each or {}) for each in here) == len(term) else None
            if ratio:
                found.append((range(at, at + size), ratio))
                at += size
                break
        else:
            return None
    return found if at == len(own) else None


def ratio_of(one: Monomials | None, other: Monomials | None) -> Fraction | None:
    """By what number one term is a multiple of another; None where it is none."""
    if not one or not other or one.keys() != other.keys():
        return None
    ratios = {one[key] / other[key] for key in one if other[key]}
    return ratios.pop() if len(ratios) == 1 else None


def sum_edits(view: LineView) -> Iterator[Edit]:
    """The one term of a row that two lines above give when they are added, where all others are what they
    give when one is subtracted from the other; or the other way round."""
    own = row_of(view.equation)
    rows = [row for line in view.above[-NEAR_SUMS:] if (row := row_of(line)) is not None]
    if own is None or len(own) < 2 or any(n.unit for n in numbers_in(view.equation)):
        return
    for one, other in permutations(rows, 2):
        for sign in (1, -1):
            ways = {key: (one.get(key, 0), sign * other.get(key, 0)) for key in {*one, *other}}
            odd = [key for key, (a, b) in ways.items() if own.get(key, 0) != a + b]
            if len(odd) != 1 or odd[0] not in own or own[odd[0]] != ways[odd[0]][0] - ways[odd[0]][1]:
                continue
            place, wanted = _place_of(view, odd[0]), sum(ways[odd[0]])
            if place is not None and wanted:
                new = _scaled(place.expr, wanted / own[odd[0]])
                yield Edit("added-for-subtracted", place.path, new, Change.OTHER, place.expr, new, -0.5)


def bracket_edits(view: LineView) -> Iterator[Edit]:
    """A term as in a bracket of a line above, without the number before that: V, or 24, of 34 (V − 24)."""
    for line in view.above[-NEAR_BRACKETS:]:
        for place in places(line):
            factors = place.expr.factors if isinstance(place.expr, Product) else ()
            numbers = [f for f in factors if isinstance(f, Number)]
            sums = [f for f in factors if isinstance(f, Sum)]
            if len(factors) != 2 or len(numbers) != 1 or len(sums) != 1:
                continue
            bare = [body_of(term) for term in sums[0].terms]
            for own in view.outer_terms:
                body = body_of(own.expr)
                if body in bare:
                    bare_number = number(numbers[0].value * body.value) if isinstance(body, Number) else None
                    whole = bare_number or times(numbers[0], body)
                    new = signed(whole, own.expr)
                    yield Edit("bracket-lost", own.path, new, Change.OTHER, own.expr, new, -0.3)


def _place_of(view: LineView, key: tuple[str, ...]) -> LinePlace | None:
    """The term that holds a name (or the bare number), where it is one alone."""
    found = [p for p in view.outer_terms if (m := monomials(p.expr)) is not None and key in m]
    return found[0] if len(found) == 1 and (monomials(found[0].expr) or {}).keys() == {key} else None


def _scaled(term: Expr, factor: Fraction) -> Expr:
    """A term of a number and at most one name, with another number."""
    ((key, value),) = (monomials(term) or {}).items()
    value = value * factor
    size = number(abs(value))
    body = size if not key else Symbol(key[0]) if abs(value) == 1 else times(size, Symbol(key[0]))
    return Negative(body) if value < 0 else body


def _entry(ratio: Fraction, common: Fraction) -> str:
    if abs(ratio + common) <= AS_ROUNDED * abs(common):
        return "moved-sign"
    if abs(common) == 1:
        return "copied-wrong"
    return "one-term-multiplied" if abs(ratio) == 1 else "digits"


def result_edits(view: LineView) -> Iterator[Edit]:
    """A result in numbers with its fraction turned round, and a drop in numbers with a current for one of
    two."""
    for place in view.outer_terms if view.shape is LineShape.LOOP else ():
        body = place.expr.body if isinstance(place.expr, Negative) else place.expr
        if isinstance(body, Product) and not symbols_of(body):
            for at, old in enumerate(body.factors):
                rest = (*body.factors[:at], *body.factors[at + 1 :])
                for name in view.currents:
                    new = times(*rest, Symbol(name))
                    new = Negative(new) if isinstance(place.expr, Negative) else new
                    yield Edit("wrong-current", place.path, new, Change.OTHER, old, Symbol(name), 0.1)
    for path, side, other in (
        ((0,), view.equation.left, view.equation.right),
        ((1,), view.equation.right, view.equation.left),
    ):
        if not isinstance(other, Symbol) or view.sort(other.name) not in (NameSort.CURRENT, NameSort.VOLTAGE):
            continue
        sign, body = signed_terms(side)[0] if side != number(0) else (1, side)
        for old, shared in _shares(view, side):
            yield Edit("equal-split", path, shared, Change.OTHER, old, shared)
        if isinstance(body, Quotient) and not symbols_of(body):
            new = over(body.below, body.above)
            new = new if sign > 0 else negate(new)
            yield Edit("fraction-inverted", path, new, Change.OTHER, side, new, -0.2)


def _shares(view: LineView, side: Expr) -> Iterator[tuple[Expr, Expr]]:
    """For half of a number, what each of two resistors side by side lets another carry of it."""
    sign, body = signed_terms(side)[0] if not isinstance(side, Sum) and side != number(0) else (1, side)
    if not isinstance(body, Quotient) or body.below != number(2) or lone(body.above) is None:
        return
    bare = not any(n.unit for n in numbers_in(side))
    ohms = [v for n, v in view.circuit.numbers.items() if view.sort(n) is NameSort.RESISTANCE]
    for one, other in permutations(dict.fromkeys(ohms), 2):
        parts = [number(v / 1000 if bare and max(ohms) >= KILOHMS_FROM else v) for v in (one, other)]
        share = over(times(body.above, parts[0]), add(*parts))
        yield side, share if sign > 0 else negate(share)


def said_again_wrongly(view: LineView) -> Iterator[WideEdit]:
    """A result that another line gave, said again with another number: for `J2 = 3.5 A` after J2 = 2.50 A
    what stands above."""
    terms, right = signed_terms(view.equation.left), _plain(view.equation.right)
    number_ = lone(right)
    if len(terms) != 1 or number_ is None or not isinstance(terms[0][1], Symbol):
        return
    value = results_above(view).get(terms[0][1].name)
    above = None if value is None else lone(value)
    if value is None or above is None or above.unit != number_.unit:
        return
    wanted = value if terms[0][0] > 0 else negate(value)
    if not _same_number(wanted, right):
        entry = "minus-dropped" if _same_number(negate(wanted), right) else "digits"
        mended = Equation(view.equation.left, wanted, view.equation.relation)
        yield WideEdit(entry, mended, Change.THROUGHOUT, (right, wanted), -0.1)


def parts_left_out(view: LineView) -> Iterator[WideEdit]:
    """A result in numbers with the other current put to it that its branch carries; whether that makes it
    right is for the judgement of rounded numbers to say."""
    left, right = view.equation.left, _plain(view.equation.right)
    if not isinstance(left, Symbol) or lone(right) is None or view.sort(left.name) is not NameSort.CURRENT:
        return
    name = left.name
    own = view.names.get(name, {name: 1})
    ((branch, sign), *more) = own.items()
    carrier = view.shared.get(branch)
    if more or not isinstance(carrier, Sum):
        return
    given = results_above(view)
    parts: list[Expr] = []
    for term in carrier.terms:
        body = term.body if isinstance(term, Negative) else term
        value = given.get(body.name) if isinstance(body, Symbol) else None
        if value is None:
            return
        parts.append(value if (sign > 0) != isinstance(term, Negative) else negate(value))
    for at, wanted in enumerate(parts):
        if _same_number(add(*parts[:at], *parts[at + 1 :]), right):
            mended = Equation(left, add(right, wanted), view.equation.relation)
            yield WideEdit("term-missing", mended, Change.MISSING, (wanted,), -0.9)


def put_in_wrongly(view: LineView) -> Iterator[WideEdit]:
    """A sum of currents with the numbers put in, one of which is not what stands above for its name."""
    left, right = view.equation.left, view.equation.right
    if not view.is_sum_of_currents(0) or not isinstance(right, Sum):
        return
    given = results_above(view)
    wanted: list[Expr] = []
    for sign, body in signed_terms(left):
        value = given.get(body.name) if isinstance(body, Symbol) else None
        if value is None:
            return
        wanted.append(value if sign > 0 else negate(value))
    written = [_plain(term) for term in right.terms]
    if len(wanted) != len(written) or not all(lone(term) for term in written):
        return
    off = [at for at, term in enumerate(written) if not _same_number(wanted[at], term)]
    if len(off) != 1:
        return
    old, new = written[off[0]], wanted[off[0]]
    entry = "moved-sign" if _same_number(negate(old), new) else "copied-wrong"
    terms = [new if at == off[0] else term for at, term in enumerate(right.terms)]
    mended = Equation(left, add(*terms), view.equation.relation)
    yield WideEdit(entry, mended, Change.THROUGHOUT, (old, new), -0.4)


def _plain(term: Expr) -> Expr:
    """A number with one sign at the most: −(−2) is 2."""
    return (
        negate(_plain(term.body)) if isinstance(term, Negative) and isinstance(term.body, Negative) else term
    )


def _same_number(one: Expr, other: Expr) -> bool:
    """Whether two numbers, with their signs, are one: 1.30 A and 1.3."""
    size, also = lone(one), lone(other)
    if size is None or also is None or (size is one) != (also is other):
        return False
    return Fraction(digits_of(size)) == Fraction(digits_of(also))


def repeated_number_edits(view: LineView) -> Iterator[tuple[Number, Number]]:
    """Every number that stands more than once in a line, with each other value that an element has, to be put
    for it throughout."""
    counts = Counter(p.expr for p in view.places if isinstance(p.expr, Number) and p.expr.value)
    for written, count in counts.items():
        if count < 2 or view.shape is not LineShape.LOOP:
            continue
        for value in dict.fromkeys(view.circuit.numbers.values()):
            for meant in (value,) if written.unit else (value, value / 1000):
                if meant != written.value and meant:
                    yield written, Number(meant, written.unit)
