"""Workings by potentials are gone on with by potentials where batteries stand in branches alone.

Worked by hand: 12 V from g to a and 5 V from c to g hold a at 12 V and c at −5 V; with 4, 6 and 3 ohm at b,
(12 − Vb)/4 = Vb/6 + (Vb + 5)/3, so Vb = 16/9 V. Where 3 V lie between a and b, Vb = Va + 3 and
(12 − Va)/2 = Va/4 + Vb/6 + (Vb + 4)/5, so Va = 246/67 V.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.finish.finish import finish
from loopwright.finish.finished import FinishedWorking
from loopwright.reading.judge import read_working
from tests.sample_circuits import circuit_of

TO_THE_GROUND = """
find = ["I1", "I2", "I3", "I4", "I5"]
[branches]
I1 = "g, +E1, a"
I2 = "a, R2, b"
I3 = "b, R3, g"
I4 = "b, R4, c"
I5 = "c, +E5, g"
I6 = "c, R6, a"
[numbers]
E1 = "12 V"
R2 = "4 ohm"
R3 = "6 ohm"
R4 = "3 ohm"
E5 = "5 V"
R6 = "10 ohm"
"""
BETWEEN = """
find = ["I1", "I3"]
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, +E3, b"
I4 = "b, R4, g"
I5 = "b, R5, +E5, g"
[numbers]
E1 = "12 V"
R1 = "2 ohm"
R2 = "4 ohm"
E3 = "3 V"
R4 = "6 ohm"
R5 = "5 ohm"
E5 = "4 V"
"""


def rest(source: str, text: str, decimal_comma: bool = False) -> FinishedWorking:
    return finish(read_working(circuit_of(source), text, decimal_comma=decimal_comma))


def lines(found: FinishedWorking) -> list[str]:
    return [line.as_text() for line in found.lines]


def test_a_battery_alone_ties_a_potential_and_its_current_comes_from_a_junction() -> None:
    found = rest(TO_THE_GROUND, "Take g as zero.\n(V_a - V_b)/4 = V_b/6 + (V_b - V_c)/3")
    assert found.method == "node potentials"
    assert lines(found) == [
        "V_a = 12 V",
        "V_c = −5 V",
        "V_b = (3 V_a + 4 V_c)/9",
        "V_b = (3 × 12 − 4 × 5)/9 ≈ 1.78 V",
        "I2 = (V_a − V_b)/4 ≈ (12 − 1.7778)/4 ≈ 2.56 A",
        "I3 = V_b/6 ≈ 1.7778/6 ≈ 0.296 A",
        "I4 = (V_b − V_c)/3 ≈ (1.7778 + 5)/3 ≈ 2.26 A",
        "I6 = (V_c − V_a)/10 = (−5 − 12)/10 = −1.7 A",
        "I1 = I2 − I6 ≈ 2.5556 + 1.7 ≈ 4.26 A",
        "I5 = I4 − I6 ≈ 2.2593 + 1.7 ≈ 3.96 A",
    ]


def test_names_and_commas_are_the_writers() -> None:
    text = "Take g as zero.\n(V_a - V_b)/4,0 = V_b/6,0 + (V_b - V_c)/3,0"
    assert "I3 = V_b/6 ≈ 1,7778/6 ≈ 0,296 A" in lines(rest(TO_THE_GROUND, text, decimal_comma=True))


@pytest.mark.parametrize(
    "begun",
    [
        "Take g as zero; potentials Va and Vb.\nVb - Va = 3\nI2 = Va/4",
        "Va against g\n(12 - Va)/2 = Va/4 + I3",
        "Va against g, Vb against g\n(12 - Va)/2 - Va/4 - Vb/6 - (Vb + 4)/5 = 0",
        "Va against g\nI4 = (Va + 3)/6",
    ],
)
def test_a_battery_between_two_points_adds_its_current_to_what_is_unknown(begun: str) -> None:
    found = rest(BETWEEN, begun)
    assert found.method == "node potentials"
    (last,) = [line.sides[-1] for line in found.lines if line.as_text().startswith("I1 =")]
    assert abs(last.value - (12 - Fraction(246, 67)) / 2) < Fraction(1, 10**9)  # type: ignore[union-attr]
