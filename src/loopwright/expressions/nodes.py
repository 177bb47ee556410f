"""The tree of what people write: numbers, symbols, sums, products, fractions, parallel combinations.

A tree keeps the written form (order, brackets, what stands over what); `algebra` keeps the value.
Nodes are immutable and know no writer. The small builders (`add`, `times`, `over`, ...) drop what
nobody writes: a zero term, a factor 1, a double minus.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Number:
    """An exact number. `value` is in the SI base unit; `unit` is the unit symbol with prefix in which it
    is to be shown (`"kΩ"`, `"V"`) or empty; `text` are the digits shown before it (`"0.50"`), by default
    the shortest exact form: `Number(4700, "kΩ", "4.70")` is 4.70 kΩ."""

    value: Fraction
    unit: str = ""
    text: str = ""


@dataclass(frozen=True, slots=True)
class Symbol:
    """A quantity by its name: `R1`, `E`, `I3`, `r2`; a potential difference is `V(a, b)`."""

    name: str


@dataclass(frozen=True, slots=True)
class Root(Symbol):
    """The square root of `body`: a quantity of its own beside the symbols, of which algebra knows only that
    its square is `body`. Made by `root`, which gives it its name."""

    body: Expr


@dataclass(frozen=True, slots=True)
class Exponential(Symbol):
    """The number e to the power of `body`: like a root, a quantity of its own. Made by `exponential`."""

    body: Expr


@dataclass(frozen=True, slots=True)
class Applied(Symbol):
    """A function of `body`, `ln`, `cos` or `sin` (of an angle in radians): like a root, a quantity of its
    own. Made by `applied`."""

    function: str
    body: Expr


@dataclass(frozen=True, slots=True)
class Sum:
    """Two or more terms added; a subtracted term is a `Negative`."""

    terms: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Product:
    """Two or more factors multiplied."""

    factors: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Negative:
    """Minus what follows."""

    body: Expr


@dataclass(frozen=True, slots=True)
class Quotient:
    """A fraction: all of `above` over all of `below`."""

    above: Expr
    below: Expr


@dataclass(frozen=True, slots=True)
class Power:
    """A base to a whole exponent of 2 or more."""

    base: Expr
    exponent: int


@dataclass(frozen=True, slots=True)
class Parallel:
    """Resistances side by side: 1/(1/a + 1/b + ...)."""

    parts: tuple[Expr, ...]


@dataclass(frozen=True, slots=True)
class Determinant:
    """The determinant of a square matrix, row by row."""

    rows: tuple[tuple[Expr, ...], ...]


Expr = Number | Symbol | Sum | Product | Negative | Quotient | Power | Parallel | Determinant


@dataclass(frozen=True, slots=True)
class Equation:
    """Two sides joined by `relation`: `=`, or `≈` for a rounded number, or `→` for a limit."""

    left: Expr
    right: Expr
    relation: str = "="


ZERO = Number(Fraction(0))
ONE = Number(Fraction(1))


def number(value: Fraction | int) -> Expr:
    """A number as it is written: negative ones are a `Negative`."""
    value = Fraction(value)
    return Negative(Number(-value)) if value < 0 else Number(value)


def root(body: Expr) -> Root:
    """The square root of an expression."""
    return Root(f"√{body}", body)


def exponential(body: Expr) -> Exponential:
    """The number e to the power of an expression."""
    return Exponential(f"e^({_by_value(body)})", body)


def applied(function: str, body: Expr) -> Applied:
    """A function of an expression: `ln`, `cos` or `sin`."""
    return Applied(f"{function}({_by_value(body)})", function, body)


def _by_value(expr: Expr) -> str:
    """A name for a tree that is the same whatever digits its numbers are shown with."""
    if isinstance(expr, Number):
        return str(expr.value)
    parts = parts_of(expr)
    if not parts:
        return expr.name if isinstance(expr, Symbol) else ""
    power = str(expr.exponent) if isinstance(expr, Power) else ""
    return f"{type(expr).__name__}{power}({', '.join(map(_by_value, parts))})"


def negate(expr: Expr) -> Expr:
    """Minus `expr`, without a double minus or a minus zero."""
    if isinstance(expr, Negative):
        return expr.body
    return expr if expr == ZERO else Negative(expr)


def add(*terms: Expr) -> Expr:
    """The sum of the terms in order, flat, zeros dropped; 0 when none is left."""
    flat: list[Expr] = []
    for term in terms:
        if type(term) is Sum:
            flat += term.terms
        else:
            flat.append(term)
    kept = tuple([term for term in flat if type(term) is not Number or term != ZERO])
    if not kept:
        return ZERO
    return kept[0] if len(kept) == 1 else Sum(kept)


def times(*factors: Expr) -> Expr:
    """The product of the factors in order, flat, ones dropped, minus signs drawn to the front."""
    flat: list[Expr] = []
    sign = 1
    for factor in factors:
        if isinstance(factor, Negative):
            sign, factor = -sign, factor.body
        if type(factor) is Product:
            flat += factor.factors
        else:
            flat.append(factor)
    numbers = [factor for factor in flat if type(factor) is Number]
    if ZERO in numbers:
        return ZERO
    kept = tuple(flat)
    if ONE in numbers:
        kept = tuple([factor for factor in flat if factor != ONE])
    body: Expr = ONE if not kept else kept[0] if len(kept) == 1 else Product(kept)
    return body if sign > 0 else negate(body)


def over(above: Expr, below: Expr) -> Expr:
    """`above` over `below`, the minus of `above` drawn to the front; `above` alone over 1."""
    if below == ONE or above == ZERO:
        return above
    if isinstance(above, Negative):
        return Negative(over(above.body, below))
    return Quotient(above, below)


def expanded(rows: Sequence[Sequence[Expr]]) -> Expr:
    """The determinant of a square matrix written out along its first row, the signs in turn; terms with a
    zero left out: `a (e i − f h) − b (d i − f g) + c (d h − e g)`."""
    if len(rows) == 1:
        return rows[0][0]
    terms: list[Expr] = []
    for at, entry in enumerate(rows[0]):
        rest = [(*row[:at], *row[at + 1 :]) for row in rows[1:]]
        term = _squared(entry, expanded(rest))
        terms.append(negate(term) if at % 2 else term)
    return add(*terms)


def _squared(one: Expr, other: Expr) -> Expr:
    """The product of two factors, a square where they are one and the same but for their signs."""
    first, second = (f.body if isinstance(f, Negative) else f for f in (one, other))
    if first != second or isinstance(first, Number):
        return times(one, other)
    square = Power(first, 2)
    return square if isinstance(one, Negative) == isinstance(other, Negative) else Negative(square)


def written_symbols(expr: Expr) -> int:
    """How many symbols and numbers a person writes for this expression: the measure of tidiness."""
    count = 0
    waiting = [expr]
    while waiting:
        parts = parts_of(waiting.pop())
        if parts:
            waiting += parts
        else:
            count += 1
    return count


def parts_of(expr: Expr) -> tuple[Expr, ...]:
    """The expressions that an expression is directly made of."""
    kind = type(expr)
    if kind is Symbol or kind is Number:  # most of all
        return ()
    match expr:
        case Sum(parts) | Product(parts) | Parallel(parts):
            return parts
        case Root(body=body) | Exponential(body=body) | Applied(body=body):
            return (body,)
        case Symbol() | Number():
            return ()
        case Negative(body) | Power(body):
            return (body,)
        case Quotient(above, below):
            return above, below
        case Determinant(rows):
            return tuple(entry for row in rows for entry in row)


def alike(expr: Expr, parts: Sequence[Expr]) -> Expr:
    """An expression of exactly the same form, made of other parts."""
    match expr:
        case Root():
            return root(parts[0])
        case Exponential():
            return exponential(parts[0])
        case Applied(function=function):
            return applied(function, parts[0])
        case Number() | Symbol():
            return expr
        case Sum():
            return Sum(tuple(parts))
        case Product():
            return Product(tuple(parts))
        case Parallel():
            return Parallel(tuple(parts))
        case Negative():
            return Negative(parts[0])
        case Power(_, exponent):
            return Power(parts[0], exponent)
        case Quotient():
            return Quotient(parts[0], parts[1])
        case Determinant(rows):
            size = len(rows)
            return Determinant(tuple(tuple(parts[at : at + size]) for at in range(0, len(parts), size)))


def rebuilt(expr: Expr, parts: Sequence[Expr]) -> Expr:
    """An expression of the same form made of other parts, as a person writes it: flat, without a zero
    term, a factor 1 or a double minus."""
    match expr:
        case Sum():
            return add(*parts)
        case Product():
            return times(*parts)
        case Negative():
            return negate(parts[0])
        case Quotient():
            return over(parts[0], parts[1])
    return alike(expr, parts)


def put(expr: Expr, names: Mapping[str, Expr]) -> Expr:
    """The expression with other expressions in the place of some symbols; nothing is simplified."""
    parts = parts_of(expr)
    if parts:
        return alike(expr, [put(part, names) for part in parts])
    return names.get(expr.name, expr) if isinstance(expr, Symbol) else expr


def put_on_both_sides(written: Equation, names: Mapping[str, Expr]) -> Equation:
    """The equation with other expressions in the place of some symbols; nothing is simplified."""
    return Equation(put(written.left, names), put(written.right, names), written.relation)


def put_in(expr: Expr, names: Mapping[str, Expr]) -> Expr:
    """The expression with other expressions in the place of some symbols, as a person writes it."""
    parts = parts_of(expr)
    if parts:
        return rebuilt(expr, [put_in(part, names) for part in parts])
    return names.get(expr.name, expr) if isinstance(expr, Symbol) else expr


def put_for(expr: Expr, old: Expr, new: Expr) -> Expr:
    """The expression with one part put for another wherever it stands; nothing is simplified."""
    if expr == old:
        return new
    parts = parts_of(expr)
    return alike(expr, [put_for(part, old, new) for part in parts]) if parts else expr


def parts_within(written: Equation) -> Iterator[Expr]:
    """Both sides of an equation and every part of them, however deep."""
    left = [written.left, written.right]
    while left:
        part = left.pop()
        yield part
        left.extend(parts_of(part))


def numbers_in(item: Expr | Equation) -> list[Number]:
    """The numbers written, in order."""
    found: list[Number] = []
    waiting: list[Expr] = [item.right, item.left] if isinstance(item, Equation) else [item]
    while waiting:
        expr = waiting.pop()
        if isinstance(expr, Number):
            found.append(expr)
        elif type(expr) is not Symbol:
            waiting.extend(reversed(parts_of(expr)))
    return found
