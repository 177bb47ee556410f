"""Names that a working gives: what stands for what, in letters as in numbers."""

from __future__ import annotations

from loopwright import read_working
from loopwright.reading.verdicts import Truth
from tests.sample_circuits import circuit_of

CIRCUIT = circuit_of("""
[branches]
I2 = "o, -E2, R2, x"
I3 = "x, R3, o"
I4 = "x, R4, o"
[numbers]
E2 = "15 V"
R2 = "4 kohm"
R3 = "24 kohm"
R4 = "9 kohm"
""")
LAWS = "I2 = I3 + I4\n-E2 - I2 R2 - I3 R3 = 0\nI3 R3 - I4 R4 = 0\nD = R2 R3 + R2 R4 + R3 R4\n"


def test_a_determinant_in_letters_stands_for_these_letters_and_not_for_a_number() -> None:
    verdicts = read_working(CIRCUIT, LAWS + "I2 = -E2 (R3 + R4)/D\n").verdicts
    assert verdicts[-1].truth is Truth.ALWAYS
