"""The positive roots of polynomials in one symbol, each exact or within an interval that holds no other.

A polynomial is split into factors that have no rational factor themselves. A linear one gives a fraction, a
quadratic one a square root; of others the roots are counted by Sturm's theorem (J. C. F. Sturm, 1829; from
memory) and closed in by halves. Nothing here is rounded. Knows no circuits and no text.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from math import isqrt

from flint import fmpz_poly

from .ratios import NUMBERS, Ratio
from .surds import Surd

Coefficients = tuple[int, ...]  # of a polynomial, the constant first
_CLOSE = Fraction(1, 1 << 80)  # how narrow an interval is made, to the root itself
_SMALL_PRIMES = [n for n in range(2, 1000) if all(n % d for d in range(2, isqrt(n) + 1))]


@dataclass(frozen=True, slots=True)
class Located:
    """A real number between `low` and `high`, both fractions; where it is a fraction itself they are equal.
    `surd`: the number exactly where it is p + q √n."""

    low: Fraction
    high: Fraction
    surd: Surd | None = None

    @property
    def exact(self) -> Fraction | None:
        """The number, where it is a fraction."""
        return self.low if self.low == self.high else None

    @property
    def near(self) -> Fraction:
        """A fraction that agrees with it to some twenty figures."""
        return (self.low + self.high) / 2


@dataclass(frozen=True, slots=True)
class PositiveRoot:
    """A positive root: the irreducible polynomial with whole coefficients that it is a root of, and how many
    times that divides the one asked about."""

    at: Located
    factor: Coefficients
    times: int


def known(value: Fraction) -> Located:
    """A fraction as a located number."""
    return Located(value, value)


def coefficients(ratio: Ratio, *, below: bool = False) -> Coefficients:
    """Numerator or denominator of a ratio in one symbol at most, the constant first; (0,) for zero."""
    found = {sum(exponents): c for exponents, c in ratio.terms(below=below)}
    return tuple(found.get(power, 0) for power in range(max(found, default=0) + 1))


def value_at(polynomial: Sequence[int], x: Fraction) -> Fraction:
    """The value of a polynomial at a fraction."""
    total = Fraction(0)
    for coefficient in reversed(polynomial):
        total = total * x + coefficient
    return total


def positive_roots(polynomial: Sequence[int], close: Fraction = _CLOSE) -> tuple[PositiveRoot, ...]:
    """All positive roots in rising order; none for a constant. `close`: how narrow an interval is
    made where a root is no fraction, to the root itself. Raises ValueError for the zero polynomial,
    which vanishes everywhere."""
    whole = fmpz_poly(list(polynomial))
    if whole.is_zero():
        raise ValueError("the zero polynomial vanishes everywhere")
    found: list[PositiveRoot] = []
    for factor, times in whole.factor()[1]:
        own = tuple(int(c) for c in factor.coeffs())
        found += [PositiveRoot(at, own, int(times)) for at in _roots_of_factor(own, close)]
    return tuple(sorted(found, key=lambda root: root.at.near))


def located_value(above: Sequence[int], below: Sequence[int], at: Located) -> Located:
    """The value of one polynomial over another at a positive number. Raises ZeroDivisionError where the
    lower one vanishes there or cannot be told from zero."""
    if at.exact is not None:
        return known(value_at(above, at.exact) / value_at(below, at.exact))
    top, bottom = _enclosed(above, at), _enclosed(below, at)
    if bottom[0] <= 0 <= bottom[1]:
        raise ZeroDivisionError("the denominator vanishes, or comes too near to zero to tell")
    corners = [one / other for one in top for other in bottom]
    surd = None if at.surd is None else _surd_value(above, at.surd) * _surd_value(below, at.surd).inverse()
    if surd is not None and not surd.factor:
        return known(surd.plain.constant() or Fraction(0))
    return Located(min(corners), max(corners), surd)


def sign_beside(polynomial: Sequence[int], at: Fraction) -> int:
    """The sign of a polynomial at a fraction: +1, −1 or 0."""
    value = value_at(polynomial, at)
    return (value > 0) - (value < 0)


def _roots_of_factor(own: Coefficients, close: Fraction) -> list[Located]:
    degree = len(own) - 1
    if degree < 1:
        return []
    if degree == 1:
        root = Fraction(-own[0], own[1])
        return [known(root)] if root > 0 else []
    if degree == 2:
        return _roots_of_quadratic(own, close)
    between = [_closed_in(own, low, high, close) for low, high in _isolated(own)]
    return [Located(low, high) for low, high in between]


def _roots_of_quadratic(own: Coefficients, close: Fraction) -> list[Located]:
    """−b/2a ± √(b² − 4ac)/2a, exactly and between two fractions."""
    c, b, a = own
    inside = b * b - 4 * a * c
    if inside < 0:
        return []
    shift = close.denominator.bit_length() + sum(abs(part).bit_length() for part in own)
    below = isqrt(inside << (2 * shift))
    bounds = Fraction(below, 1 << shift), Fraction(below + 1, 1 << shift)
    square, under = _without_square(inside)
    number = NUMBERS.number
    found: list[Located] = []
    for sign in (-1, 1):
        ends = sorted((-b + sign * bound) / (2 * a) for bound in bounds)
        if ends[0] > 0:
            surd = Surd(number(Fraction(-b, 2 * a)), number(Fraction(sign * square, 2 * a)), number(under))
            found.append(Located(ends[0], ends[1], surd))
    return found


def _without_square(whole: int) -> tuple[int, int]:
    """A positive whole number as s² n: s and n. A square of a prime beyond a thousand may stay in n, for
    to find one in a long number can take for ever."""
    square = 1
    for prime in _SMALL_PRIMES:
        while whole % prime**2 == 0:
            square, whole = square * prime, whole // prime**2
    return square, whole


def _surd_value(polynomial: Sequence[int], at: Surd) -> Surd:
    total = Surd(NUMBERS.zero, NUMBERS.zero, at.under)
    for coefficient in reversed(polynomial):
        total = total * at + NUMBERS.number(coefficient)
    return total


def _enclosed(polynomial: Sequence[int], at: Located) -> tuple[Fraction, Fraction]:
    """Bounds of a polynomial at a positive number: its positive and its negative terms each only grow."""
    more = [c if c > 0 else 0 for c in polynomial]
    less = [-c if c < 0 else 0 for c in polynomial]
    return (
        value_at(more, at.low) - value_at(less, at.high),
        value_at(more, at.high) - value_at(less, at.low),
    )


# -- roots of higher degree ----------------------------------------------------------------------


def _isolated(own: Coefficients) -> list[tuple[Fraction, Fraction]]:
    """Intervals between positive fractions, each with one root of an irreducible polynomial inside."""
    chain = _sturm_chain(own)
    greatest = 1 + max(abs(Fraction(c, own[-1])) for c in own[:-1])  # Cauchy's bound
    waiting, found = [(Fraction(0), greatest)], []
    while waiting:
        low, high = waiting.pop()
        count = _changes(chain, low) - _changes(chain, high)
        if count == 1 and low > 0:
            found.append((low, high))
        elif count:
            middle = (low + high) / 2
            waiting += [(low, middle), (middle, high)]
    return found


def _sturm_chain(own: Coefficients) -> list[list[Fraction]]:
    chain = [[Fraction(c) for c in own], [Fraction(c * power) for power, c in enumerate(own)][1:]]
    while len(chain[-1]) > 1:
        rest = _remainder(chain[-2], chain[-1])
        if not rest:
            break
        chain.append([-c for c in rest])
    return chain


def _remainder(above: list[Fraction], below: list[Fraction]) -> list[Fraction]:
    rest = list(above)
    while len(rest) >= len(below):
        share, shift = rest[-1] / below[-1], len(rest) - len(below)
        for power, c in enumerate(below):
            rest[power + shift] -= share * c
        rest.pop()
    while rest and not rest[-1]:
        rest.pop()
    return rest


def _changes(chain: list[list[Fraction]], x: Fraction) -> int:
    """How often the sign changes along the chain at x."""
    signs: list[bool] = []
    for polynomial in chain:
        total = Fraction(0)
        for c in reversed(polynomial):
            total = total * x + c
        if total:
            signs.append(total > 0)
    return sum(one != other for one, other in pairwise(signs))


def _closed_in(
    own: Coefficients, low: Fraction, high: Fraction, close: Fraction
) -> tuple[Fraction, Fraction]:
    """The interval halved until it is narrow; an irreducible polynomial of degree 2 or more has no root at a
    fraction."""
    rising = value_at(own, high) > 0
    while high - low > low * close:
        middle = (low + high) / 2
        if (value_at(own, middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return low, high
