"""Numbers in a line that are wrong: the number that would be right is worked out, and how one became the
other is recognised.

Each function gives changes of one line, to be tried one by one; its sentence says what a change makes
of the line.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from fractions import Fraction
from itertools import combinations
from math import sqrt

from ...expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Negative,
    Number,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    number,
    numbers_in,
    put_for,
)
from ...expressions.values import symbols_of
from ...quantities import PREFIXES
from ..truth.rounding import digits_of, half_unit, is_decimal, lone
from .edits import Change, Edit, WideEdit
from .line_view import LineView, NameSort, results_above
from .part_slips import parts_of_whole
from .places import LinePlace, Sides
from .trial_arithmetic import TrialValue
from .trial_values import Trial

CLOSE = Fraction(1, 200)  # relative: as near as rounding leaves it
ROUNDED = Fraction(3, 100)  # relative: how far a number rounded too early is off
MOST_ROUNDED = Fraction(1, 20)  # relative: how far rounding may take one that is put in, of two figures too
MOST_DIGITS = 7
PUT_IN = -0.35  # how much likelier a number is wrong that is put in for a name than any other number
SWAPPED = -0.5  # how much likelier it is that two figures of one of the problem's numbers were swapped
WORKED_OUT = -0.5  # how much likelier a part is missing that was worked out above than any other
NOT_ADDED = -0.3  # and that a resistance of the problem's is missing in what a voltage is divided by
GIVEN = 0.4  # how much less likely a number is wrong that is one of the problem's


def number_edits(view: LineView, sides: Sides) -> Iterator[Edit]:
    """Every number with the one that makes the sides equal in its place, where one slip explains it.

    `sides`: the line in an exact trial at the circuit's numbers.
    """
    above = {Fraction(sides.trial.number(n)) for n in view.numbers_above}
    came = _came_to(view, sides)
    for place in view.places:
        over_it = place.expr == ONE and isinstance(place.parent, Quotient) and place.path[-1] == 0
        if isinstance(place.expr, Number) and place.expr.value and not over_it:
            yield from _miscounted(sides, place, place.expr, came)
            yield from _mended(view, sides, place, place.expr, above)


def _came_to(view: LineView, sides: Sides) -> list[Fraction]:
    """What the sides of the line just above come to that hold numbers only, and more than one."""
    last = (view.above[-1].left, view.above[-1].right) if view.above else ()
    try:
        return [Fraction(sides.value_of(s)) for s in last if not symbols_of(s) and lone(s) is None]
    except ZeroDivisionError:
        return []


def _miscounted(sides: Sides, place: LinePlace, written: Number, came: Iterable[Fraction]) -> Iterator[Edit]:
    """A side that is one number, with what a side of the line just above comes to (`came`) in its place,
    where one figure of that is wrong."""
    value = Fraction(sides.trial.number(written))
    right = None if place.parent is not None else _right_value(sides, place, value)
    step = 2 * half_unit(written) * value / written.value
    for size in came if step else ():
        shown = round(size / step) * step
        if right is not None and _near(right, shown) and _apart(_digits(shown), _digits(value)) == 1:
            new = written_like(written, shown * written.value / value)
            yield Edit("digits", place.path, new, Change.OTHER, written, new)


def numbers_put_in(view: LineView, sides: Sides) -> Iterator[Edit]:
    """A number put in for a name of the other side that is not that name's, with the one that is."""
    for at, side in enumerate((view.equation.left, view.equation.right)):
        other = view.equation.left if at else view.equation.right
        if symbols_of(side) or lone(side) is not None or not symbols_of(other):
            continue
        known = _known(
            view,
            sides.trial,
            (*symbols_of(other), *_names_of_formula(view, other), *parts_of_whole(view, other)),
        )
        written = {n.value for n in numbers_in(side)}
        terms = (sides.trial.number(n) for n in numbers_in(side)) if isinstance(side, Sum) else ()
        greatest = max(map(Fraction, terms), default=Fraction(0))  # beside which the others are rounded
        rounding = sum((half_unit(n) / n.value for n in numbers_in(side) if is_decimal(n) and n.value), CLOSE)
        for place in view.places:
            if place.path[0] != at or not isinstance(place.expr, Number) or not place.expr.value:
                continue
            right = _right_value(sides, place, sides.trial.number(place.expr))
            if right is None:
                continue
            for number_ in known:
                meant = Fraction(sides.trial.number(number_))
                near = (
                    min(max(ROUNDED / 2, rounding + half_unit(number_) / number_.value), MOST_ROUNDED) * meant
                )
                if number_.value in written or abs(abs(right) - meant) > max(near, CLOSE * greatest):
                    continue
                digits = sorted(_digits(number_.value)), sorted(_digits(place.expr.value))
                entry = "digits" if digits[0] == digits[1] else "copied-wrong"
                size = meant * place.expr.value / Fraction(sides.trial.number(place.expr))
                new = written_like(place.expr, size if right > 0 else -size)
                yield Edit(entry, place.path, new, Change.OTHER, place.expr, new, PUT_IN)


