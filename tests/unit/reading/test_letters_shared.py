"""Letters that may mean two things: a point and a resistor with one mark, a capital for the potential of a
point, a number that is a resistance and the sum of two others.

By hand: 24 V against the arrow of I1 behind 23.2 kohm, 2.2 kohm beside 3.3 kohm: I3 = -0.39 mA from K to L,
I2 = -0.587 mA. And 20 V behind 2 ohm at A, 6 V behind 5 ohm at B, 4 ohm between: 12.41 V and 5.49 V.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

LOAD_AT_L = """
[branches]
I1 = "L, R4, -E, R1, K"
I2 = "K, R2, L"
I3 = "K, RL, L"
[numbers]
E = "24 V"
R4 = "8.2 kohm"
R1 = "15 kohm"
R2 = "2.2 kohm"
RL = "3.3 kohm"
"""
NODES = """
[branches]
i1 = "G, +E1, R1, A"
i2 = "A, R2, B"
i3 = "B, R3, G"
i4 = "A, R4, G"
i5 = "B, R5, -E2, G"
[numbers]
E1 = "20 V"
E2 = "6 V"
R1 = "2 ohm"
R2 = "4 ohm"
R3 = "3 ohm"
R4 = "6 ohm"
R5 = "5 ohm"
"""
STAR = """
[branches]
I1 = "p, +E1, R1, q"
I2 = "p, R2, -E2, q"
I3 = "q, Rm, +E3, p"
[numbers]
E1 = "22.5 V"
E2 = "4.5 V"
E3 = "24 V"
R1 = "10 ohm"
R2 = "15 ohm"
Rm = "25 ohm"
"""
BATTERY_AT_Q = """
[branches]
I1 = "q, +U1, R1, p"
I2 = "p, R2, q"
I3 = "p, R3, q"
[elements]
U1 = { kind = "battery", value = "U1" }
[numbers]
U1 = "8 V"
R1 = "10 ohm"
R2 = "18 ohm"
R3 = "4 ohm"
"""
AT_Q = "R2 and R3 in parallel: Rq = 18 || 4 = 3.27\nI1 = 8/13.27 = 0.603\n"
RESISTOR_B = """
[branches]
I1 = "a, RA, +E1, b"
I2 = "a, -E3, RB, b"
I3 = "b, RC, a"
[numbers]
E1 = "5 V"
E3 = "18 V"
RA = "3 ohm"
RB = "20 ohm"
RC = "24 ohm"
"""
IN_KILOHMS = """
[branches]
I1 = "A, R1, +V1, B"
I2 = "A, R2, +V3, B"
I3 = "B, +V2, R3, A"
[numbers]
V1 = "4.5 V"
V3 = "18 V"
V2 = "6 V"
R1 = "12 kohm"
R2 = "22 kohm"
R3 = "8.2 kohm"
"""
ONE_ALONE = """\
V1 acting alone:
Rt1 = 12 kohm + 22 kohm*(8.2 kohm)/(22 kohm + 8.2 kohm)
Rt1 = 18.0 kohm
I1' = 4.5 V/(18.0 kohm)
I1' = 0.25 mA
I2' = -0.25 mA*(8.2 kohm/(22 kohm + 8.2 kohm))
"""
AT_NODES = "G = 0\n(20 - A)/2 = A/6 + (A - B)/4\n(A - B)/4 = B/3 + (B - 6)/5\n"


@pytest.mark.parametrize(
    ("source", "text", "wrong"),
    [
        (LOAD_AT_L, "I3 = -0.39 mA\nUL = RL I3 = 3.3*(-0.39) = -1.3 V", []),
        (LOAD_AT_L, "UL = RL I2", [1]),  # the current of another branch
        (LOAD_AT_L, "UL = RL I3\nI2 = UL/R2", []),
        (BATTERY_AT_Q, AT_Q + "Uq = 0.603*3.27 = 1.97\nI2 = 1.97/18 = 0.110", []),
        (BATTERY_AT_Q, AT_Q + "Uq = 0.603*3.27 = 1.79", [3]),
        (RESISTOR_B, "Va = 0\n(Vb - E1)/RA + (Vb + E3)/RB + Vb/RC = 0\nUB = RB I2", []),
        (RESISTOR_B, "Va = 0\n(Vb - E1)/RA + (Vb + E3)/RB + Vb/RC = 0\nUB = RB I1", [3]),
        (RESISTOR_B, "Va = 0\nVb = 10 V", [2]),
        (LOAD_AT_L, "UL = RL I3\nI2 = UL/R1", [2]),
        (LOAD_AT_L, "K is earth\nUL/RL + UL/R2 + (UL - E)/(R1 + R4) = 0", []),  # the potential of L
        (NODES, AT_NODES + "A = 12.41 V\nB = 5.49 V", []),
        (NODES, AT_NODES + "A = 5.49 V", [4]),
        (NODES, AT_NODES.replace("A/6", "B/6"), [2]),
        (NODES, "20 V, 2 ohm = 10 A source\n6 V and 5 ohm = 1.2 A source", []),
        (NODES, "20 V, 2 ohm = 12 A source\n6 V and 5 ohm = 1.2 A source", [1]),
        (IN_KILOHMS, ONE_ALONE + "I2' = -0.067881\nI2' = -0.0679 mA", []),
        (IN_KILOHMS, ONE_ALONE + "I2' = -67.881\nI2' = -0.0679 mA", [7]),
        (STAR, "Only E3:\nRt3 = 25 + 10*15/(10 + 15) = 31 ohm\nI3' = 24/31 = 0.774 A", []),
        (STAR, "Only E3:\nRt3 = 25*10*15/(10 + 15) = 150 ohm", [2]),
    ],
)
def test_a_letter_means_what_is_made_of_it(source: str, text: str, wrong: list[int]) -> None:
    verdicts = read_working(circuit_of(source), text).verdicts
    assert sorted({v.line for v in verdicts if not v.holds}) == wrong
    assert all(v.kind is not ClaimKind.UNDECIDED for v in verdicts)


def presentation(text: str) -> bool:
    """Whether the results of a working are presented without a fault."""
    read = read_working(circuit_of("find = ['i4']\n" + NODES), text)
    (units,) = (a for a in propose(read, BUILT_IN["ten"]).awards if a.part is MarkPart.UNITS)
    return units.points == units.of


def test_a_number_of_one_figure_that_a_formula_above_gives_exactly_has_no_more_of_them() -> None:
    assert presentation(AT_NODES + "A = 12.4 V\nB = 5.49 V\ni4 = 12/6\ni4 = 2.07 A")
    assert presentation(AT_NODES + "A = 12 V\ni4 = A/6\ni4 = 2.0 A")
