"""Stars that stand for triangles: R1 = 2 Ω (a, c), R2 = 4 Ω (a, d), R5 = 5 Ω (c, d), together 11 Ω."""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from tests.sample_circuits import circuit_of

BRIDGE = """
[branches]
I0 = "b, +E, R0, a"
I1 = "a, R1, c"
I2 = "a, R2, d"
I3 = "c, R3, b"
I4 = "d, R4, b"
I5 = "c, R5, d"
[numbers]
E = "14 V"
R0 = "1 ohm"
R1 = "2 ohm"
R2 = "4 ohm"
R3 = "6 ohm"
R4 = "3 ohm"
R5 = "5 ohm"
"""


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("ra = R1 R2/(R1 + R2 + R5)", True),
        ("Rc = 2*5/11 = 10/11 ohm", True),
        ("rd = R2 R5/(R1 + R2 + R5) = 1.82 ohm", True),
        ("rd = R1 R5/(R1 + R2 + R5)", False),
        ("Rc = 2*4/(2 + 4 + 5)", False),
        ("Rc = 2*5/(2 + 5)", False),  # over another sum it is neither, for R1 and R5 do not lie side by side
    ],
)
def test_resistance_of_a_star_is_the_product_of_the_two_that_meet(line: str, right: bool) -> None:
    assert read_working(circuit_of(BRIDGE), line).right is right
