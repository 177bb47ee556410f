"""What a curve is: a quantity against one value from 0 to ∞, its ends, and every point that has a name.

With all other values at their numbers, whatever can be asked is a ratio of two polynomials in the value that
is moved. Values only; how they are found is for `curve_data`, whether they are true for `verify`.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

from ..algebra.ratios import Ratio
from ..algebra.real_roots import Coefficients, Located, PositiveRoot, coefficients, value_at
from ..circuit.circuit import Circuit
from ..circuit.plots_asked import PlotAsked, unit_of_value
from ..expressions.dimensions import AMPERE, OHM, VOLT, WATT
from .scale import usual_middle

UNIT_OF_RESULT = {AMPERE: "A", VOLT: "V", WATT: "W", OHM: "Ω"}


@dataclass(frozen=True, slots=True)
class CurveEnd:
    """What the quantity does at 0 or at ∞: its limit, or, without one, the sign (+1, −1) with which it grows
    without bound. `leaning`: at ∞, the slope and the level of the straight line it comes near to, where it
    grows in proportion to the value."""

    limit: Fraction | None
    sign: int = 0
    leaning: tuple[Fraction, Fraction] | None = None


class PointName(StrEnum):
    """What a point of a curve is."""

    OWN = "own value"
    REVERSAL = "reversal"  # zero, with a change of sign
    TOUCH = "zero"  # zero, without
    GREATEST = "greatest"
    LEAST = "least"
    LOCALLY_GREATEST = "greatest nearby"
    LOCALLY_LEAST = "least nearby"


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """A point with a name: the value moved `at` which, and the quantity there; both in SI units. `root`: the
    root that it is; None for the file's own number."""

    name: PointName
    at: Located
    result: Located
    root: PositiveRoot | None = None


@dataclass(frozen=True)
class CurveData:
    """One curve. `form`: the quantity as a ratio in the one symbol that is moved; `ends` at 0 and at ∞;
    `points` in the order of the value; `poles`: where the quantity has no bound, in that order."""

    circuit: Circuit
    asked: PlotAsked
    form: Ratio
    ends: tuple[CurveEnd, CurveEnd]
    points: tuple[CurvePoint, ...]
    poles: tuple[PositiveRoot, ...]

    @property
    def symbol(self) -> str:
        """The symbol that is moved."""
        return self.asked.over[0]

    @property
    def units(self) -> tuple[str, str]:
        """The SI units of the value moved and of the quantity."""
        unit = unit_of_value(self.circuit, self.symbol)
        return unit, UNIT_OF_RESULT.get(self.asked.target.dimension, "")

    @cached_property
    def above(self) -> Coefficients:
        """The numerator's coefficients in the value moved, the constant first."""
        return coefficients(self.form)

    @cached_property
    def below(self) -> Coefficients:
        """The denominator's."""
        return coefficients(self.form, below=True)

    def result(self, x: Fraction) -> Fraction:
        """The quantity at a value. Raises ZeroDivisionError at a pole."""
        return value_at(self.above, x) / value_at(self.below, x)

    @property
    def own(self) -> CurvePoint | None:
        """The point at the file's own number, where there is one."""
        return next((p for p in self.points if p.name is PointName.OWN), None)

    @cached_property
    def middle(self) -> Fraction:
        """The value in the middle of the scale: the file's own number; without one, the first point with a
        name, else what is usual."""
        if self.own is None and self.points:
            return self.points[0].at.near
        return usual_middle(self.circuit, self.symbol)
