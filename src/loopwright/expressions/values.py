"""From what is written to its value: expression trees into exact ratios and numbers."""

from __future__ import annotations

from collections.abc import Mapping

from ..algebra.ratios import Field, Polynomial, Ratio
from .fold import Arithmetic, fold
from .nodes import Equation, Expr, Number, Symbol, parts_of


def ratio_of(expr: Expr, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """The exact value of an expression in `field`. `names`: the values of symbols that the field does not
    have, or that are to stand for something else than the field's own.

    Raises KeyError (the symbol) when a symbol is in neither, ZeroDivisionError for a zero denominator.
    """
    if not names and type(expr) is Symbol:  # as most values are
        return field.symbol(expr.name)
    return Ratio(field, *fold(expr, _OverOneLine(field, names or {})))


_OverLine = tuple[Polynomial, Polynomial]  # what stands above and below one line, not in lowest terms


class _OverOneLine(Arithmetic[_OverLine]):
    """Exact values over one line each, brought to lowest terms by whoever asked, once."""

    __slots__ = ("field", "names")

    def __init__(self, field: Field, names: Mapping[str, Ratio]) -> None:
        self.field, self.names = field, names

    def number(self, number: Number) -> _OverLine:
        constant = self.field.number(number.value)
        return constant.above, constant.below

    def symbol(self, symbol: Symbol) -> _OverLine:
        name = symbol.name
        value = self.names[name] if name in self.names else self.field.symbol(name)
        return value.above, value.below

    def add(self, one: _OverLine, other: _OverLine) -> _OverLine:
        (above, below), (more, under) = one, other
        if under == below:
            return above + more, below
        if under.is_one():
            return above + more * below, below
        return above * under + more * below, below * under

    def negate(self, value: _OverLine) -> _OverLine:
        return -value[0], value[1]

    def multiply(self, one: _OverLine, other: _OverLine) -> _OverLine:
        below, under = one[1], other[1]
        if not under.is_one():
            below = under if below.is_one() else below * under
        return one[0] * other[0], below

    def invert(self, value: _OverLine) -> _OverLine:
        above, below = value
        if above.is_zero():
            raise ZeroDivisionError("a denominator is zero identically")
        return below, above

    def power(self, base: _OverLine, exponent: int) -> _OverLine:
        return base[0] ** exponent, base[1] ** exponent


def difference_of(equation: Equation, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """Left side minus right side: zero exactly when the equation is an identity of the field."""
    return ratio_of(equation.left, field, names) - ratio_of(equation.right, field, names)


def over_one_line(equation: Equation, field: Field, names: Mapping[str, Ratio] | None = None) -> Ratio:
    """What stands above the line once left side minus right side is written as one fraction. It is zero
    exactly when the equation is an identity of the field; factors shared with the denominator are left in,
    which saves the search for them."""
    arithmetic = _OverOneLine(field, names or {})
    (above, below), (other, under) = fold(equation.left, arithmetic), fold(equation.right, arithmetic)
    whole = above - other if below == under else above * under - other * below
    return Ratio(field, whole, field.one.below, reduced=True)


def is_multiple(
    equation: Equation,
    factor: Expr,
    product: Equation,
    field: Field,
    names: Mapping[str, Ratio] | None = None,
) -> bool:
    """Whether `product` is `equation` with both sides multiplied by `factor`, its sides perhaps
    exchanged. `names` as in `ratio_of`."""
    multiplied, wanted = (
        difference_of(equation, field, names) * ratio_of(factor, field, names),
        difference_of(product, field, names),
    )
    return multiplied in (wanted, -wanted)


def symbols_of(item: Expr | Equation) -> tuple[str, ...]:
    """The names of the symbols written, in order of first appearance, each once."""
    if type(item) is Symbol:  # as most values are
        return (item.name,)
    found: dict[str, None] = {}
    waiting: list[Expr | Equation] = [item]
    while waiting:
        match waiting.pop():
            case Symbol(name):
                found[name] = None
            case Equation(left, right):
                waiting.extend((right, left))
            case expr:
                waiting.extend(reversed(parts_of(expr)))
    return tuple(found)
