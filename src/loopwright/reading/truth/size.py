"""How long an expression gets when it is multiplied out, before it is: so that no line can hang a reading."""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

from ...expressions.fold import Arithmetic, fold
from ...expressions.nodes import Expr, Number, Symbol
from ...expressions.values import symbols_of

MOST_TERMS = 50_000  # of a line multiplied out; a person's own line has a few hundred at most
_BEYOND = 10**12


class TooLong(ValueError):
    """A line that would get too long when multiplied out."""


@dataclass(frozen=True, slots=True)
class _Part:
    """The most that a part can become when it is multiplied out: a polynomial of so many terms and of this
    degree."""

    terms: int = 1
    degree: int = 0

    def __mul__(self, other: _Part) -> _Part:
        return _Part(min(self.terms * other.terms, _BEYOND), self.degree + other.degree)

    def __add__(self, other: _Part) -> _Part:
        return _Part(min(self.terms + other.terms, _BEYOND), max(self.degree, other.degree))


def check_length(expr: Expr, growth: int = 1) -> None:
    """Raises TooLong when an expression may have more than MOST_TERMS terms over one line. `growth`: how many
    terms each symbol stands for at most."""
    names = len(symbols_of(expr))
    for part in fold(expr, _Lengths()):
        monomials = comb(min(names + part.degree, 400), min(part.degree, 200)) if names else 1
        if min(part.terms, monomials) > MOST_TERMS:
            raise TooLong
        if growth > 1 and part.degree * (growth.bit_length() - 1) > 24:
            raise TooLong


class _Lengths(Arithmetic[tuple[_Part, _Part]]):
    """How long what stands above and below one line may get."""

    __slots__ = ()

    def number(self, number: Number) -> tuple[_Part, _Part]:
        return _Part(), _Part()

    def symbol(self, symbol: Symbol) -> tuple[_Part, _Part]:
        return _Part(1, 1), _Part()

    def add(self, one: tuple[_Part, _Part], other: tuple[_Part, _Part]) -> tuple[_Part, _Part]:
        (above, below), (more, under) = one, other
        if under == _Part():
            return above + more * below, below
        return above * under + more * below, below * under

    def negate(self, value: tuple[_Part, _Part]) -> tuple[_Part, _Part]:
        return value

    def multiply(self, one: tuple[_Part, _Part], other: tuple[_Part, _Part]) -> tuple[_Part, _Part]:
        return one[0] * other[0], one[1] * other[1]

    def invert(self, value: tuple[_Part, _Part]) -> tuple[_Part, _Part]:
        return value[1], value[0]
