"""Arithmetic that is wrong: `15/5 = 4`. What is asked stands there, so the result is mended, and never what
it was worked from; it is looked for how that result may have come about.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from fractions import Fraction
from math import prod

from ...expressions.fold import by_signs, fold
from ...expressions.nodes import (
    ONE,
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Product,
    Quotient,
    Sum,
    add,
    negate,
    numbers_in,
    over,
    put_for,
    times,
)
from ...expressions.said import Said
from ...expressions.tokens import scale_of
from ...quantities import simple
from ..truth.dimensions import thousands
from ..truth.rounding import digits_of, figures, half_unit, is_decimal, lone
from ..verdicts import Repair
from .edits import SIZES
from .number_edits import written_like
from .places import places, replaced

FEWEST = 3  # figures of a right result that does not end
BY_THOUSANDS = 20  # one part in so many: rounding on the way, beside a factor of a thousand
MOST_SPREAD = 5  # one part in so many: as far as rounding on the way takes a result in which much cancels
A_FIGURE = 20  # one part in so many: a result rounded to fewer figures tells little of how it came about


def arithmetic_slips(
    claim: Equation, in_thousands: bool, values: Mapping[str, Fraction] | None = None
) -> tuple[Repair, ...]:
    """The mend of a claim that sets what is worked out equal to one number; nothing for other claims.
    `in_thousands`: numbers without a unit are in mA, kΩ and mW; `values`: what names in it stand for, in
    the same units (none: it has no names)."""
    known = values or {}
    if three := _product_over_sum(claim):
        return (three,)
    for at, (side, other) in enumerate(((claim.left, claim.right), (claim.right, claim.left))):
        number, asked = lone(side), other
        if number is None or not number.value:
            continue
        if at == 0 and lone(asked) is not None:  # of two numbers the second is the result
            continue
        nothing = lone(asked)
        if nothing is not None and not nothing.value:  # 0 = 16.5 is no result
            continue
        try:
            value = _value(asked, in_thousands, known)
        except ZeroDivisionError:
            return ()
        written = _value(side, in_thousands, known)
        entry = _entry(asked, value, written, number, in_thousands, known)
        factor = _factor(number, in_thousands)
        right = _right(number, value / factor, entry)
        mended = Equation(right, asked, claim.relation) if at == 0 else Equation(asked, right, claim.relation)
        said = (asked, " comes to ", right, ", not ", side)
        return (Repair(entry, said, mended, SIZES[entry]),)
    return ()


def _product_over_sum(claim: Equation) -> Repair | None:
    """The mend of `4 ∥ 2 ∥ 1 = 4·2·1/(4 + 2 + 1)`: the rule for two, stretched to three or more."""
    parts = claim.left.parts if isinstance(claim.left, Parallel) else ()
    numbers = [n.value for part in parts if (n := lone(part)) is not None]
    if len(numbers) < 3 or len(numbers) < len(parts) or not sum(numbers):
        return None
    try:
        given = _value(claim.right, False, {})
    except (ZeroDivisionError, KeyError):
        return None
    if given != prod(numbers) / sum(numbers):
        return None
    ones = Sum(tuple(Quotient(ONE, part) for part in parts))
    said: Said = ("product over sum is a rule for two resistances, not for ", simple(Fraction(len(parts))))
    return Repair("product-over-sum", said, Equation(claim.left, Quotient(ONE, ones), claim.relation), 1.0)


def _factor(number: Number, in_thousands: bool) -> Fraction:
    return thousands(number.unit) if in_thousands and number.unit else Fraction(1)


def _value(expr: Expr, in_thousands: bool, values: Mapping[str, Fraction]) -> Fraction:
    def of_number(number: Number) -> Fraction:
        return number.value * _factor(number, in_thousands)

    return fold(expr, by_signs(of_number, values.__getitem__))


def _entry(
    asked: Expr,
    value: Fraction,
    written: Fraction,
    number: Number,
    in_thousands: bool,
    values: Mapping[str, Fraction],
) -> str:
    """The slip by which a wrong result most likely came about."""
    near = half_unit(number) * _factor(number, in_thousands) * (1 if is_decimal(number) else 0)

    def same(one: Fraction, other: Fraction, scale: Fraction = Fraction(1)) -> bool:
        rounding = min(near * scale, abs(other) / A_FIGURE)
        return abs(one - other) <= max(rounding, abs(other) / 2000)

    def shifted(power: int) -> bool:
        scale = Fraction(10) ** power
        return same(value, written * scale, scale)

    carried = near + _spread(asked, value, in_thousands, values)
    if same(-value, written) or abs(value + written) <= carried:
        return "minus-dropped"
    powers = (Fraction(10) ** power for power in (3, -3, 6, -6))
    if any(abs(value - written * p) <= max(abs(value) / BY_THOUSANDS, carried * p) for p in powers):
        return "units-mixed"
    if _shuffled(value, written, number, in_thousands):
        return "digits"
    if any(shifted(power) for power in (1, -1, 2, -2)):
        return "digits"
    if value and same(1 / value, written):
        return "fraction-inverted"
    for entry, other in _worked_otherwise(asked):
        try:
            if same(_value(other, in_thousands, values), written):
                return entry
        except ZeroDivisionError:
            continue
    cut = is_decimal(number) and 0 < (value - written) / (near * 2 or 1) < 1 and value * written > 0
    return "early-rounding" if cut and abs(written) < abs(value) else "digits"


def _spread(asked: Expr, value: Fraction, in_thousands: bool, values: Mapping[str, Fraction]) -> Fraction:
    """How far what is asked may be off for the rounding of the numbers in it: each moved by half a unit of
    its last figure. Never more than a part of it."""
    total = Fraction(0)
    for number in dict.fromkeys(n for n in numbers_in(asked) if is_decimal(n)):
        moved = Number(number.value + half_unit(number), number.unit)
        try:
            total += abs(_value(put_for(asked, number, moved), in_thousands, values) - value)
        except ZeroDivisionError:
            return Fraction(0)
    return min(total, abs(value) / MOST_SPREAD)


def _shuffled(value: Fraction, written: Fraction, number: Number, in_thousands: bool) -> bool:
    """Whether the result has the right digits in another order."""
    step = half_unit(number) * 2 * _factor(number, in_thousands)
    if not step or value * written <= 0:
        return False
    one, other = (str(abs(round(v / step))) for v in (value, written))
    return len(one) > 1 and one != other and sorted(one) == sorted(other)


def _worked_otherwise(asked: Expr) -> Iterator[tuple[str, Expr]]:
    """What was asked as it is easily mistaken while it is worked, with the slip."""
    whole = Equation(asked, asked)
    for place in places(whole):
        if place.path[0] == 0:
            for entry, new in _mistaken(place.expr):
                if entry == "term-missing" and place.line() < 0:
                    continue  # what is divided by was read off as a whole
                yield entry, replaced(whole, place.path, new).left


def _mistaken(expr: Expr) -> Iterator[tuple[str, Expr]]:
    match expr:
        case Sum(terms):
            for i, term in enumerate(terms):
                yield "added-for-subtracted", Sum((*terms[:i], negate(term), *terms[i + 1 :]))
            for i in range(len(terms)):
                yield "term-missing", add(*terms[:i], *terms[i + 1 :])
        case Product(factors):
            for i, factor in enumerate(factors):
                if isinstance(factor, Sum):
                    rest = (*factors[:i], *factors[i + 1 :])
                    for j in range(len(factor.terms)):
                        once = (times(*rest, t) if k == j else t for k, t in enumerate(factor.terms))
                        yield "bracket-lost", add(*once)
        case Quotient(above, below):
            if isinstance(below, Sum):
                first, *more = below.terms
                yield "calculator-order", add(over(above, first), *more)
            if isinstance(above, Sum):
                *before, last = above.terms
                yield "calculator-order", add(*before, over(last, below))
            yield "fraction-inverted", over(below, above)
            yield "wrong-divisor", times(above, below)
        case Negative(Sum(terms)):
            yield "minus-bracket", add(negate(terms[0]), *terms[1:])
        case _:
            return


def _right(number: Number, value: Fraction, entry: str) -> Expr:
    """The right result (in SI units) in the style of the wrong one: its unit, and about its figures."""
    if entry == "minus-dropped":
        return Negative(number) if value < 0 else number
    if entry == "units-mixed":
        powers = (Fraction(10) ** power for power in (3, -3, 6, -6))
        right = min((number.value * power for power in powers), key=lambda v: abs(abs(v) - abs(value)))
        return written_like(number, -right if value < 0 else right)
    scale = scale_of(number.unit)
    decimals = len(digits_of(number).partition("e")[0].partition(".")[2])
    size = abs(value) / scale
    while True:
        whole = round(size * 10**decimals)
        shown = Fraction(whole, 10**decimals)
        if shown == size or len(str(whole)) >= max(FEWEST, figures(number)) or decimals > 9:
            break
        decimals += 1
    digits = str(whole).rjust(decimals + 1, "0")
    text = f"{digits[:-decimals]}.{digits[-decimals:]}" if decimals else digits
    found = Number(shown * scale, number.unit, text)
    return Negative(found) if value < 0 else found
