"""Which number a line gives outright, as results are marked by it."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.parse import equation
from loopwright.reading.marking.results import value_given


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
