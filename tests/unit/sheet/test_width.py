"""The guessed width of what is written: order and parts, not exact ems."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Equation, Expr, Negative, Parallel, Power, Product, Quotient, Sum
from loopwright.sheet.width import width_of
from tests.unit.sheet.sample_sheet import E1, R1, R2, D, measure


def test_a_fraction_is_as_wide_as_its_wider_part() -> None:
    assert width_of(Quotient(E1, D)) == width_of(Quotient(D, E1)) < width_of(D) + width_of(E1)


@pytest.mark.parametrize(
    "longer",
    [
        Sum((R1, R2)),
        Product((R1, R2)),
        Negative(R1),
        Power(R1, 2),
        Parallel((R1, R2)),
        Equation(R1, R2),
        Quotient(R1, R2),
    ],
)
def test_whatever_is_built_on_a_symbol_is_wider_than_the_symbol(longer: Expr | Equation) -> None:
    assert width_of(longer) > width_of(R1)


def test_a_unit_takes_room() -> None:
    assert width_of(measure(12, "kΩ")) > width_of(measure(12, ""))