def divisor_parts(view: LineView, sides: Sides) -> Iterator[Edit]:
    """A resistance, one that was worked out above too, put to what is divided by: 12 for 12 + 2.73."""
    worked = [n for n in view.numbers_above if n.unit[-1:] in ("Ω", "") and not view.is_given(n.value)]
    kilo = 1000 if sides.trial.thousands else 1
    given = {n: v for n, v in view.circuit.numbers.items() if view.sort(n) is NameSort.RESISTANCE}
    of_current = any(view.sort(n) is NameSort.CURRENT for n in view.used)
    beside = (a * b / (a + b) for a, b in combinations(given.values(), 2) if a + b)
    single = dict.fromkeys(v / kilo for v in given.values()) if of_current else {}
    own = [Number(v) for v in single]
    pairs = dict.fromkeys(v / kilo for v in beside) if of_current else {}
    two = [Number(v) for v in pairs if v not in single]
    for place in view.places:
        if not isinstance(place.parent, Quotient) or place.path[-1] != 1 or symbols_of(place.expr):
            continue
        value = sides.value_of(place.expr)
        right = _right_value(sides, place, value)
        terms = _terms(place.expr)
        if right is None:
            continue
        for wanted in (*worked, *own, *two):
            lacking = right - Fraction(value) - Fraction(sides.trial.number(wanted))
            if wanted not in terms and abs(lacking) <= ROUNDED * abs(right):
                new = add(place.expr, wanted)
                extra = WORKED_OUT if wanted in worked else NOT_ADDED if wanted in own else 0.0
                yield Edit("term-missing", place.path, new, Change.MISSING, wanted, wanted, extra)


def put_in_throughout(view: LineView, sides: Sides) -> Iterator[WideEdit]:
    """A number that stands more than once in the place of a name of the other side, with the name's own
    number wherever it stands."""
    equation = view.equation
    for at, side in enumerate((equation.left, equation.right)):
        other = equation.left if at else equation.right
        if symbols_of(side) or lone(side) is not None or not symbols_of(other):
            continue
        numbers = list(numbers_in(side))
        written = {n.value for n in numbers}
        for old in dict.fromkeys(n for n in numbers if numbers.count(n) > 1):
            for known in _known(view, sides.trial, symbols_of(other)):
                if known.value not in written:
                    size = Fraction(sides.trial.number(known)) * old.value / Fraction(sides.trial.number(old))
                    new = written_like(old, size)
                    mended = put_for(side, old, new)
                    pair = (equation.left, mended) if at else (mended, equation.right)
                    whole = Equation(*pair, equation.relation)
                    yield WideEdit("copied-wrong", whole, Change.THROUGHOUT, (old, new), PUT_IN)


def _names_of_formula(view: LineView, subject: Expr) -> tuple[str, ...]:
    """The names in what the line just above says that a name is: `I3 = U/R` before `I3 = 2.2/27`."""
    last = view.above[-1] if view.above else None
    return symbols_of(last.right) if last is not None and last.left == subject else ()


