"""The moves of a person's algebra, one function each, named as an instructor names them.

Every rule takes lines and gives the new line as it is written. Rules promise nothing: `verify`
judges each line without knowing how it came about.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from functools import lru_cache

from ..algebra.common_form import common_factor, common_multiple
from ..algebra.linear import Linear
from ..algebra.ratios import Ratio
from ..expressions.nodes import (
    ONE,
    ZERO,
    Equation,
    Expr,
    Negative,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    over,
    parts_of,
    rebuilt,
    times,
)
from ..expressions.tidy import tidy
from ..expressions.values import symbols_of
from ..laws.equations import LawEquation, drop
from ..quantities import simple

MOST_DIGITS = 5  # figures of a number in an equation that is left as it stands
Amounts = Mapping[str, Expr]  # what stands in the place of a current, e.g. {"Ic": Ib + Ih}


def put_in(line: Equation, amounts: Amounts) -> Equation:
    """The line with expressions written in the place of currents, brackets where they are needed."""
    return Equation(_replaced(line.left, amounts), _replaced(line.right, amounts), line.relation)


def with_given(law: LawEquation, given: Sequence[LawEquation]) -> LawEquation:
    """A law as it is written once currents are known that elements fix: nothing where none flows, the
    source's own current in its branch."""
    held = [known for known in given if known.branch in law.linear.coefficients]
    if not held:
        return law
    linear = law.linear
    for known in held:
        linear = linear.put(known.branch, known.linear.solved_for(known.branch))
    written = put_in(law.written, {known.branch: known.written.right for known in held})
    return replace(law, written=written, linear=linear)


def cleared(row: Linear) -> Linear:
    """The same equation multiplied so that its coefficients are polynomials without a common factor. An
    equation in numbers whose decimals end soon is left as it is."""
    field = row.field
    if not field.symbols and all(
        _digits(c) <= MOST_DIGITS for c in (*row.coefficients.values(), row.constant)
    ):
        return row
    parts = [*row.coefficients.values(), row.constant]
    bottom = common_multiple(field, (part.below for part in parts))
    if not bottom.is_one():
        factor = Ratio(field, bottom, field.one.below, reduced=True)
        row = row * factor
        parts = [*row.coefficients.values(), row.constant]
    common = common_factor(field, (part.above for part in parts))
    if common.is_one() or common.is_zero():
        return row
    return row * Ratio(field, field.one.above, common)


def collect(row: Linear, order: Sequence[str]) -> Equation:
    """The line with the sources on the left and every current once on the right, with all its coefficients
    in one bracket; without sources, the positive terms on the left and the negative on the right. `order`:
    the order of the currents."""
    row = cleared(row)
    if len(row.coefficients) == 1:
        return _single(row)
    constant = tidy(row.constant)
    if isinstance(constant, Negative):
        row, constant = row * -1, constant.body
    terms = _terms(row, order)
    if constant == ZERO:
        left: list[Expr] = [t for t in terms if not isinstance(t, Negative)]
        right: list[Expr] = [negate(t) for t in terms if isinstance(t, Negative)]
        if not left:
            left, right = right, left
        return Equation(add(*left), add(*right))
    return Equation(constant, add(*[negate(t) for t in terms]))


def _single(row: Linear) -> Equation:
    """The line with its one current on the left: `Ih (R1 (R2 + Rh) + R2 Rh) = E1 R2 + E2 R1`."""
    ((name, coefficient),) = row.coefficients.items()
    shape = tidy(coefficient)
    if isinstance(shape, Negative):
        return Equation(drop(name, shape.body), tidy(row.constant))
    return Equation(drop(name, shape), tidy(-row.constant))


def without(row: Linear, unknown: str, other: Linear) -> Linear:
    """The line with `unknown` eliminated by means of another; numbers keep the size in which they stand."""
    if row.field.symbols:
        return row.without(unknown, other)
    return row.put(unknown, other.solved_for(unknown))


def _digits(amount: Ratio) -> int:
    """How many figures a number takes; far more than anybody writes where its decimals do not end."""
    plain = amount.constant() or Fraction(0)
    return _figures(abs(plain.numerator), plain.denominator)


@lru_cache(maxsize=4096)
def _figures(above: int, below: int) -> int:
    """The same of a positive fraction."""
    if below == 1:
        return len(str(above).strip("0"))
    shown = simple(Fraction(above, below))
    return 99 if "/" in shown else len(shown.replace(".", "").strip("0"))


def _divided(row: Linear, unknown: str) -> Linear:
    """In numbers, the line divided by the coefficient of a current, where that makes no number longer."""
    if row.field.symbols:
        return row
    longest = max(map(_digits, (*row.coefficients.values(), row.constant)))
    quotient = row * (1 / row.coefficients[unknown])
    fits = all(_digits(c) <= longest for c in (*quotient.coefficients.values(), quotient.constant))
    return quotient if fits else row


