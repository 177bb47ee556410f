"""Exact fractions of polynomials in named symbols over the whole numbers, always in lowest terms.

The floor of everything: it knows no circuits and no text. A `Field` is the set of fractions in a
fixed tuple of symbols; a `Ratio` is one of them. Two ratios of one field are equal as values
exactly when they are equal as functions, because the form is canonical: numerator and denominator
share no factor and the denominator's leading coefficient is positive.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property, lru_cache

from flint import Ordering, fmpz, fmpz_mpoly, fmpz_mpoly_ctx, fmpz_poly

Scalar = int | Fraction
_ESCAPED = re.compile(r"_u([0-9a-f]+)_")
Polynomial = fmpz_mpoly  # the kernel's polynomial with whole coefficients: what stands above or below a line
Exponents = tuple[int, ...]  # one exponent per symbol of the field, e.g. (1, 0, 1) for R1 R3


class DifferentFields(TypeError):
    """Two ratios of different fields met in one operation."""


class NoLimit(ArithmeticError):
    """A value was asked where numerator and denominator both vanish identically (0/0)."""


class Field:
    """The fractions of polynomials in `symbols` (unique names, any order; kept in that order)."""

    def __init__(self, symbols: Iterable[str]) -> None:
        self.symbols: tuple[str, ...] = tuple(dict.fromkeys(symbols))
        self.context = fmpz_mpoly_ctx.get(tuple(map(_ascii, self.symbols)) or ("_",), Ordering.deglex)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Field) and self.symbols == other.symbols

    def __hash__(self) -> int:
        return hash(self.symbols)

    def __repr__(self) -> str:
        return f"Field({', '.join(self.symbols)})"

    def symbol(self, name: str) -> Ratio:
        """The ratio that is the symbol `name` itself; KeyError when the field has no such symbol."""
        return self._symbols[name]

    def number(self, value: Scalar) -> Ratio:
        """The constant `value`."""
        constant = self.context.constant
        if isinstance(value, int):
            return Ratio(self, constant(value), self._one, reduced=True)
        return Ratio(self, constant(value.numerator), constant(value.denominator), reduced=True)

    def polynomial(self, terms: Mapping[Exponents, int]) -> Ratio:
        """The polynomial with these whole-number coefficients by exponent tuple."""
        if not self.symbols:  # the kernel has one generator at least
            return self.number(sum(terms.values()))
        return Ratio(self, self.context.from_dict(dict(terms)), self._one, reduced=True)

    @cached_property
    def zero(self) -> Ratio:
        """The number 0 of this field."""
        return self.number(0)

    @cached_property
    def one(self) -> Ratio:
        """The number 1 of this field."""
        return self.number(1)

    @cached_property
    def _one(self) -> fmpz_mpoly:
        return self.context.constant(1)

    @cached_property
    def _symbols(self) -> dict[str, Ratio]:
        generators = zip(self.symbols, self.context.gens(), strict=False)
        return {name: Ratio(self, generator, self._one, reduced=True) for name, generator in generators}

    @cached_property
    def _index(self) -> dict[str, int]:
        return {name: position for position, name in enumerate(self.symbols)}

    def position(self, name: str) -> int:
        """Where `name` stands among the symbols; KeyError when it does not."""
        return self._index[name]

    def __contains__(self, name: object) -> bool:
        return name in self._index

    def __getstate__(self) -> tuple[str, ...]:
        return self.symbols

    def __setstate__(self, symbols: tuple[str, ...]) -> None:
        self.__init__(symbols)  # type: ignore[misc]


class Ratio:
    """One exact fraction `above / below` of two polynomials of its field, in lowest terms."""

    __slots__ = ("above", "below", "field")

    def __init__(self, field: Field, above: fmpz_mpoly, below: fmpz_mpoly, *, reduced: bool = False) -> None:
        if not reduced and not below.is_one():
            if below.is_zero():
                raise ZeroDivisionError("the denominator is zero identically")
            common = above.gcd(below)
            if not common.is_one():
                above, below = above // common, below // common
            if int(below.coefficient(0)) < 0:
                above, below = -above, -below
        self.field, self.above, self.below = field, above, below

    # -- arithmetic ------------------------------------------------------------------------------

    def _same(self, other: Ratio | Scalar) -> Ratio:
        if isinstance(other, Ratio):
            if other.field is not self.field and other.field != self.field:
                raise DifferentFields(f"{self.field} and {other.field}")
            return other
        return self.field.number(other)

    def __add__(self, other: Ratio | Scalar) -> Ratio:
        other = self._same(other)
        if other.below.is_one():  # what is in lowest terms stays so when a polynomial is added
            below = self.below
            added = other.above if below.is_one() else other.above * below
            return Ratio(self.field, self.above + added, below, reduced=True)
        if self.below == other.below:
            return Ratio(self.field, self.above + other.above, self.below)
        return Ratio(
            self.field, self.above * other.below + other.above * self.below, self.below * other.below
        )

    __radd__ = __add__

    def __neg__(self) -> Ratio:
        return Ratio(self.field, -self.above, self.below, reduced=True)

    def __sub__(self, other: Ratio | Scalar) -> Ratio:
        return self + (-self._same(other))

    def __rsub__(self, other: Scalar) -> Ratio:
        return self._same(other) - self

    def __mul__(self, other: Ratio | Scalar) -> Ratio:
        if isinstance(other, int):  # the signs and counts of terms, met at every turn
            if other in (1, -1):
                return self if other == 1 else -self
            if self.below.is_one():
                return Ratio(self.field, self.above * other, self.below, reduced=True)
        return self._times(self._same(other))

    def _times(self, other: Ratio) -> Ratio:
        """The product: only what stands above one line and below the other can be cancelled."""
        if self.below.is_one() and other.below.is_one():
            return Ratio(self.field, self.above * other.above, self.below, reduced=True)
        one, two = _without_common(self.above, other.below), _without_common(other.above, self.below)
        return Ratio(self.field, one[0] * two[0], two[1] * one[1], reduced=True)

    __rmul__ = __mul__

    def __truediv__(self, other: Ratio | Scalar) -> Ratio:
        other = self._same(other)
        if other.above.is_zero():
            raise ZeroDivisionError("the divisor is zero identically")
        above, below = other.below, other.above
        if int(below.coefficient(0)) < 0:
            above, below = -above, -below
        return self._times(Ratio(self.field, above, below, reduced=True))

    def __rtruediv__(self, other: Scalar) -> Ratio:
        return self._same(other) / self

    def __pow__(self, exponent: int) -> Ratio:
        if exponent < 0:
            return (1 / self) ** -exponent
        return Ratio(self.field, self.above**exponent, self.below**exponent, reduced=True)

    # -- comparison ------------------------------------------------------------------------------

    def __eq__(self, other: object) -> bool:
        if isinstance(other, int | Fraction):
            other = self.field.number(other)
        if not isinstance(other, Ratio):
            return NotImplemented
        return (
            self.field == other.field and bool(self.above == other.above) and bool(self.below == other.below)
        )

    def __hash__(self) -> int:
        return hash((self.field, str(self.above), str(self.below)))

    def __bool__(self) -> bool:
        return not self.above.is_zero()

    def __repr__(self) -> str:
        text = str(self.above) if self.below.is_one() else f"({self.above})/({self.below})"
        return _ESCAPED.sub(lambda match: chr(int(match[1], 16)), text)

    # -- looking inside --------------------------------------------------------------------------

    @property
    def numerator(self) -> Ratio:
        """What stands above the line, as a ratio of its own."""
        return Ratio(self.field, self.above, self.field.one.below, reduced=True)

    @property
    def denominator(self) -> Ratio:
        """What stands below the line, as a ratio of its own."""
        return Ratio(self.field, self.below, self.field.one.below, reduced=True)

    @property
    def is_polynomial(self) -> bool:
        """Whether the denominator is 1."""
        return bool(self.below.is_one())

    def constant(self) -> Fraction | None:
        """The number this ratio is, or None when it holds a symbol."""
        if not (self.above.is_constant() and self.below.is_constant()):
            return None
        return _fraction(_leading(self.above), 1 if self.below.is_one() else _leading(self.below))

    def terms(self, *, below: bool = False) -> list[tuple[Exponents, int]]:
        """The (exponents, coefficient) pairs of numerator or denominator, in a fixed order."""
        part = self.below if below else self.above
        if part.is_one():  # as most denominators are
            return [((0,) * max(1, len(self.field.symbols)), 1)]
        return [(tuple(map(int, e)), int(c)) for e, c in zip(part.monoms(), part.coeffs(), strict=True)]

    def signs(self, *, below: bool = False) -> set[bool]:
        """Whether the coefficients of numerator or denominator are positive: one of both answers where all
        terms have one sign, both where the signs are mixed, none for zero."""
        return {int(c) > 0 for c in (self.below if below else self.above).coeffs()}

    def held(self) -> tuple[str, ...]:
        """The names of the symbols that the ratio really holds, in the field's order."""
        above, below = self.above.degrees(), self.below.degrees()
        degrees = zip(self.field.symbols, above, below, strict=False)
        return tuple([name for name, a, b in degrees if a > 0 or b > 0])

    def degree(self, name: str, *, below: bool = False) -> int:
        """The highest power of `name` in numerator or denominator (-1 for the zero polynomial)."""
        part = self.below if below else self.above
        return -1 if part.is_zero() else int(part.degrees()[self.field.position(name)])

    def coefficients_in(self, name: str, *, below: bool = False) -> dict[int, Ratio]:
        """Numerator or denominator as a polynomial in `name`: power -> coefficient, zeros left out."""
        at = self.field.position(name)
        part, one = self.below if below else self.above, self.field.one.below
        if int(part.degrees()[at]) <= 1:  # nearly always: each resistance of its own has degree 1
            slope = part.derivative(at)
            rest_of = part - slope * self.field.context.gen(at)
            both = {0: rest_of, 1: slope}
            return {n: Ratio(self.field, c, one, reduced=True) for n, c in both.items() if not c.is_zero()}
        rows: dict[int, dict[Exponents, int]] = {}
        for exponents, coefficient in self.terms(below=below):
            rest = (*exponents[:at], 0, *exponents[at + 1 :])
            rows.setdefault(exponents[at], {})[rest] = coefficient
        return {power: self.field.polynomial(terms) for power, terms in sorted(rows.items())}

    def factors(self, *, below: bool = False) -> tuple[int, list[tuple[Ratio, int]]]:
        """Whole-number content and the irreducible factors with their powers, in a fixed order;
        every factor's leading coefficient is positive."""
        part = self.below if below else self.above
        if part.is_zero():
            return 0, []
        content, found = _factored(part)
        sign = 1
        result: list[tuple[Ratio, int]] = []
        for factor, power in found:
            if int(factor.coefficient(0)) < 0:
                factor, sign = -factor, sign * (-1) ** power
            result.append((Ratio(self.field, factor, self.field.one.below, reduced=True), int(power)))
        if len(result) > 1:
            result.sort(
                key=lambda pair: (len(pair[0].terms()), [tuple(-x for x in e) for e, _ in pair[0].terms()])
            )
        return sign * int(content), result

    # -- calculus and substitution ---------------------------------------------------------------

    def derivative(self, name: str) -> Ratio:
        """The partial derivative by `name`."""
        above, below = self.above, self.below
        if below.is_one():
            return Ratio(self.field, above.derivative(self.field.position(name)), below, reduced=True)
        return Ratio(
            self.field, above.derivative(name) * below - above * below.derivative(name), below * below
        )

    def at(self, values: Mapping[str, Ratio | Scalar], field: Field | None = None) -> Ratio:
        """The ratio with `values` put for symbols, as a ratio of `field` (default: the same field).

        Raises NoLimit for 0/0 and ZeroDivisionError where only the denominator vanishes.
        """
        target = field or self.field
        if not values and target == self.field:
            return self
        strange = [name for name in self.field.symbols if name not in values and name not in target]
        missing = set(strange).intersection(self.held()) if strange else ()
        if missing:
            raise KeyError(next(name for name in strange if name in missing))
        images: list[Ratio] = []
        for name in self.field.symbols:
            value = values.get(name)
            if value is not None:
                images.append(value if isinstance(value, Ratio) else target.number(value))
            else:
                images.append(target.symbol(name) if name in target else target.zero)
        above = _composed(self.above, images, target)
        if self.below.is_one():
            return above
        below = _composed(self.below, images, target)
        if not values and not strange:  # the same fraction in a wider field: in lowest terms as it was
            above, below = (above, below) if int(below.above.coefficient(0)) > 0 else (-above, -below)
            return Ratio(target, above.above, below.above, reduced=True)
        if not below:
            if not above:
                raise NoLimit("numerator and denominator both vanish")
            raise ZeroDivisionError("the denominator vanishes for these values")
        return above / below

    def value(self, values: Mapping[str, Scalar]) -> Fraction:
        """The number that the ratio takes for these numbers (every held symbol must be given)."""
        try:
            above, over = _number(self.above, self.field.symbols, values)
            below, under = _number(self.below, self.field.symbols, values)
        except _NoNumber:
            raise KeyError(", ".join(name for name in self.held() if name not in values)) from None
        if not below:
            if not above:
                raise NoLimit("numerator and denominator both vanish")
            raise ZeroDivisionError("the denominator vanishes for these values")
        return Fraction(above * under, below * over)

    def real(self) -> Callable[[Mapping[str, float]], float]:
        """The ratio as a function of floating-point numbers: it takes a value for each symbol and gives the
        value, rounded as floating point is. For routes that compare numbers; the one place where this
        folder leaves exact arithmetic, and nothing exact is made from it. Raises ZeroDivisionError where
        the denominator vanishes."""
        symbols, above, below = self.field.symbols, self.terms(), self.terms(below=True)

        def summed(terms: list[tuple[Exponents, int]], values: Mapping[str, float]) -> float:
            total = 0.0
            for exponents, coefficient in terms:
                product = float(coefficient)
                for name, exponent in zip(symbols, exponents, strict=False):
                    if exponent:
                        product *= values[name] ** exponent
                total += product
            return total

        return lambda values: summed(above, values) / summed(below, values)


