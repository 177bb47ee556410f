"""How values of expressions are reckoned where a changed line is tried: modulo a prime, or as fractions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...algebra.modular import PRIME
from ...algebra.ratios import Ratio

TrialValue = int | Fraction
TrialRow = dict[
    str, TrialValue
]  # unknown -> its number; the constant under the empty name; all adds up to zero


@dataclass(frozen=True, slots=True)
class TrialArithmetic:
    """How values are combined: modulo a prime, or exactly as fractions."""

    modular: bool

    def of(self, value: Fraction) -> TrialValue:
        """A number as a value. Raises ZeroDivisionError for what has none."""
        if not self.modular:
            return value
        return value.numerator * pow(value.denominator, -1, PRIME) % PRIME

    def times(self, one: TrialValue, other: TrialValue) -> TrialValue:
        """The product."""
        return one * other % PRIME if self.modular else one * other

    def inverse(self, value: TrialValue) -> TrialValue:
        """One over the value. Raises ZeroDivisionError."""
        if not self.modular:
            return 1 / Fraction(value)
        whole = int(value) % PRIME
        if not whole:
            raise ZeroDivisionError("one over zero")
        return pow(whole, -1, PRIME)

    def power(self, base: TrialValue, exponent: int) -> TrialValue:
        """The base to a whole exponent."""
        return pow(int(base), exponent, PRIME) if self.modular else Fraction(base) ** exponent


def value_of_ratio(
    ratio: Ratio, symbols: Mapping[str, TrialValue], arithmetic: TrialArithmetic
) -> TrialValue:
    """The value of a ratio for values of its symbols. Raises ZeroDivisionError."""
    above = _value_of_polynomial(ratio, symbols, arithmetic, below=False)
    if ratio.is_polynomial:
        return above
    return arithmetic.times(
        above, arithmetic.inverse(_value_of_polynomial(ratio, symbols, arithmetic, below=True))
    )


def _value_of_polynomial(
    ratio: Ratio, symbols: Mapping[str, TrialValue], arithmetic: TrialArithmetic, *, below: bool
) -> TrialValue:
    total: TrialValue = 0
    for exponents, coefficient in ratio.terms(below=below):
        product: TrialValue = coefficient
        for name, exponent in zip(ratio.field.symbols, exponents, strict=False):
            if exponent:
                product = arithmetic.times(product, arithmetic.power(symbols[name], exponent))
        total = total + product
    return total % PRIME if arithmetic.modular else total


def solved(
    rows: Sequence[TrialRow], arithmetic: TrialArithmetic, free: Callable[[], TrialValue]
) -> dict[str, TrialValue]:
    """Values of the unknowns that satisfy the rows, by plain elimination. A row that contradicts those
    before it is left out; unknowns that the rows leave open take their values from `free`."""
    times, zero = arithmetic.times, Fraction(0) if not arithmetic.modular else 0
    kept: list[tuple[str, TrialRow]] = []
    for each in rows:
        row = each
        for pivot, above in kept:
            factor = row.get(pivot, zero)
            if factor:
                both = {**row, **above}
                less = {n: row.get(n, zero) - times(factor, above.get(n, zero)) for n in both}
                row = {n: v % PRIME for n, v in less.items()} if arithmetic.modular else less
        lead = next((n for n, v in row.items() if n and v), "")
        if lead:
            scale = arithmetic.inverse(row[lead])
            kept.append((lead, {n: times(v, scale) for n, v in row.items() if v}))
    found: dict[str, TrialValue] = {}
    for pivot, row in reversed(kept):
        total: TrialValue = -row.get("", zero)
        for name, value in row.items():
            if name not in ("", pivot):
                if name not in found:
                    found[name] = free()
                total = total - times(value, found[name])
        found[pivot] = total % PRIME if arithmetic.modular else total
    return found
