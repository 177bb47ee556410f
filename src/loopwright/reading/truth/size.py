"""How long an expression gets when it is multiplied out, before it is: so that no line can hang a reading."""

from __future__ import annotations

from dataclasses import dataclass
from math import comb

from ...expressions.nodes import (
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
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
    for part in _over_line(expr):
        monomials = comb(min(names + part.degree, 400), min(part.degree, 200)) if names else 1
        if min(part.terms, monomials) > MOST_TERMS:
            raise TooLong
        if growth > 1 and part.degree * (growth.bit_length() - 1) > 24:
            raise TooLong


def _over_line(expr: Expr) -> tuple[_Part, _Part]:
    match expr:
        case Number():
            return _Part(), _Part()
        case Symbol():
            return _Part(1, 1), _Part()
        case Negative(body):
            return _over_line(body)
        case Sum(parts):
            return _total([_over_line(part) for part in parts])
        case Product(parts):
            above, below = _Part(), _Part()
            for one, other in map(_over_line, parts):
                above, below = above * one, below * other
            return above, below
        case Quotient(dividend, divisor):
            (a, b), (c, d) = _over_line(dividend), _over_line(divisor)
            return a * d, b * c
        case Power(base, exponent):
            above, below = _over_line(base)
            result = (_Part(), _Part())
            for _ in range(exponent):
                result = (result[0] * above, result[1] * below)
            return result
        case Parallel(parts):
            above, below = _total([(b, a) for a, b in map(_over_line, parts)])
            return below, above


def _total(parts: list[tuple[_Part, _Part]]) -> tuple[_Part, _Part]:
    above, below = parts[0]
    for one, other in parts[1:]:
        if other == _Part():
            above = above + one * below
        else:
            above, below = above * other + one * below, below * other
    return above, below
