"""Workings in bare decimals: every number is rounded, and the slip is told all the same.

Worked by hand: 12 V behind 3 kohm feeds 6 kohm beside 2 kohm, 6 · 2/8 = 1.5, 3 + 1.5 = 4.5, I1 = 2.67 mA; and
5 V behind 7 ohm with 8 ohm against 2 V behind 3 ohm."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.remarks import remarks
from loopwright.reading.verdicts import Verdict
from tests.sample_circuits import circuit_of

AT_B = "(V + 5)/7.5 + (V - 2)/3.3 + V/8.2 = 0\nV = -0.109 V\n"
LADDER = """
[branches]
I1 = "foot, +E, R1, top"
I2 = "top, R2, foot"
I3 = "top, R3, foot"
[numbers]
E = "12 V"
R1 = "3.3 kohm"
R2 = "6.8 kohm"
R3 = "2.7 kohm"
"""
PAIR = """
[branches]
I1 = "a, -E1, R1, b"
I2 = "a, +E2, R2, b"
I3 = "b, R3, a"
[numbers]
E1 = "5 V"
E2 = "2 V"
R1 = "7.5 ohm"
R2 = "3.3 ohm"
R3 = "8.2 ohm"
"""


def denied(source: str, text: str) -> list[Verdict]:
    return [v for v in read_working(circuit_of(source), text).verdicts if not v.holds and not v.carried]


@pytest.mark.parametrize(
    ("source", "text", "entry"),
    [
        (LADDER, "R23 = 6.8 || 2.7 = 1.93 kohm\nRt = 3.3*1.93/(3.3 + 1.93) = 1.22 kohm", "false-parallel"),
        (LADDER, "R23 = 1.93 kohm\nRt = 3.3 + 1.93 = 5.23 kohm\nI1 = 12/1.93 = 6.22 mA", "subscript"),
        (LADDER, "R23 = 6.8 || 2.7 = 1.93 kohm\nI1 = 12/3.3 + 1.93 = 5.57 mA", "calculator-order"),
        (LADDER, "R23 = 1/6.8 + 1/2.7 = 0.517 kohm", "reciprocal-left"),
        (LADDER, "Rp = 6.8 || 2.7 = 1.93 kohm\nReq = 1.93 kohm\nI1 = 12/Req = 6.22 mA", "term-missing"),
        (PAIR, AT_B + "I2 = (2 + 0.109)/7.5 = 0.281 A", "subscript"),
        (PAIR, AT_B + "I2 = 0.109/3.3 = 0.033 A", "source-missing"),
    ],
)  # fmt: skip
def test_a_slip_among_rounded_numbers_is_named(source: str, text: str, entry: str) -> None:
    first = denied(source, text)[0]
    assert first.line == len(text.splitlines()) or "Req" in text
    assert [mend.entry for mend in first.repairs][:1] == [entry]


def test_what_shows_that_a_line_is_wrong_is_in_the_units_of_the_circuit() -> None:
    (found, *_) = denied(LADDER, "Rp = 1.93 kohm\nI1 = 12/(6.8 + 1.93) = 1.37 mA")
    names = read_working(circuit_of(LADDER), "I1 = 1 mA").names
    assert "With I1 = 2.293 mA the left side comes to 2.293" in as_text(remarks(found, names)[-1])


def test_results_of_a_calculator_are_not_made_of_one_another() -> None:
    circuit = circuit_of(LADDER)  # I1 = 2.2933, I2 = 0.6518, I3 = 1.6415 mA
    hand = "I1 = 2.29 mA\nI2 = 0.652 mA\nI3 = 1.638 mA"
    assert read_working(circuit, hand).right  # 2.29 − 0.652 = 1.638
    first = read_working(circuit, "Solved with the calculator:\n" + hand).first_untrue
    assert first is not None
    assert first.line == 4


TURNED = """
[branches]
I1 = "N, +E1, R1, P"
I2 = "N, +E2, R2, P"
I3 = "N, R3, P"
[numbers]
E1 = "12.5 V"
E2 = "3 V"
R1 = "12 ohm"
R2 = "6 ohm"
R3 = "3.3 ohm"
"""


def test_a_small_difference_of_products_is_judged_by_what_its_numbers_round() -> None:
    """I1 = 106.35/131.4 = 0.80936 A is rounded to 0.8094, and so I2 comes to 0.03521 A for 0.03539 A. In
    131.4 and 106.35 nothing is rounded; yet they might be, and then nothing could be told."""
    text = """I1 + I2 + I3 = 0
    12.5 + 3.3 I3 - 12 I1 = 0
    3 + 3.3 I3 - 6 I2 = 0
    -15.3 I1 - 3.3 I2 = -12.5
    -3.3 I1 - 9.3 I2 = -3
    I2 = (-12.5 + 15.3 I1)/(-3.3)
    -131.4 I1 = -106.35
    I1 = (-106.35)/(-131.4) = 0.8094 A
    I2 = (-12.5 + 15.3*0.8094)/(-3.3) = 0.03521 A"""
    assert not denied(TURNED, text)
