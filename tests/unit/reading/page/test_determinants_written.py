"""Determinants between bars are read as the products that they stand for; other bars stay what they are."""

from __future__ import annotations

import pytest

from loopwright.reading.page.determinants_written import with_determinants
from loopwright.reading.page.mapped import mapped


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("D = |8 4; 4 6| = 32", "D = ((8)(6) - (4)(4)) = 32"),
        ("D = det |a, b + c; d, e|", "D = ((a)(e) - (b + c)(d))"),
        ("Da = det(9, 5 (R1 + 3); 5, 8)", "Da = ((9)(8) - (5 (R1 + 3))(5))"),
        ("det(a, b)", "det(a, b)"),
        (r"\begin{vmatrix} 9 & -6 \\ -6 & 8 \end{vmatrix}", "((9)(8) - (-6)(-6))"),
        (
            "|1 2 3; 4 5 6; 7 8 9|",
            "((1)((5)(9) - (6)(8)) - (2)((4)(9) - (6)(7)) + (3)((4)(8) - (5)(7)))",
        ),
        ("R2 || R3; R4 || R5", "R2 || R3; R4 || R5"),
        ("|1 2 3; 4 5 6|", "|1 2 3; 4 5 6|"),  # not square
        ("|I1| = 2; |I2| = 3", "|I1| = 2; |I2| = 3"),
    ],
)
def test_bars_are_multiplied_out(typed: str, read: str) -> None:
    assert with_determinants(mapped(typed)).text == read
