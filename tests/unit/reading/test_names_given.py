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


def test_a_voltage_worked_from_a_wrong_current_is_carried_with_what_follows_from_it() -> None:
    """15 V over 4 kohm and 24 beside 9 kohm drive -0.388 mA through the 24: the digits are turned round."""
    text = "I3 = -0.338 mA\nV = 24*(-0.338) = -8.11 V\nI4 = (-8.11)/9 = -0.901 mA\n"
    untrue = [v for v in read_working(CIRCUIT, text).verdicts if not v.holds]
    assert [(v.line, v.carried) for v in untrue] == [(1, False), (2, True), (3, True)]
