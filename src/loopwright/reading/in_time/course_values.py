"""Values in time, exactly: sums of powers of e whose exponents and factors are ratios of the circuit's
symbols and the time.

    2 E/R − E/R e^(−t/(R C))    is    {0: 2 E/R,  −t/(R C): −E/R}

Two courses are equal when each exponent has the same factor on both sides, and in no other case: powers of e
with different exponents are independent of one another. Applieds stand for themselves, taken apart into
those of irreducible factors and primes.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from ...algebra.ratios import Field, Ratio
from ...algebra.surds import primes_of
from ...algebra.surds import root as root_of
from ...expressions.fold import Arithmetic, fold
from ...expressions.nodes import Applied, Exponential, Expr, Number, Root, Symbol


class NotExact(ArithmeticError):
    """A value that is no sum of powers of e with ratios as factors."""


_Key = tuple[Ratio, Ratio | None]  # the exponent, and that whose logarithm is a factor, if one is


@dataclass(frozen=True, slots=True)
class ExactValue:
    """A sum: factor by exponent and logarithm; nothing is kept with the factor zero."""

    terms: dict[_Key, Ratio]

    def __sub__(self, other: ExactValue) -> ExactValue:
        return plus(self, times_number(other, -1))

    @property
    def is_zero(self) -> bool:
        """Whether it vanishes at all times."""
        return not self.terms

    @property
    def plain(self) -> Ratio:
        """The ratio that it is. Raises NotExact where powers of e or logarithms stand in it."""
        if not self.terms:
            raise NotExact("zero has no field")
        ((exponent, log), factor), *more = self.terms.items()
        if more or exponent or log is not None:
            raise NotExact("no ratio")
        return factor


def of_ratio(ratio: Ratio) -> ExactValue:
    """A ratio as a value."""
    return ExactValue({(ratio.field.zero, None): ratio} if ratio else {})


def plus(one: ExactValue, other: ExactValue) -> ExactValue:
    """The sum."""
    found = dict(one.terms)
    for key, factor in other.terms.items():
        total = found[key] + factor if key in found else factor
        if total:
            found[key] = total
        else:
            found.pop(key, None)
    return ExactValue(found)


def times_number(value: ExactValue, factor: int) -> ExactValue:
    """The value times a whole number."""
    return ExactValue({key: part * factor for key, part in value.terms.items()})


def slope_of_value(value: ExactValue, time: str) -> ExactValue:
    """How fast a value changes. Raises NotExact where a logarithm stands in it."""
    found = ExactValue({})
    for (power, log), factor in value.terms.items():
        if log is not None:
            raise NotExact("the slope of a logarithm")
        part = factor.derivative(time) + factor * power.derivative(time)
        found = plus(found, ExactValue({(power, None): part} if part else {}))
    return found


def product(one: ExactValue, other: ExactValue) -> ExactValue:
    """The product. Raises NotExact where both factors hold a logarithm."""
    found = ExactValue({})
    for (power, log), factor in one.terms.items():
        for (more, other_log), part in other.terms.items():
            if log is not None and other_log is not None:
                raise NotExact("a logarithm times a logarithm")
            key = (power + more, other_log if log is None else log)
            found = plus(found, ExactValue({key: factor * part}))
    return found


class ExactArithmetic(Arithmetic[ExactValue]):
    """Values of written expressions. `of_name`: what a name stands for; raises KeyError for a strange one."""

    __slots__ = ("field", "of_name")

    def __init__(self, field: Field, of_name: Callable[[str], ExactValue]) -> None:
        self.field, self.of_name = field, of_name

    def number(self, number: Number) -> ExactValue:
        """A number, exactly as it is written."""
        return of_ratio(self.field.number(number.value))

    def symbol(self, symbol: Symbol) -> ExactValue:
        """A name, a power of e, a logarithm or a root."""
        match symbol:
            case Exponential(body=body):
                return self._exponential(fold(body, self))
            case Applied(function="ln", body=body):
                return self._logarithm(fold(body, self))
            case Root(body=body):
                return self._root(fold(body, self))
        return self.of_name(symbol.name)

    def _exponential(self, value: ExactValue) -> ExactValue:
        zero = self.field.zero
        exponent, factor = zero, self.field.one
        for (power, log), part in value.terms.items():
            if power:
                raise NotExact("a power of e in an exponent")
            if log is None:
                exponent = part
                continue
            whole = part.constant()
            if whole is None or whole.denominator != 1:
                raise NotExact("a logarithm in an exponent")
            factor = factor * log ** int(whole)
        return ExactValue({(exponent, None): factor})

    def _logarithm(self, value: ExactValue) -> ExactValue:
        if len(value.terms) != 1:
            raise NotExact("the logarithm of a sum of powers of e, or of zero")
        ((exponent, log), factor) = next(iter(value.terms.items()))
        if log is not None:
            raise NotExact("the logarithm of a logarithm")
        found = of_ratio(exponent)
        zero = self.field.zero
        for below in (False, True):
            content, factors = factor.factors(below=below)
            if content < 0 and below:
                raise NotExact("the logarithm of a negative number")
            sign = -1 if below else 1
            for prime, power in primes_of(abs(int(content))):
                key: _Key = (zero, self.field.number(prime))
                found = plus(found, ExactValue({key: self.field.number(sign * power)}))
            for part, power in factors:
                key = (zero, part)
                found = plus(found, ExactValue({key: self.field.number(sign * power)}))
        return found

    def _root(self, value: ExactValue) -> ExactValue:
        if not value.terms:
            return value
        amount = value.plain.constant()
        if amount is None or amount < 0 or root_of(amount) ** 2 != amount:
            raise NotExact("a root that is no ratio")
        return of_ratio(self.field.number(root_of(amount)))

    def add(self, one: ExactValue, other: ExactValue) -> ExactValue:
        """The sum."""
        return plus(one, other)

    def negate(self, value: ExactValue) -> ExactValue:
        """Minus a value."""
        return times_number(value, -1)

    def multiply(self, one: ExactValue, other: ExactValue) -> ExactValue:
        """The product; at most one factor may hold a logarithm."""
        return product(one, other)

    def invert(self, value: ExactValue) -> ExactValue:
        """One over a value of one term."""
        if not value.terms:
            raise ZeroDivisionError("one over zero")
        if len(value.terms) != 1:
            raise NotExact("one over a sum of powers of e")
        ((exponent, log), factor) = next(iter(value.terms.items()))
        if log is not None:
            raise NotExact("one over a logarithm")
        return ExactValue({(-exponent, None): self.field.one / factor})

    def divide(self, above: ExactValue, below: ExactValue) -> ExactValue:
        """A fraction; a sum below it only where the one above is a multiple of it."""
        if len(below.terms) > 1 and above.terms.keys() == below.terms.keys():
            shares = [above.terms[key] / below.terms[key] for key in below.terms]
            if all(share == shares[0] for share in shares):
                return of_ratio(shares[0])
        return self.multiply(above, self.invert(below))


def exact_value(expr: Expr, field: Field, of_name: Callable[[str], ExactValue]) -> ExactValue:
    """The value of an expression. Raises NotExact, ZeroDivisionError, and what `of_name` raises."""
    return fold(expr, ExactArithmetic(field, of_name))


def at_time(value: ExactValue, time: Ratio, name: str) -> ExactValue:
    """A course at one time: the time put in the place of its name."""
    field = time.field
    found = ExactValue({})
    for (exponent, log), factor in value.terms.items():
        key = (exponent.at({name: time}, field), log)
        found = plus(found, ExactValue({key: factor.at({name: time}, field)}))
    return ExactValue({key: part for key, part in found.terms.items() if part})