def solve_for(row: Linear, unknown: str, order: Sequence[str], *, divided: bool = True) -> Equation:
    """The line solved for one current: everything else over its coefficient. In numbers the division is
    carried out where that makes none of them longer, unless `divided` is false."""
    row = cleared(row)
    row = _divided(row, unknown) if divided else row
    below = row.coefficients[unknown]
    rest = Linear({n: c for n, c in row.coefficients.items() if n != unknown}, row.constant) * -1
    bottom = tidy(below)
    if isinstance(bottom, Negative):
        rest, bottom = rest * -1, bottom.body
    above = positive_first([tidy(rest.constant), *_terms(rest, order)])
    if bottom == ONE:
        return Equation(Symbol(unknown), add(*above))
    if not rest.coefficients:
        return Equation(Symbol(unknown), tidy(-row.constant / below))
    return Equation(Symbol(unknown), over(add(*above), bottom))


def over_one_line(form: Expr, amounts: Amounts) -> Expr:
    """A form with fractions written in the place of currents, at once over one denominator: the numerators
    in their place, all else times the denominator, which goes below. The form itself with the fractions
    within, where they have not one and the same."""
    sign = isinstance(form, Negative)
    whole = form.body if isinstance(form, Negative) else form
    above, below = (whole.above, whole.below) if isinstance(whole, Quotient) else (whole, ONE)
    shapes = {name: _as_fraction(amount) for name, amount in amounts.items()}
    bottoms = list(dict.fromkeys(bottom for _, bottom in shapes.values() if bottom != ONE))
    if len(bottoms) != 1:
        return put_in(Equation(ZERO, form), amounts).right
    (bottom,) = bottoms
    terms: list[Expr] = []
    for term in above.terms if isinstance(above, Sum) else (above,):
        held = [name for name in amounts if name in symbols_of(term)]
        put = put_in(Equation(ZERO, term), {name: shapes[name][0] for name in held}).right
        over_it = bool(held) and shapes[held[0]][1] == bottom
        terms.append(_sums_last(put) if over_it else times(put, bottom))
    made = over(add(*terms), times(below, bottom))
    return negate(made) if sign else made


def _sums_last(expr: Expr) -> Expr:
    """A product with its sums after its other factors: `R2 E (R1 + R3)`."""
    if isinstance(expr, Negative):
        return negate(_sums_last(expr.body))
    if not isinstance(expr, Product):
        return expr
    return times(*sorted(expr.factors, key=lambda factor: isinstance(factor, Sum)))


def _as_fraction(amount: Expr) -> tuple[Expr, Expr]:
    """What stands above and below the line of a fraction, its sign above; anything else over 1."""
    if isinstance(amount, Negative):
        above, below = _as_fraction(amount.body)
        return negate(above), below
    return (amount.above, amount.below) if isinstance(amount, Quotient) else (amount, ONE)


def positive_first(terms: Sequence[Expr]) -> list[Expr]:
    """The terms with those to be added before those to be subtracted."""
    kept = [t for t in terms if t != ZERO]
    return [t for t in kept if not isinstance(t, Negative)] + [t for t in kept if isinstance(t, Negative)]


def _terms(row: Linear, order: Sequence[str]) -> list[Expr]:
    terms: list[Expr] = []
    for name in order:
        if name not in row.coefficients:
            continue
        coefficient = tidy(row.coefficients[name])
        if isinstance(coefficient, Negative):
            terms.append(negate(drop(name, coefficient.body)))
        else:
            terms.append(drop(name, coefficient))
    return terms


def _replaced(expr: Expr, amounts: Amounts) -> Expr:
    if isinstance(expr, Symbol):
        return amounts.get(expr.name, expr)
    parts = [_replaced(part, amounts) for part in parts_of(expr)]
    if isinstance(expr, Product):
        return _product(parts)
    if isinstance(expr, Negative) and isinstance(parts[0], Sum):
        return Negative(parts[0])
    return rebuilt(expr, parts)


def _product(factors: list[Expr]) -> Expr:
    """A product in which one factor may have become a fraction: `Rh (E1 − Ib Rh)/(R1 + Rh)`."""
    fractions = [f for f in factors if isinstance(f, Quotient | Negative) and _is_fraction(f)]
    if len(fractions) != 1 or len(factors) == 1:
        return times(*factors)
    fraction = fractions[0]
    others = [f for f in factors if f is not fraction]
    inner = fraction.body if isinstance(fraction, Negative) else fraction
    if not isinstance(inner, Quotient):
        return times(*factors)
    top = inner.above
    whole = (
        over(times(*others, top), inner.below)
        if not isinstance(top, Sum)
        else Quotient(Product((*_flat(others), top)), inner.below)
    )
    return negate(whole) if isinstance(fraction, Negative) else whole


def _flat(factors: Sequence[Expr]) -> tuple[Expr, ...]:
    product = times(*factors)
    return product.factors if isinstance(product, Product) else (product,)


def _is_fraction(expr: Expr) -> bool:
    return isinstance(expr.body if isinstance(expr, Negative) else expr, Quotient)
