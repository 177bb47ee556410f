"""Ratios at points modulo one large prime: quick, and as good as sure.

Two unequal polynomials agree at a random point with a chance of their degree over the prime (Schwartz,
J. ACM 27, 701, 1980). What is found so is a guess worth proving, or a name for what was proved.
"""

from __future__ import annotations

from collections.abc import Mapping

from .ratios import Ratio

PRIME = (1 << 61) - 1  # Mersenne's


def modular(ratio: Ratio, values: Mapping[str, int]) -> int:
    """A ratio modulo the prime, where `values` gives each of its symbols a whole number. Raises ValueError
    where its denominator vanishes there."""
    parts = []
    for below in (False, True):
        total = 0
        for exponents, coefficient in ratio.terms(below=below):
            piece = coefficient
            for name, exponent in zip(ratio.field.symbols, exponents, strict=False):
                if exponent:
                    piece = piece * pow(values[name], exponent, PRIME) % PRIME
            total += piece
        parts.append(total % PRIME)
    return parts[0] * pow(parts[1], -1, PRIME) % PRIME
