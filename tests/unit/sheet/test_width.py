"""The guessed width of what is written: order and parts, not exact ems."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Equation, Expr, Negative, Parallel, Power, Product, Quotient, Sum
from loopwright.sheet.width import breadth, breadth_of_sides
from tests.unit.sheet.sample_sheet import E1, I1, LONG_SUM, R1, R2, D, measure


def test_a_fraction_is_as_wide_as_its_wider_part() -> None:
    assert breadth(Quotient(E1, D)) == breadth(Quotient(D, E1)) < breadth(D) + breadth(E1)


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
    assert breadth(longer) > breadth(R1)


def test_a_unit_takes_room() -> None:
    assert breadth(measure(12, "kΩ")) > breadth(measure(12, ""))


def test_a_line_is_as_wide_as_the_equation_it_shows() -> None:
    assert breadth_of_sides((I1, LONG_SUM)) == pytest.approx(breadth(Equation(I1, LONG_SUM)))
