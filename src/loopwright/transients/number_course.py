"""A course in numbers: its value at any time, with some forty figures carried, also where it swings."""

from __future__ import annotations

from cmath import exp as exp_complex
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Context, Decimal
from fractions import Fraction
from functools import cached_property
from math import cos, exp, factorial, inf, sin

from ..algebra.surds import root
from .course import Course, Decay

_CONTEXT = Context(prec=50, Emin=-999999, Emax=999999)
_SIXTY = 10**60
_FADED, _GROWN = 500, 20_000  # powers of e: less than any figure carried, and more than can be worked with


class EqualRates(ArithmeticError):
    """Two rates that are equal for these numbers and not in symbols: their exponentials have no value."""


@dataclass(frozen=True, slots=True)
class Swing:
    """t^power e^(-rate t) (cosine cos(turning t) + sine sin(turning t)); an exponential where turning is 0.
    Rates in 1/s, `turning` in radians per second."""

    power: int
    rate: Fraction
    turning: Fraction
    cosine: Fraction
    sine: Fraction

    def at(self, time: Fraction) -> Fraction:
        """Its value at a time in seconds; nothing where less than e^-500 of it is left. Raises OverflowError
        where it has grown beyond all bounds."""
        powers = self.rate * time
        if powers > _FADED:
            return Fraction(0)
        if powers < -_GROWN:
            raise OverflowError("an exponential beyond all bounds")
        faded = Fraction(_CONTEXT.exp(_decimal(-powers))) * time**self.power
        if not self.turning:
            return faded * self.cosine
        cosine, sine = _turned(self.turning * time)
        return faded * (self.cosine * cosine + self.sine * sine)


@dataclass(frozen=True)
class NumberCourse:
    """A quantity in numbers: a constant, growth and what fades, two rates that are not real as one swing."""

    end: Fraction
    slope: Fraction
    swings: tuple[Swing, ...]

    def at(self, time: Fraction) -> Fraction:
        """The value at a time in seconds after the move, right to some forty figures of its largest part."""
        parts = [self.end, self.slope * time, *(swing.at(time) for swing in self.swings)]
        return Fraction(_decimal(sum(parts, Fraction(0))))

    @property
    def turning(self) -> float:
        """How fast it swings at most, in radians per second; 0 where it does not."""
        return float(max((swing.turning for swing in self.swings), default=Fraction(0)))

    def near(self, time: float) -> float:
        """The value in floating point, for a curve and a first look."""
        end, slope, swings = self._floats
        total = end + slope * time
        for power, rate, turning, cosine, sine in swings:
            part = cosine * cos(turning * time) + sine * sin(turning * time) if turning else cosine
            total += time**power * exp(-rate * time) * part
        return total

    @cached_property
    def _floats(self) -> tuple[float, float, list[tuple[int, float, float, float, float]]]:
        swings = [
            (s.power, float(s.rate), float(s.turning), float(s.cosine), float(s.sine)) for s in self.swings
        ]
        return float(self.end), float(self.slope), swings

    def squared_area(self, span: float = inf) -> float:
        """The area under its square, from 0 on, for so many seconds; for ever where it ends at nothing."""
        parts = [(0, complex(0), complex(float(self.end))), (1, complex(0), complex(float(self.slope)))]
        for swing in self.swings:
            half = complex(float(swing.cosine), -float(swing.sine)) / 2
            rate = complex(float(swing.rate), -float(swing.turning))
            parts += [(swing.power, rate, half), (swing.power, rate.conjugate(), half.conjugate())]
        kept = [part for part in parts if part[2]]
        total = complex(0)
        for m, one, a in kept:
            for n, other, b in kept:
                total += a * b * _area(m + n, one + other, span)
        return total.real


def _area(power: int, rate: complex, span: float) -> complex:
    """The area under t^n e^(-a t) from 0 to `span`."""
    if not rate:
        return complex(span) ** (power + 1) / (power + 1)
    left = sum((rate * span) ** k / factorial(k) for k in range(power + 1)) if span < inf else 0.0
    faded = exp_complex(-rate * span) if span < inf else 0.0
    return factorial(power) / rate ** (power + 1) * (1 - faded * left)


def in_numbers(course: Course, numbers: Mapping[str, Fraction]) -> NumberCourse:
    """A course for these numbers of its symbols. Raises EqualRates where two rates are equal for them, and
    for a course whose exponentials have no form in symbols."""
    if course.first is not None:
        raise EqualRates("no exponentials in symbols")
    found = [swing for decay in course.decays if (swing := _swing(decay, numbers)) is not None]
    return NumberCourse(course.end.value(numbers), course.slope.value(numbers), tuple(found))


def _swing(decay: Decay, numbers: Mapping[str, Fraction]) -> Swing | None:
    """What an exponential is in numbers; None for the second of a pair that swings."""
    amplitude, rate = decay.amplitude, decay.rate
    under = rate.under.value(numbers) if rate.factor else Fraction(0)
    if rate.factor and not under:
        raise EqualRates("two equal rates")
    if under >= 0:
        return Swing(decay.power, rate.value(numbers), Fraction(0), amplitude.value(numbers), Fraction(0))
    turning = rate.factor.value(numbers) * root(-under)
    if turning < 0:
        return None
    cosine = 2 * amplitude.plain.value(numbers)
    sine = 2 * amplitude.factor.value(numbers) * root(-under)
    return Swing(decay.power, rate.plain.value(numbers), turning, cosine, sine)


def value_at(course: Course, time: Fraction, numbers: Mapping[str, Fraction]) -> float:
    """The value of a course at a time in seconds after the move, in floating point."""
    return float(in_numbers(course, numbers).at(time))


def _decimal(value: Fraction) -> Decimal:
    return _CONTEXT.divide(Decimal(value.numerator), Decimal(value.denominator))


def _turned(angle: Fraction) -> tuple[Fraction, Fraction]:
    """Cosine and sine of an angle in radians: their series for a small part of it, then doubled."""
    halvings = max(0, int(abs(angle)).bit_length() + 4)
    small = Fraction(_decimal(angle / 2**halvings))
    cosine = sine = Fraction(0)
    term = Fraction(1)
    for n in range(1, 40, 2):
        cosine, term = cosine + term, _short(term * small / n)
        sine, term = sine + term, _short(-term * small / (n + 1))
    for _ in range(halvings):
        cosine, sine = _short(cosine * cosine - sine * sine), _short(2 * sine * cosine)
    return cosine, sine


def _short(value: Fraction) -> Fraction:
    """Rounded to sixty places, so that fractions do not grow."""
    return Fraction(round(value * _SIXTY), _SIXTY)