def _known(view: LineView, trial: Trial, names: Iterable[str]) -> tuple[Number, ...]:
    """The numbers of some names: those of the problem, or as lines above give them."""
    found: dict[Number, None] = {}
    above = results_above(view)
    sides = (view.equation.left, view.equation.right)
    answers = {side.name for side in sides if isinstance(side, Symbol)}  # these are sought, not put in
    for name in names:
        own = view.circuit.numbers.get(name)
        if own is not None:
            kilo = trial.thousands and view.sort(name) is NameSort.RESISTANCE
            bare = number(own / 1000 if kilo else own)
            found.update({bare: None} if isinstance(bare, Number) else {})
        elif name in above and (given := lone(above[name])) is not None:
            found[given] = None
        elif (
            name in view.meaning
            and name not in answers
            and isinstance(value := trial.values.get(name), Fraction)
            and value
        ):
            shown = number(_to_four_figures(value))
            found.update({shown: None} if isinstance(shown, Number) else {})
    return tuple(found)


def _mended(
    view: LineView, sides: Sides, place: LinePlace, written: Number, above: set[Fraction]
) -> Iterator[Edit]:
    value = Fraction(sides.trial.number(written))
    right = _right_value(sides, place, value)
    if isinstance(place.parent, Power) and place.parent.exponent == 2:
        square = _right_value(sides, replace(place, path=place.path[:-1]), value * value)
        right = Fraction(sqrt(square)) if square is not None and square > 0 else None
    if right is None:
        return
    unit_factor = value / written.value
    for entry, meant, extra in _slips(view, place, written, value, right, above):
        if meant < 0 < value and entry != "minus-dropped" and meant != -value:
            continue
        new = written_like(written, meant / unit_factor)
        given = view.is_given(value)
        if given and entry == "digits" and not _alike(_digits(value), _digits(meant)):
            continue  # nobody reads 68 for 36
        as_given = GIVEN if given and entry in ("digits", "early-rounding") else 0.0
        yield Edit(entry, place.path, new, Change.OTHER, written, new, extra + as_given)


def _right_value(sides: Sides, place: LinePlace, value: TrialValue) -> Fraction | None:
    """The number that, in the place of one written, makes the two sides equal; None where there is none. As
    a function of it their difference is (a x + b)/(c x + 1), which three values fix."""
    try:
        x = Fraction(value)
        f0, f1, f2 = (Fraction(sides.residue_at(place.path, t)) for t in (x, 2 * x, 3 * x))
    except ZeroDivisionError:
        return None
    # in t = value/x − 1, through t = 0, 1, 2
    b, denominator = f0, 2 * (f2 - f1)
    if denominator == 0:
        return None if f1 == f0 else x * (1 + f0 / (f0 - f1))
    c = (2 * f1 - f2 - f0) / denominator
    a = f1 * (c + 1) - b
    return x * (1 - b / a) if a else None


def _slips(
    view: LineView,
    place: LinePlace,
    written: Number,
    value: Fraction,
    right: Fraction,
    above: set[Fraction],
) -> Iterator[tuple[str, Fraction, float]]:
    """The slips by which the number that would be `right` can have become the one written: (key in the
    catalogue, the number meant, how much less likely than usual). `above`: the numbers of lines above."""
    if not right:
        return
    lone_side = place.parent is None or (isinstance(place.parent, Negative) and len(place.within) == 1)
    result = lone_side and (view.is_result or view.is_sum_of_currents(1 - place.path[0]))
    step = half_unit(written) * 2 * value / written.value
    factor = place.line() >= 0 and not view.is_given(value) and not isinstance(place.parent, Sum | Negative)
    if _near(right, -value) and (
        result or factor
    ):  # no turned term, and nobody swaps 14 for −14 below a line
        yield ("minus-dropped" if result else "digits"), -value, 0.0 if result else 0.2
    subject = (view.equation.right, view.equation.left)[place.path[0]]
    if result and isinstance(subject, Symbol) and subject.name[0] in "Rr" and _near(right, 1 / value):
        yield "reciprocal-left", right, -0.2
    if result and "/" in digits_of(written) and _near(right * value, Fraction(1)):
        yield "fraction-inverted", right, -0.2
    ratio = right / value
    for power in (3, -3, 6, -6):
        if _near(ratio, Fraction(10) ** power):
            own = any(_near(value * Fraction(10) ** power, v) for v in view.circuit.numbers.values())
            prefixed = own and not result
            yield ("prefix-dropped" if prefixed else "units-mixed"), value * Fraction(10) ** power, 0.0
    for power in (1, -1, 2, -2):
        scale = Fraction(10) ** power
        rounds = is_decimal(written) and abs(right - value * scale) * 2 <= abs(step) * scale
        if _near(ratio, scale) or rounds:
            yield "digits", value * Fraction(10) ** power, 0.05
    if not result and right * value > 0:
        yield from _another_number(view, place, value, right, above)
    shown = round(right / step) * step if step and is_decimal(written) else right
    if shown != value and shown * value > 0:
        if abs(shown) in above:
            known = abs(value) in above or view.is_given(abs(value))
            yield ("digits" if result else "subscript" if known else "copied-wrong"), shown, -0.1
        elif sorted(_digits(shown)) == sorted(_digits(value)):
            yield "digits", shown, 0.0
        elif (result or not _digits(right)) and _apart(_digits(shown), _digits(value)) == 1:
            yield "digits", shown, 0.1
    one, other = _digits(value), _digits(right)
    worked_out = not view.used and place.parent is None  # what arithmetic comes to
    if one and other and (worked_out or Fraction(1, 20) < ratio < 20):
        if sorted(one) == sorted(other) and one != other:
            yield "digits", right, SWAPPED if view.is_given(right) and not view.is_given(value) else 0.0
        elif _apart(one, other) == 1:
            yield "digits", right, 0.05 if worked_out else 0.15
        elif worked_out or (not result and Fraction(1, 8) < ratio < 8):
            yield "digits", right, 0.2 if worked_out else 0.6
    if abs(ratio - 1) <= ROUNDED and written.value.denominator != 1 and not result:
        yield "early-rounding", right, 0.0


