"""One walk of a written tree for every kind of value: what it is worth in a given arithmetic.

The walk alone knows the kinds of node; an `Arithmetic` alone knows how values are combined: exact ratios,
fractions, floats, intervals, residues modulo a prime, dimensions, lengths. A new arithmetic says what a
leaf is worth and gives four operations; what else people write is put together from these.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import reduce
from itertools import repeat
from typing import Generic, TypeVar

from ..algebra.ratios import Ratio
from .nodes import (
    Determinant,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    expanded,
)

_Value = TypeVar("_Value")
_Signed = TypeVar("_Signed", Fraction, float, Ratio)  # values that +, -, * and / combine


class Arithmetic(ABC, Generic[_Value]):
    """How the value of an expression comes from the values of its parts.

    `divide`, `power` and `parallel` follow from the rest; an arithmetic overrides one of them where it has
    a quicker way or another meaning.
    """

    __slots__ = ()

    @abstractmethod
    def number(self, number: Number) -> _Value:
        """A number as it is written, with its unit and digits."""

    @abstractmethod
    def symbol(self, symbol: Symbol) -> _Value:
        """A symbol. A `Root` comes here as well: beside its name only its body is known."""

    @abstractmethod
    def add(self, one: _Value, other: _Value) -> _Value:
        """What two terms come to, the first being all terms before the other."""

    @abstractmethod
    def negate(self, value: _Value) -> _Value:
        """Minus a value."""

    @abstractmethod
    def multiply(self, one: _Value, other: _Value) -> _Value:
        """What two factors come to, the first being all factors before the other."""

    @abstractmethod
    def invert(self, value: _Value) -> _Value:
        """One over a value. Raises ZeroDivisionError where there is none."""

    def divide(self, above: _Value, below: _Value) -> _Value:
        """A fraction: the first times one over the other."""
        return self.multiply(above, self.invert(below))

    def power(self, base: _Value, exponent: int) -> _Value:
        """A whole exponent of 1 or more: so many factors."""
        return reduce(self.multiply, repeat(base, exponent))

    def parallel(self, parts: Sequence[_Value]) -> _Value:
        """Side by side: one over the sum of one over each."""
        return self.invert(reduce(self.add, map(self.invert, parts)))


def by_signs(
    of_number: Callable[[Number], _Signed], of_name: Callable[[str], _Signed]
) -> Arithmetic[_Signed]:
    """The arithmetic of values that +, -, * and / combine already, told what numbers and names are worth."""
    return _BySigns(of_number, of_name)


@dataclass(frozen=True, slots=True)
class _BySigns(Arithmetic[_Signed]):
    of_number: Callable[[Number], _Signed]
    of_name: Callable[[str], _Signed]

    def number(self, number: Number) -> _Signed:
        return self.of_number(number)

    def symbol(self, symbol: Symbol) -> _Signed:
        return self.of_name(symbol.name)

    def add(self, one: _Signed, other: _Signed) -> _Signed:
        return one + other

    def negate(self, value: _Signed) -> _Signed:
        return -value

    def multiply(self, one: _Signed, other: _Signed) -> _Signed:
        return one * other

    def invert(self, value: _Signed) -> _Signed:
        return 1 / value

    def divide(self, above: _Signed, below: _Signed) -> _Signed:
        return above / below

    def power(self, base: _Signed, exponent: int) -> _Signed:
        return base**exponent


def fold(expr: Expr, arithmetic: Arithmetic[_Value], known: Mapping[int, _Value] | None = None) -> _Value:
    """The value of an expression. `known`: values of parts already worked out, by the identity (`id`) of
    the part. Raises what the arithmetic raises; parts are valued from left to right."""
    if known is not None:
        found = known.get(id(expr))
        if found is not None:
            return found
    match expr:
        case Symbol():
            return arithmetic.symbol(expr)
        case Product(factors):
            total = fold(factors[0], arithmetic, known)
            for factor in factors[1:]:
                total = arithmetic.multiply(total, fold(factor, arithmetic, known))
            return total
        case Sum(terms):
            total = fold(terms[0], arithmetic, known)
            for term in terms[1:]:
                total = arithmetic.add(total, fold(term, arithmetic, known))
            return total
        case Negative(body):
            return arithmetic.negate(fold(body, arithmetic, known))
        case Number():
            return arithmetic.number(expr)
        case Quotient(above, below):
            return arithmetic.divide(fold(above, arithmetic, known), fold(below, arithmetic, known))
        case Power(base, exponent):
            return arithmetic.power(fold(base, arithmetic, known), exponent)
        case Parallel(parts):
            return arithmetic.parallel([fold(part, arithmetic, known) for part in parts])
        case Determinant(rows):
            return fold(expanded(rows), arithmetic, known)
