"""Which number a line gives outright, as results are marked by it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright import read_working
from loopwright.expressions.parse import equation
from loopwright.reading.marking.results import impossible, value_given
from tests.sample_circuits import circuit_of


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("I1 = 2", Fraction(2)),
        ("I1 = -3/4", Fraction(-3, 4)),
        ("3/4 = I1", Fraction(3, 4)),
        ("I1 = E1/4", None),
        ("I1 = 3/0", None),
    ],
)
def test_a_number_or_a_fraction_of_numbers_is_a_value_given(text: str, value: Fraction | None) -> None:
    assert value_given(equation(text, ("I1", "E1"))) == value


def test_a_power_stated_is_held_against_no_voltage() -> None:
    """P(R1) is the current of no branch: what it would put across an element is left open."""
    branches = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "a, R2, b"\n'
    numbers = '[numbers]\nE1 = "12 V"\nR1 = "2 ohm"\nR2 = "4 ohm"\n'
    reading = read_working(circuit_of(branches + numbers), "P(R1) = 99 W")
    assert impossible(reading, equation("P(R1) = 99 W", ("P(R1)",))) == ()
    assert impossible(reading, equation("I1 = 99 A", ("I1",))) != ()
