"""How values of expressions are reckoned where a changed line is tried: modulo a prime, or as fractions."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ...algebra.modular import PRIME
from ...algebra.number_rows import solve_number_rows, solve_residue_rows
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
    rows: Sequence[TrialRow],
    unknowns: Sequence[str],
    arithmetic: TrialArithmetic,
    free: Callable[[], TrialValue],
) -> Mapping[str, TrialValue]:
    """Values of the unknowns that satisfy the rows, as the rows come. A row that contradicts those
    before it is left out; unknowns that the rows leave open take their values from `free`."""
    if arithmetic.modular:
        residues = solve_residue_rows([{n: int(x) for n, x in row.items()} for row in rows], unknowns)
        return residues.at({name: int(free()) for name in residues.open})
    found = solve_number_rows([{n: Fraction(x) for n, x in row.items()} for row in rows], unknowns)
    return found.at({name: Fraction(free()) for name in found.open})
