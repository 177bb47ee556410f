"""A curve as it is told to those who do not see it."""

from __future__ import annotations

from fractions import Fraction

from loopwright.expressions.said import as_text
from tests.unit.plots.made_plots import CURVES, curve_plot

HEAD = "on a scale that goes from 0 to ∞."


def test_a_power_is_told_with_its_ends_and_where_it_is_greatest() -> None:
    assert curve_plot(*CURVES[0]).words == (
        f"P(Rh) against Rh, {HEAD} As Rh → 0, P(Rh) → 0 W. P(Rh) is greatest at Rh = 12/7 Ω, about 1.71 Ω: "
        "there P(Rh) ≈ 59.2 W. At the number given, Rh = 5.00 Ω, P(Rh) = 45.0 W. As Rh → ∞, P(Rh) → 0 W."
    )


def test_a_current_turns_over_against_and_along_its_arrow() -> None:
    told = [as_text(said) for said in curve_plot(*CURVES[1]).sentences]
    assert "Ib turns over at Rh = 14.4 Ω: against its arrow below that, along it above." in told
    assert told[-1] == "As Rh → ∞, Ib → 5/7 A, about 714 mA."


def test_a_zero_without_a_change_of_sign_a_pole_and_a_square_root_are_told_as_such() -> None:
    assert "P(R2) is zero at Rh = 14.4 Ω and keeps its sign." in curve_plot(*CURVES[2]).words
    assert "Ih/Ib has no bound at Rh = 14.4 Ω." in curve_plot(*CURVES[3]).words
    assert "E1 = 18 (25 + 94 √3)/181 volts, about 18.7 V: negative below" in curve_plot(*CURVES[4]).words


def test_a_straight_line_is_named_that_a_curve_comes_near_to() -> None:
    words = curve_plot(*CURVES[5]).words
    assert words.endswith("P(J1) grows without bound.")  # it is a straight line itself
    found = curve_plot(*CURVES[5]).paper.data.ends[1].leaning
    assert found is not None
    assert found[0] == Fraction(4)