def _another_number(
    view: LineView, place: LinePlace, value: Fraction, right: Fraction, above: set[Fraction]
) -> Iterator[tuple[str, Fraction, float]]:
    """A number of the problem, or of a line above, that another was put for: as near to the one that would be
    right as the rounding of those beside it lets it be."""
    sign = 1 if value > 0 else -1
    size, wanted = abs(value), abs(right)
    kinds = {view.sort(n) for n, v in view.circuit.numbers.items() if size in (v, v / 1000)}
    bare = not (isinstance(place.expr, Number) and place.expr.unit)
    for name, own in view.circuit.numbers.items():
        for meant in (own, own / 1000) if bare else (own,):
            if abs(meant - wanted) <= ROUNDED * meant < abs(size - meant):
                entry = "subscript" if view.sort(name) in kinds else "copied-wrong"
                if _is_there(view, place, meant):
                    continue
                yield _in_a_share(place, size, meant) or entry, meant * sign, 0.05
    combined = bool(view.own_resistances) and NameSort.RESISTANCE in kinds
    results = [n.value for end in results_above(view).values() if (n := lone(end)) is not None]
    for meant in sorted(above):
        if meant != size and abs(meant - wanted) <= CLOSE * meant and not view.is_given(meant):
            alike = size in above or (combined and meant not in results)  # 7 for the 1.08 that three make
            entry = "subscript" if alike else "copied-wrong"
            yield _in_a_share(place, size, meant) or entry, meant * sign, 0.1


def _is_there(view: LineView, place: LinePlace, meant: Fraction) -> bool:
    """Whether every element that is worth so much stands in the sum already that a number is a term of, or
    that one over it is a term of."""
    below = isinstance(place.parent, Quotient) and place.parent.above == ONE
    total = place.within[-2] if below and len(place.within) > 1 else place.parent
    if not isinstance(total, Sum):
        return False
    terms = [t.below if below and isinstance(t, Quotient) and t.above == ONE else t for t in total.terms]
    there = sum(n.value in (meant, meant * 1000) for t in terms if (n := lone(t)) is not None)
    alike = sum(v in (meant, meant * 1000) for v in view.circuit.numbers.values())
    return there >= alike


def _in_a_share(place: LinePlace, written: Fraction, meant: Fraction) -> str:
    """The slip of a share of a current, 2 · 5/(2 + 5) or 2 · 5/7, with the resistance of the branch itself
    above the line (`written`) instead of the other one; empty elsewhere."""
    within = place.within
    at = next((i for i in reversed(range(len(within))) if isinstance(within[i], Quotient)), -1)
    if place.line() <= 0 or at < 0 or not isinstance(quotient := within[at], Quotient):
        return ""
    below = [n.value for term in _terms(quotient.below) if (n := lone(term)) is not None]
    both = {written, meant} <= set(below) or below == [written + meant]
    of_a_current = isinstance(quotient.above, Product) or any(isinstance(e, Product) for e in within[:at])
    return "divider-inverted" if both and of_a_current else ""


