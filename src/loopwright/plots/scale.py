"""The one scale of a value from 0 to ∞, of plots and of the lines of values on the desk.

A value x stands at the share t = x/(x + m) of the way, m being the value in the middle; so x = m t/(1 − t).
Both ends are reached, equal factors from the middle lie at equal distances from it, and near 0 the scale is
that of x itself. The page of the desk places a slider by the same formula.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ..circuit.circuit import Circuit


@dataclass(frozen=True, slots=True)
class Scale:
    """The scale with this positive value in the middle, in the value's own SI unit."""

    middle: Fraction

    def share(self, value: Fraction) -> float:
        """How far along a value stands, from 0 to 1."""
        return float(value / (value + self.middle))

    def value(self, share: Fraction) -> Fraction:
        """The value at a share of the way below 1."""
        return self.middle * share / (1 - share)


def usual_middle(circuit: Circuit, symbol: str) -> Fraction:
    """The value in the middle of a symbol's scale: the file's own number; without one what is usual among the
    other values of its kind, else 1."""
    own = circuit.numbers.get(symbol, Fraction(0))
    if own > 0:
        return own
    kind = circuit.role(symbol)
    others = sorted(v for n, v in circuit.numbers.items() if v > 0 and circuit.role(n) is kind)
    return others[len(others) // 2] if others else Fraction(1)
