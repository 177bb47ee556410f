"""The scale from 0 to ∞, which plots and the desk share."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.desk.moved import STEPS, moved
from loopwright.plots.scale import Scale
from loopwright.quantities import read_quantity
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


def test_the_middle_stands_half_way_and_both_ends_are_reached() -> None:
    scale = Scale(Fraction(5))
    assert [scale.share(Fraction(x)) for x in (0, 5)] == [0, 0.5]
    assert scale.share(Fraction(10**12)) == pytest.approx(1, abs=1e-11)


def test_equal_factors_from_the_middle_lie_equally_far_from_it() -> None:
    scale = Scale(Fraction(5))
    assert scale.share(Fraction(20)) - 0.5 == pytest.approx(0.5 - scale.share(Fraction(5, 4)))


def test_a_share_gives_its_value_back() -> None:
    scale = Scale(Fraction(7, 3))
    assert all(scale.share(scale.value(Fraction(t, 9))) == pytest.approx(t / 9) for t in range(9))


def test_the_lines_of_the_desk_have_the_same_scale() -> None:
    for step in (1, 250, 500, 999):
        of_the_desk = read_quantity(moved(CHARGE_OR_HELP_IN_NUMBERS, "Rh", 4.0, step)["value"]).value
        assert float(of_the_desk) == pytest.approx(
            float(Scale(Fraction(4)).value(Fraction(step, STEPS))), rel=0.005
        )