def _terms(expr: Expr) -> tuple[Expr, ...]:
    return expr.terms if isinstance(expr, Sum) else (expr,)


def _near(one: Fraction, other: Fraction) -> bool:
    return abs(one - other) <= CLOSE * abs(other)


def _digits(value: Fraction) -> str:
    """The digits of a short decimal without its point and end zeros; empty for a long one."""
    whole, exponent = abs(value), 0
    while whole.denominator != 1 and exponent < MOST_DIGITS:
        whole, exponent = whole * 10, exponent + 1
    if whole.denominator != 1 or whole >= 10**MOST_DIGITS:
        return ""
    return str(int(whole)).rstrip("0") or "0"


def is_misread(written: Fraction, meant: Fraction) -> bool:
    """Whether a number is another one with figures swapped, or one of them wrong, or the point."""
    one, other = _digits(written), _digits(meant)
    return bool(one and other) and (one == other or _alike(one, other))


def _alike(one: str, other: str) -> bool:
    """Whether two rows of digits are the same ones in another order, or differ in one, or only in noughts."""
    return sorted(one) == sorted(other) or (len(one) > 1 and _apart(one, other) == 1)


def _apart(one: str, other: str) -> int:
    """In how many places two rows of digits differ; many where they are not equally long."""
    return sum(a != b for a, b in zip(one, other, strict=True)) if len(one) == len(other) else MOST_DIGITS


def written_like(written: Number, value: Fraction) -> Expr:
    """A number in the unit of another, with the prefix that keeps its digits where there is one; one that
    does not end is shown to four figures."""
    if not _digits(value):
        value = _to_four_figures(value)
    if not written.unit:
        return number(value)
    base = written.unit.lstrip("pnµmkMGT")
    own = PREFIXES[written.unit[: len(written.unit) - len(base)]]
    for shift in (0, -3, 3, -6, 6):
        prefix = next((p for p, power in PREFIXES.items() if power == own + shift), None)
        if prefix is not None and abs(value) == abs(written.value) * Fraction(10) ** shift:
            shown = Number(abs(value), prefix + base, written.text)
            return Negative(shown) if value < 0 else shown
    shown = Number(abs(value), written.unit)
    return Negative(shown) if value < 0 else shown


def _to_four_figures(value: Fraction) -> Fraction:
    """A number rounded to four figures."""
    size, power = abs(value), 0
    while size and size * Fraction(10) ** power < 1000:
        power += 1
    while size * Fraction(10) ** power >= 10000:
        power -= 1
    return round(value * Fraction(10) ** power) / Fraction(10) ** power


def element_edits(view: LineView, trial: Trial) -> Iterator[Edit]:
    """The number of an element with that of another of its kind in its place."""
    circuit = view.circuit
    scales = {
        n: 1000 if trial.thousands and view.sort(n) is NameSort.RESISTANCE else 1 for n in circuit.numbers
    }
    for place in view.places:
        if not isinstance(place.expr, Number) or place.expr.unit.endswith("A"):
            continue
        scale = {n: 1 if place.expr.unit else scales[n] for n in circuit.numbers}
        own = {view.sort(n) for n, v in circuit.numbers.items() if v == place.expr.value * scale[n]}
        for name, value in circuit.numbers.items():
            meant = value / scale[name]
            if view.sort(name) in own and meant != place.expr.value:
                if _is_there(view, place, meant):
                    continue
                new = written_like(place.expr, meant)
                entry = _in_a_share(place, place.expr.value, meant) or "subscript"
                yield Edit(entry, place.path, new, Change.OTHER, place.expr, new, 0.05)


def coefficient_edits(view: LineView) -> Iterator[Edit]:
    """A counting number in a line of symbols, one more or one less, doubled or halved."""
    for place in view.places:
        match place.expr:
            case Number(value, "") if value.denominator == 1 and 1 < value <= 100:
                for meant in (value - 1, value + 1, value * 2, value / 2):
                    new = Number(Fraction(meant))
                    yield Edit("digits", place.path, new, Change.OTHER, place.expr, new, 0.3)
