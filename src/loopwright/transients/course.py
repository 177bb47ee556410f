"""How one quantity runs in time while a switch rests: a constant, exponentials, and what comes in no time.

    x(t) = end + slope t + A e^(-a t) + B t e^(-b t) + ...    and, at t = 0 alone, an area `burst`

Everything exact: rates that are ratios of the circuit's symbols, or two that share one square root. Three
rates or more that depend on one another have no such form: in numbers they are worked to some forty figures,
with the error told; in symbols the ends alone are given.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from math import factorial

from ..algebra.ratios import Field, Ratio
from ..algebra.surds import Surd
from .image import RATE
from .roots import factors_of


@dataclass(frozen=True, slots=True)
class Decay:
    """One exponential: `amplitude` t^`power` e^(-`rate` t), the rate in 1/s. A power stands where rates are
    equal."""

    amplitude: Surd
    rate: Surd
    power: int = 0

    @property
    def is_plain(self) -> bool:
        """Whether no square root stands in it."""
        return not self.amplitude.factor and not self.rate.factor


@dataclass(frozen=True)
class Course:
    """A quantity from just after the move on. `end`: the constant; `slope`: by how much it grows in a second,
    for ever; `burst`: what its area gains at t = 0 in no time (a charge, for a current). `first`: the value
    just after, where the exponentials have no form in symbols; they are left out then. `error`: by how much
    of themselves the rates may be out, where they are no exact numbers."""

    end: Ratio
    decays: tuple[Decay, ...]
    slope: Ratio
    burst: Ratio
    first: Ratio | None = None
    error: Fraction = Fraction(0)

    @cached_property
    def just_after(self) -> Ratio:
        """The value just after the move; what the exponentials begin with and the constant."""
        if self.first is not None:
            return self.first
        total = self.end
        for decay in self.decays:
            if not decay.power:
                total = total + decay.amplitude.plain  # the roots of a pair take each other away
        return total

    @property
    def long_after(self) -> Ratio | None:
        """The value long after; None where it grows without limit."""
        return None if self.slope else self.end

    @property
    def stays(self) -> bool:
        """Whether it does not change."""
        return not self.decays and not self.slope and self.first is None


@dataclass(frozen=True)
class Poles:
    """What a denominator says of every quantity over it. `below`: itself by its powers of s; `factors`: those
    that hold s and do not vanish at s = 0, each by its powers of s, and how often it stands there; `error`:
    by how much of themselves those that are no exact ones may be out."""

    field: Field
    below: Mapping[int, Ratio]
    factors: tuple[tuple[Mapping[int, Ratio], int], ...]
    error: Fraction

    @property
    def grows(self) -> bool:
        """Whether a factor s stands below, so that a quantity grows in proportion to time."""
        return not self.below.get(0)

    @cached_property
    def low(self) -> Mapping[int, Ratio]:
        """The denominator without that factor s."""
        return {power - 1: c for power, c in self.below.items()} if self.grows else self.below

    @cached_property
    def series(self) -> tuple[tuple[list[Surd], Sequence[Surd]], ...]:
        """Of each factor its roots, and s times the denominator by powers of the distance from the first."""
        found: list[tuple[list[Surd], Sequence[Surd]]] = []
        for factor, times in self.factors:
            roots = _roots(factor, self.field)
            whole = {power + 1: c for power, c in self.low.items()}
            found.append((roots, _series(whole, roots[0], 2 * times, self.field)[times:]))
        return tuple(found)


def course(ratio: Ratio, field: Field, poles: Poles | None = None) -> Course:
    """The course of a quantity from s times its transform, a ratio in the symbols and s. `field`: that of the
    circuit's symbols, in which the course is told; `poles`: those of its denominator, where they are known
    already."""
    poles = poles or poles_of(ratio, field)
    top, below = _coefficients(ratio, field), poles.below
    burst, top = _divided(top, below, field)
    high = max(below)
    first = top.get(high, field.zero) / below[high]
    slope = field.zero
    low = poles.low
    if poles.grows:
        slope = top.get(0, field.zero) / low[0]
        rest = _minus(top, {power: c * slope for power, c in low.items()})
        top = {p - 1: c for p, c in rest.items()}
    end = top.get(0, field.zero) / low[0]
    if any(max(factor) > 2 for factor, _ in poles.factors):
        return Course(end, (), slope, burst, first)
    decays: list[Decay] = []
    for roots, divisor in poles.series:
        found = _exponentials(top, divisor, roots[0], field)
        decays += found
        if len(roots) == 2:
            decays += [Decay(d.amplitude.conjugate(), roots[1] * field.number(-1), d.power) for d in found]
    return Course(end, tuple(d for d in decays if d.amplitude), slope, burst, error=poles.error)


def poles_of(ratio: Ratio, field: Field) -> Poles:
    """What of the denominator of a ratio makes exponentials."""
    found: list[tuple[Mapping[int, Ratio], int]] = []
    error = Fraction(0)
    for factor, times in ratio.factors(below=True)[1]:
        powers = _coefficients(factor, field)
        if not max(powers) or not powers.get(0):
            continue
        if max(powers) > 2 and not field.symbols:
            exact = tuple(powers.get(n, field.zero).value({}) for n in range(max(powers) + 1))
            split, out = factors_of(exact)
            error = max(error, out)
            found += [({n: field.number(c) for n, c in enumerate(part)}, times) for part in split]
        else:
            found.append((powers, times))
    return Poles(field, _coefficients(ratio, field, below=True), tuple(found), error)


def _roots(factor: Mapping[int, Ratio], field: Field) -> list[Surd]:
    """The roots of d0 + d1 s, or of d0 + d1 s + d2 s², s = (-d1 ± √(d1² - 4 d0 d2))/(2 d2)."""
    d0, d1 = factor[0], factor.get(1, field.zero)
    if max(factor) == 1:
        return [Surd(-d0 / d1, field.zero, field.zero)]
    d2 = factor[2]
    root = Surd(-d1 / (d2 * 2), field.one / (d2 * 2), d1 * d1 - d0 * d2 * 4)
    return [root, root.conjugate()]


def _exponentials(top: Mapping[int, Ratio], divisor: Sequence[Surd], root: Surd, field: Field) -> list[Decay]:
    """The exponentials of a root of s below(s): top(s)/(s below(s)) by powers of the distance from the root,
    the series of the one divided by that of the other, `divisor`, which is as long as the root stands there
    often."""
    times = len(divisor)
    above = _series(top, root, times, field)
    inverse = divisor[0].inverse()
    found: list[Surd] = []
    for k in range(times):
        left = above[k]
        for j in range(k):
            left = left + found[j] * divisor[k - j] * field.number(-1)
        found.append(left * inverse)
    rate, last = root * field.number(-1), times - 1
    return [
        Decay(amplitude * field.number(Fraction(1, factorial(last - k))), rate, last - k)
        for k, amplitude in enumerate(found)
    ]


def _series(poly: Mapping[int, Ratio], root: Surd, terms: int, field: Field) -> list[Surd]:
    """The first coefficients of a polynomial by powers of the distance from a root (Horner's scheme again and
    again)."""
    zero = Surd(field.zero, field.zero, root.under)
    left = [zero + poly.get(power, field.zero) for power in range(max(poly, default=0), -1, -1)]
    found: list[Surd] = []
    for _ in range(terms):
        if not left:
            found.append(zero)
            continue
        for at in range(1, len(left)):
            left[at] = left[at] + left[at - 1] * root
        found.append(left.pop())
    return found


def _coefficients(ratio: Ratio, field: Field, *, below: bool = False) -> dict[int, Ratio]:
    """Numerator or denominator by powers of s, each coefficient in the field of the circuit's symbols."""
    found = ratio.coefficients_in(RATE, below=below)
    return {power: c.at({RATE: 0}, field) for power, c in found.items()}


def _divided(
    top: Mapping[int, Ratio], below: Mapping[int, Ratio], field: Field
) -> tuple[Ratio, dict[int, Ratio]]:
    """What of top/below grows like s (the burst), and the rest of the top. Higher powers cannot come of
    sources that rest."""
    high = max(below, default=0)
    if max(top, default=0) <= high:
        return field.zero, dict(top)
    burst = top[high + 1] / below[high]
    return burst, _minus(top, {power + 1: c * burst for power, c in below.items()})


def _minus(one: Mapping[int, Ratio], other: Mapping[int, Ratio]) -> dict[int, Ratio]:
    powers = {*one, *other}
    found: dict[int, Ratio] = {}
    for power in sorted(powers):
        if power not in other:
            found[power] = one[power]
        else:
            found[power] = one[power] - other[power] if power in one else -other[power]
    return {power: c for power, c in found.items() if c}
