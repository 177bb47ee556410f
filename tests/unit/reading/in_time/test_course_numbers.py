"""Numbers with their rounding: what floating point loses on the way is not held against a writer."""

from __future__ import annotations

import pytest

from loopwright.expressions.parse import expression
from loopwright.reading.in_time.course_numbers import (
    NumberSpan,
    RoundedCourse,
    can_be_equal,
    constant,
    number_value,
)


def _worked(text: str) -> RoundedCourse:
    written = expression(text, set(), freely=True, in_time=True)
    return number_value(written, lambda n: NumberSpan(float(n.value), float(n.value)), _nothing)


def _nothing(name: str) -> RoundedCourse:
    raise KeyError(name)


def _is(text: str, value: float) -> bool:
    return can_be_equal(_worked(text), constant(NumberSpan(value, value)))


@pytest.mark.parametrize(
    ("text", "value"),
    [("1/(12.000001 - 12)", 1e6), ("ln(12.000001 - 11.000001)", 0.0), ("3/(0.3 - 0.1 - 0.1999)", 3e4)],
)
def test_a_difference_of_near_numbers_keeps_its_lost_figures_on_the_way(text: str, value: float) -> None:
    assert _is(text, value)


def test_what_is_off_by_more_than_floating_point_loses_is_off() -> None:
    assert not _is("1/(12.001 - 12)", 1000.1)
    assert not _is("ln(2.001 - 1)", 0.0)
