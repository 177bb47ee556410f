"""The course of a quantity from its transform, against what textbooks give for the simplest circuits.

Charging through one resistance, the current of a coil, two rates: common forms of any text, from memory.
"""

from __future__ import annotations

from fractions import Fraction
from math import cos, exp, sin, sqrt

import numpy as np
import pytest

from loopwright.algebra.ratios import Field
from loopwright.transients.amounts import adds_up, scaled, slope_of, squared_area
from loopwright.transients.course import course
from loopwright.transients.image import RATE
from loopwright.transients.number_course import EqualRates, in_numbers, value_at

SYMBOLS = Field(("E", "R", "C"))
WIDE = Field(("E", "R", "C", RATE))
E, R, C, S = (WIDE.symbol(name) for name in WIDE.symbols)


def test_a_current_through_one_resistance_falls_from_e_over_r_to_nothing() -> None:
    found = course(E * C * S / (R * C * S + 1), SYMBOLS)  # s times the transform
    assert found.just_after == SYMBOLS.symbol("E") / SYMBOLS.symbol("R")
    assert found.long_after == SYMBOLS.zero
    assert found.decays[0].rate.plain == SYMBOLS.one / (SYMBOLS.symbol("R") * SYMBOLS.symbol("C"))


def test_what_grows_in_proportion_to_time_has_no_value_long_after() -> None:
    found = course(E / (C * S), SYMBOLS)
    assert found.long_after is None
    assert found.slope == SYMBOLS.symbol("E") / SYMBOLS.symbol("C")
    assert found.just_after == SYMBOLS.zero


def test_a_charge_that_passes_in_no_time_is_a_burst() -> None:
    found = course(E * C * S, SYMBOLS)
    assert found.burst == SYMBOLS.symbol("E") * SYMBOLS.symbol("C")
    assert found.just_after == SYMBOLS.zero


def test_two_rates_that_feel_one_another_share_one_root() -> None:
    found = course(E / ((S * S) * R + S * 3 * C + E), SYMBOLS)
    one, other = found.decays
    assert one.rate == other.rate.conjugate()
    assert found.just_after == SYMBOLS.zero
    numbers = {"E": Fraction(2), "R": Fraction(1), "C": Fraction(1)}
    at = value_at(found, Fraction(1), numbers)  # (s + 1)(s + 2): 1 - 2 e^-t + e^-2t
    assert at == pytest.approx(1 - 2 * exp(-1) + exp(-2), rel=1e-12)


def test_rates_that_are_not_real_swing_about_the_end() -> None:
    found = course(E / (S * S + S * C + R), SYMBOLS)
    numbers = {"E": Fraction(1), "C": Fraction(1), "R": Fraction(1)}
    for t in (0.0, 0.3, 2.0, 40.0):  # s² + s + 1: 1 - e^(-t/2) (cos wt + sin wt/(2 w)), w = √3/2; from memory
        w = sqrt(3) / 2
        wanted = 1 - exp(-t / 2) * (cos(w * t) + sin(w * t) / (2 * w))
        assert value_at(found, Fraction(t), numbers) == pytest.approx(wanted, abs=1e-14)
        assert in_numbers(found, numbers).near(t) == pytest.approx(wanted, abs=1e-14)


def test_equal_rates_bring_a_factor_of_time() -> None:
    found = course(
        E / ((S + R) * (S + R)), SYMBOLS
    )  # E/R² (1 - (1 + R t) e^(-R t)); common form, from memory
    e, r = SYMBOLS.symbol("E"), SYMBOLS.symbol("R")
    assert {d.power: d.amplitude.plain for d in found.decays} == {0: -e / (r * r), 1: -e / r}
    assert squared_area(course(E * S / ((S + R) * (S + R)), SYMBOLS)) == e * e / (r * r * r * 4)


def test_rates_that_become_equal_in_numbers_alone_have_no_value_by_the_root() -> None:
    found = course(E / (S * S + S * C + R), SYMBOLS)
    with pytest.raises(EqualRates):
        value_at(found, Fraction(1), {"E": Fraction(1), "C": Fraction(2), "R": Fraction(1)})


def test_three_rates_that_depend_on_one_another_keep_their_ends_in_symbols() -> None:
    found = course(E * (S * S * S + R) / (S * S * S + S * C + R), SYMBOLS)
    assert found.just_after == SYMBOLS.symbol("E")
    assert found.long_after == SYMBOLS.symbol("E")
    assert not found.decays


def test_three_rates_in_numbers_are_worked_with_their_error() -> None:
    bare, wide = Field(()), Field((RATE,))
    s = wide.symbol(RATE)
    found = course(wide.one / (s * s * s + s * s * 5 + s * 6 + 1), bare)
    assert 0 < found.error < Fraction(1, 10**30)
    assert abs(found.just_after.value({})) < Fraction(1, 10**40)
    roots = np.roots([1, 5, 6, 1])
    wanted = 1 + sum(np.exp(r * 0.7) / (r * np.polyval([3, 10, 6], r)) for r in roots)
    assert value_at(found, Fraction("0.7"), {}) == pytest.approx(wanted.real, rel=1e-12)


def test_three_rates_that_fall_apart_are_worked() -> None:
    found = course(E / ((S + R) * (S + C) * (S + 1)), SYMBOLS)
    assert len(found.decays) == 3
    assert found.just_after == SYMBOLS.zero


def test_the_slope_of_an_exponential_is_minus_the_rate_times_it() -> None:
    found = course(E / (S + R), SYMBOLS)
    minus_rate = scaled(found, -SYMBOLS.symbol("R"))
    constant = course(E + S * 0, SYMBOLS)
    assert adds_up([(slope_of(found), 1), (minus_rate, -1), (constant, -1)])
    assert not adds_up([(slope_of(found), 1), (minus_rate, -1)])


def test_the_area_under_a_square_is_half_the_square_over_the_rate() -> None:
    found = course(E * S / (S + R), SYMBOLS)
    e, r = SYMBOLS.symbol("E"), SYMBOLS.symbol("R")
    assert squared_area(found) == e * e / (r * 2)