def _ascii(name: str) -> str:
    """A name in ASCII alone, as the kernel asks: `ε1` gives `_u3b5_1`."""
    return "".join(character if character.isascii() else f"_u{ord(character):x}_" for character in name)


def _without_common(one: fmpz_mpoly, other: fmpz_mpoly) -> tuple[fmpz_mpoly, fmpz_mpoly]:
    """Both polynomials over their greatest common factor."""
    if other.is_one():
        return one, other
    common = one.gcd(other)
    return (one, other) if common.is_one() else (one // common, other // common)


@lru_cache(maxsize=4096)
def _fraction(above: int, below: int) -> Fraction:
    """The same few numbers are met again and again, and a fraction takes ten times as long to make."""
    return Fraction(above, below)


def _leading(part: fmpz_mpoly) -> int:
    return 0 if part.is_zero() else int(fmpz(part.coefficient(0)))


class _NoNumber(Exception):
    """A symbol that a polynomial holds has no number."""


def _factored(part: fmpz_mpoly) -> tuple[fmpz, Sequence[tuple[fmpz_mpoly, int]]]:
    """Content and factors. The kernel (python-flint 0.9) puts factors of one degree in order by coefficients
    that must fit a machine word; where they do not, a polynomial in one symbol is factored as such."""
    try:
        return part.factor()
    except OverflowError:
        used = [n for n, degree in enumerate(part.degrees()) if degree]
        if len(used) != 1:
            raise
        context, (at,) = part.context(), used
        rows = {exponents[at]: coefficient for exponents, coefficient in part.terms()}
        content, found = fmpz_poly([rows.get(n, 0) for n in range(max(rows) + 1)]).factor()
        empty = [0] * context.nvars()

        def back(factor: fmpz_poly) -> fmpz_mpoly:
            powers = ((*empty[:at], n, *empty[at + 1 :]) for n in range(len(factor.coeffs())))
            return context.from_dict(dict(zip(powers, factor.coeffs(), strict=True)))

        return content, [(back(factor), power) for factor, power in found]


def _number(part: fmpz_mpoly, symbols: Sequence[str], values: Mapping[str, Scalar]) -> tuple[int, int]:
    """The value of a polynomial at exact numbers for the symbols, as a whole number over another: worked over
    one denominator, so that nothing is cancelled term by term. Raises _NoNumber."""
    if part.is_constant():
        return _leading(part), 1
    degrees = part.degrees()
    whole = [0] * len(degrees)
    fractions = False
    for at, degree in enumerate(degrees):
        if degree:
            number = values.get(symbols[at])
            if number is None:
                raise _NoNumber
            whole[at] = number.numerator
            fractions = fractions or number.denominator != 1
    if not fractions:
        return int(part(*whole)), 1
    powers: list[tuple[int, list[int]]] = []  # of the symbols that it holds, each by its position
    over = 1
    for at, degree in enumerate(map(int, degrees)):
        if degree:
            top, bottom = whole[at], values[symbols[at]].denominator
            powers.append((at, [top**k * bottom ** (degree - k) for k in range(degree + 1)]))
            over *= bottom**degree
    total = 0
    for exponents, coefficient in zip(part.monoms(), part.coeffs(), strict=True):
        piece = int(coefficient)
        for position, table in powers:
            piece *= table[int(exponents[position])]
        total += piece
    return total, over


def _composed(part: fmpz_mpoly, images: list[Ratio], target: Field) -> Ratio:
    """The polynomial with `images[i]` put in for its i-th symbol, as a ratio of `target`."""
    if all(image.is_polynomial for image in images):
        whole = [image.above for image in images] or [target.zero.above]
        return Ratio(target, part.compose(*whole, ctx=target.context), target.one.below, reduced=True)
    result = target.zero
    for exponents, coefficient in zip(part.monoms(), part.coeffs(), strict=True):
        piece = target.number(int(coefficient))
        for image, exponent in zip(images, exponents, strict=False):
            if exponent:
                piece = piece * image ** int(exponent)
        result = result + piece
    return result


NUMBERS = Field(())  # one for all, so that two of its ratios are seen at once to be of one field
