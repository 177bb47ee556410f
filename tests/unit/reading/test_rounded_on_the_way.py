"""Right workings in which rounded numbers come far: coefficients, brackets put in, numbers put into a line
above, small rests. Beside each stands a wrong line of the same shape.

The circuits are drawn at random and were worked by a generator that carries two to six figures.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from tests.sample_circuits import circuit_of


@dataclass(frozen=True)
class Twin:
    """A right working, and what makes one of its lines wrong (`right` by `wrong` in line `line`)."""

    problem: str
    text: str
    right: str
    wrong: str
    line: int


LADDER = """
[branches]
I1 = "x, +V1, R1, y"
I2 = "x, R2, y"
I3 = "y, RL, x"
[numbers]
V1 = "24 V"
R1 = "12 kohm"
R2 = "5.6 kohm"
RL = "47 kohm"
"""
WHOLE_NUMBERS = """\
J1 from y to x through R1
J2 from y to x through R2
J3 from x to y through RL
0 = -J1 - J2 + J3
5.6 kohm*J2 - 12 kohm*J1 - 24 V = 0
47 kohm*J3 + 24 V + 12 kohm*J1 = 0
J2 = 4.29 + 2.14 J1
J3 = 4.29 + 3.14 J1
12 J1 + 47(4.29 + 3.14 J1) = -24
-225 V - 160 kohm*J1 = 0
J1 = -225/160 = -1.4 mA"""
MESHES = """
[branches]
i_a = "B, R1, +U1, A"
i_b = "A, R2, B"
i_c = "C, R3, -U3, A"
i_d = "C, +U2, R4, B"
i_f = "C, Rm, B"
[elements]
U1 = { kind = "battery", value = "U1" }
U3 = { kind = "battery", value = "U3" }
U2 = { kind = "battery", value = "U2", internal = "r2" }
[numbers]
U1 = "16 V"
U3 = "22.5 V"
U2 = "5 V"
R1 = "4.7 ohm"
R2 = "18 ohm"
R3 = "1.5 ohm"
r2 = "1.2 ohm"
R4 = "5.6 ohm"
Rm = "12 ohm"
"""
END_OF_CHAIN = """\
Loop current m1 round U1, R1, R2, through R2 from B to A
Loop current m2 round U2, R4, R1, U1, U3, R3, through U2 from C to B
Loop current m3 round Rm, R1, U1, U3, R3, through Rm from C to B
-16 = 22.7 m1 - 4.7 m2 - 4.7 m3
13 m2 - 4.7 m1 + 6.2 m3 = 43.5
18.2 m3 - 4.7 m1 + 6.2 m2 = 38.5
m1 = (-16 + 4.7 m2 + 4.7 m3)/22.7 = -0.705 + 0.207 m2 + 0.207 m3
12.0 m2 + 5.2271 m3 = 40.2
m2 = (40.2 - 5.2271 m3)/12.0"""
PUT_IN_BRACKETS = """
[branches]
i1 = "h, R1, +E1, g"
i2 = "k, R2, g"
i3 = "k, R3, h"
i4 = "g, R4, k"
i5 = "k, -E2, R5, R6, h"
[numbers]
E1 = "20 V"
E2 = "18 V"
R1 = "3 ohm"
R2 = "9 ohm"
R3 = "24 ohm"
R4 = "2 ohm"
R5 = "12 ohm"
R6 = "8 ohm"
"""
BRACKETS = """\
Loop current x round R2, E1, R1, R3, through R3 from h to k
Loop current y round R2, R4, through R4 from k to g
Loop current z round R2, E1, R1, R6, R5, E2, through E2 from h to k
-20 - 36x + 9y - 12z = 0
11y - 9x - 9z = 0
-2 - 32z - 12x + 9y = 0
x = (-20 + 9y - 12z)/36
11y - 9z - 9(-0.556 + 0.25y - 0.333z) = 0
28.004z - 6y = 4.672"""
NODES = """
[branches]
I1 = "g, -V, R1, h"
I2 = "g, R2, k"
I3 = "g, R3, m"
I4 = "m, R4, k"
I5 = "h, R5, k"
I6 = "m, R6, h"
[numbers]
V = "9 V"
R1 = "5 ohm"
R2 = "18 ohm"
R3 = "20 ohm"
R4 = "24 ohm"
R5 = "30 ohm"
R6 = "10 ohm"
"""
NUMBERS_PUT_IN = """\
Vk = 0
11Vg - 7.2Vh - 1.8Vm = 64.8
-18 = -2Vg + 3.33Vh - Vm
-6Vg - 12Vh + 23Vm = 0
-162 = -18Vg + 29.97Vh - 9Vm
486 = 73Vg - 65.97Vh
-414 + 52Vg - 64.59Vh = 0
4715Vg - 4261Vh = 31391
-3430Vg + 4261Vh = -27312
1285Vg = 4079, so Vg = 4079/1285 = 3.174
Vg = 3.2 V
Vh = (486 - 73 x 3.2)/(-65.97) = -3.826
Vh = -3.8 V
Vm = (-18 + 2 x 3.2 - 3.33(-3.8))/(-1)
Vm = -1.054"""
SMALL_POTENTIAL = """
[branches]
i1 = "A, -V1, R1, B"
i2 = "B, R2, A"
i3 = "C, R3, A"
i4 = "C, R4, -V2, A"
i5 = "C, R5, B"
i6 = "C, Rm, B"
[elements]
V1 = { kind = "battery", value = "V1", internal = "r1" }
[numbers]
V1 = "5 V"
V2 = "6 V"
r1 = "0.5 ohm"
R1 = "6 ohm"
R2 = "2 ohm"
R3 = "24 ohm"
R4 = "5 ohm"
R5 = "3 ohm"
Rm = "4 ohm"
"""
ALONG_A_BRANCH = """\
Earth at A: VA = 0
-0.769 = 1.24 VB - 0.583 VC
48 + 23.3 VB - 33 VC = 0
VB = (-0.769 + 0.583 VC)/1.24 = -0.620 + 0.470 VC
VC = 1.5 V
VB = -0.620 + 0.470 x 1.5 = 0.085 V
i2 = 0.085/2 = 0.043 A"""
TWO_SOURCES = """
[branches]
I1 = "b, R1, -E1, a"
I2 = "a, +Jq, b"
I3 = "a, R3, R5, b"
I4 = "b, RL, a"
[numbers]
E1 = "4.5 V"
R1 = "8 ohm"
R3 = "4 ohm"
R5 = "18 ohm"
RL = "15 ohm"
Jq = "2 A"
"""
POWER = """\
E1 alone: Rt = 8 + (4 + 18)*15/(4 + 18 + 15) = 17, so I1' = -4.5/17 = -0.26
I4' = -(-0.26)((4 + 18)/(4 + 18 + 15)) = 0.15 A
Jq alone: Rp = 1/(1/8 + 1/(4 + 18) + 1/15) = 4.2 ohm
I1'' = 2*4.2/8 = 1.1 A
I4'' = 2*4.2/15 = 0.56 A
Sum of the parts:
I1 = -0.26 + 1.1 = 0.84 A
I4 = 0.15 + 0.56 = 0.71 A
P1 = 8*0.84^2 = 5.6 W"""
IN_KILOHMS = """
[branches]
I1 = "q, R4, R1, -V1, p"
I2 = "q, -V3, R2, p"
I3 = "q, R3, +V2, p"
[numbers]
V1 = "10 V"
V3 = "5 V"
V2 = "16 V"
R4 = "2.7 kohm"
R1 = "4.7 kohm"
R2 = "12 kohm"
R3 = "47 kohm"
"""
SMALL_REST = """\
10 + 4.7*I1 + 2.7*I1 = 5 + 12*I2
2.7*I1 = -4.7*I1 - 10 - 16 + 47*I3
I1 + I2 + I3 = 0
5003*I3 = 2337
I3 = 2337/5003 = 0.47 mA
I1 = (26 - 47*0.47)/(-7.4) = -0.55 mA
-12*I2 + 7.4*(-0.55) = -5
I2 = (-5 - 7.4*(-0.55))/(-12) = 0.080 mA"""
LESS_IS_LEFT = """
[branches]
I1 = "y, +U1, R1, R7, x"
I2 = "z, R2, x"
I3 = "x, -J1, w"
I4 = "z, R4, w"
I5 = "z, R5, y"
I6 = "w, R6, y"
[elements]
U1 = { kind = "battery", value = "U1" }
[numbers]
U1 = "15 V"
R1 = "15 ohm"
R7 = "3.9 ohm"
R2 = "47 ohm"
R4 = "8.2 ohm"
R5 = "4.7 ohm"
R6 = "33 ohm"
J1 = "0.5 A"
"""
CANCELLING = """\
ground: Vx = 0
-0.794 = 0.296 Vy - 0.213 Vz - 0.0303 Vw    (4)
-0.213 Vy + 0.356 Vz - 0.122 Vw = 0    (5)
-0.0303 Vy - 0.122 Vz + 0.152 Vw = -0.5    (6)
-57.6 Vy + 49.7 Vz = 131    (7)
-163 - 61.0 Vy + 43.8 Vz + 6.24 Vw = 0    (8)
-20.5 + 1.24 Vy + 5 Vz - 6.24 Vw = 0    (9)
-184 = 59.7 Vy - 48.8 Vz    (10)
-10591 = 3438 Vy - 2811 Vz    (11)
-2769 - 158 Vz = 0    (12)"""
FED_AT_G = """
[branches]
i1 = "g, R1, -E1, h"
i2 = "g, +J1, k"
i3 = "k, R3, h"
i4 = "k, R4, g"
i5 = "k, R5, h"
[numbers]
E1 = "4.5 V"
R1 = "20 ohm"
R3 = "15 ohm"
R4 = "4 ohm"
R5 = "5 ohm"
J1 = "1.5 A"
"""
ROUNDED_WHEN_PUT_IN = """\
J1 - i3 - i4 - i5 = 0
i1 + i3 + i5 = 0
-15i3 + 20i1 + 4i4 = -4.5
39i4 + 15i5 = 48
-24i4 + 5i5 = -25.5
i4 = (48 - 15i5)/39
4.044 - 14.23i5 = 0"""
THREE_BRANCHES = """
[branches]
i_a = "g, +E1, R1, R4, h"
i_b = "g, R2, +E2, h"
i_c = "h, +E3, Rm, g"
[elements]
E3 = { kind = "battery", value = "E3", internal = "r3" }
[numbers]
E1 = "12.5 V"
E2 = "15 V"
E3 = "5 V"
R1 = "15 ohm"
R4 = "9 ohm"
R2 = "8 ohm"
r3 = "0.2 ohm"
Rm = "25 ohm"
"""
TO_WHOLE_NUMBERS = """\
Vg = 0
(Vh - 12.5)/(15 + 9) + (Vh - 15)/8 + (Vh + 5)/(0.2 + 25) = 0
13 Vh = 138"""
FOUR_LOOPS = """
[branches]
I1 = "y, RA, +E1, x"
I2 = "y, RB, -E3, x"
I3 = "x, RC, z"
I4 = "y, RD, z"
I5 = "w, RF, z"
I6 = "w, +E2, RG, y"
I7 = "w, RH, y"
[numbers]
E1 = "7.5 V"
E3 = "12.5 V"
E2 = "13.5 V"
RA = "18 kohm"
RB = "6.8 kohm"
RC = "2.7 kohm"
RD = "5.6 kohm"
RF = "10 kohm"
RG = "3.9 kohm"
RH = "22 kohm"
"""
LIKE_A_SUM = """\
Loop current m1 round RA, E1, E3, RB, through RA from y to x
Loop current m2 round RC, RD, RB, E3, through RC from x to z
Loop current m3 round RH, RD, RF, through RF from z to w
Loop current m4 round E2, RG, RH, through E2 from w to y
24.8 m1 - 6.8 m2 = 20
15.1 m2 - 5.6 m3 - 6.8 m1 = -12.5
37.6 m3 - 22 m4 - 5.6 m2 = 0
13.5 - 25.9 m4 + 22 m3 = 0
m1 = (20 + 6.8 m2)/24.8 = 0.806 + 0.274 m2
15.1 m2 - 5.6 m3 - 6.8(0.806 + 0.274 m2) = -12.5
13.2 m2 - 5.6 m3 = -7.02
m2 = (-7.02 + 5.6 m3)/13.2 = -0.530 + 0.423 m3
37.6 m3 - 22 m4 - 5.6(-0.530 + 0.423 m3) = 0
35.2 m3 - 22 m4 = -2.97
m3 = (-2.97 + 22 m4)/35.2 = -0.0843 + 0.624 m4
12.2 m4 = 11.6
m4 = 11.6/12.2 = 0.96 mA"""
AT_Z = """
[branches]
i1 = "y, +E1, R1, x"
i2 = "z, R2, x"
i3 = "x, R3, w"
i4 = "z, -E2, R4, w"
i5 = "z, R5, y"
i6 = "w, RL, y"
[elements]
E1 = { kind = "battery", value = "E1", internal = "r1" }
E2 = { kind = "battery", value = "E2", internal = "r2" }
[numbers]
E1 = "1.5 V"
E2 = "13.5 V"
r1 = "0.8 ohm"
R1 = "10 ohm"
R2 = "20 ohm"
R3 = "12 ohm"
r2 = "0.5 ohm"
R4 = "9 ohm"
R5 = "24 ohm"
RL = "15 ohm"
"""
BETWEEN_POINTS = """\
reference: Vz = 0
0.201 Vy - 0.0926 Vx - 0.0667 Vw = -0.139
-0.0926 Vy + 0.226 Vx - 0.0833 Vw = 0.139
-540 + 25.3 Vy + 31.7 Vx - 97 Vw = 0
Vw = (-0.139 - 0.201 Vy + 0.0926 Vx)/(-0.0667)
-0.0926 Vy + 0.226 Vx - 0.0833(2.08 + 3.01 Vy - 1.39 Vx) = 0.139
0.312 + 0.343 Vy - 0.342 Vx = 0
266.67 Vy - 166.53 Vx = -741.76
Vx = (0.312 + 0.343 Vy)/0.342
266.67 Vy - 166.53(0.912 + Vy) = -741.76
100.14 Vy = -590
Vy = -590/100.14 = -5.9 V
Vx = 0.912 + (-5.9 V) = -5.0 V
i1 = (-5.9 V + 1.5 V - (-5.0 V))/(0.8 ohm + 10 ohm) = 0.056 A"""
TWINS = {
    "whole numbers made of rounded ones": Twin(LADDER, WHOLE_NUMBERS, "-225 V", "-235 V", 10),
    "and the number before the unknown": Twin(LADDER, WHOLE_NUMBERS, "- 160 kohm", "- 165 kohm", 10),
    "what a chain ends in put in": Twin(MESHES, END_OF_CHAIN, "m3 = 40.2", "m3 = 40.4", 8),
    "a bracket put in": Twin(PUT_IN_BRACKETS, BRACKETS, "4.672", "4.762", 9),
    "equations multiplied through": Twin(NODES, NUMBERS_PUT_IN, "= 31391", "= 31491", 8),
    "numbers put into a line above": Twin(NODES, NUMBERS_PUT_IN, "3.33(-3.8))", "3.33(-3.2))", 14),
    "a number put into a branch": Twin(SMALL_POTENTIAL, ALONG_A_BRANCH, "0.085/2 =", "0.085/3 =", 7),
    "a number put into a power": Twin(TWO_SOURCES, POWER, "8*0.84^2", "8*0.71^2", 9),
    "two figures are left": Twin(IN_KILOHMS, SMALL_REST, "= 0.080 mA", "= 0.082 mA", 8),
    "a formula put in to four figures": Twin(FED_AT_G, ROUNDED_WHEN_PUT_IN, "14.23", "14.32", 7),
    "fractions cleared": Twin(THREE_BRANCHES, TO_WHOLE_NUMBERS, "138", "139", 3),
    "a coefficient like a sum of resistances": Twin(FOUR_LOOPS, LIKE_A_SUM, "m4 = 11.6\n", "m4 = 12.6\n", 16),
    "and what it is divided by": Twin(FOUR_LOOPS, LIKE_A_SUM, "= 0.96 mA", "= 0.98 mA", 17),
    "two numbers put into a branch": Twin(AT_Z, BETWEEN_POINTS, "i1 = (-5.9 V", "i1 = (-5.6 V", 14),
    "most of an equation cancels": Twin(LESS_IS_LEFT, CANCELLING, "-2769 - 158", "-2769 - 185", 10),
}  # fmt: skip


@pytest.mark.parametrize("twin", TWINS.values(), ids=TWINS)
def test_rounding_carried_far_is_no_slip(twin: Twin) -> None:
    wrong = [v for v in read_working(circuit_of(twin.problem), twin.text).verdicts if not v.holds]
    assert wrong == []


@pytest.mark.parametrize("twin", TWINS.values(), ids=TWINS)
def test_what_rounding_does_not_bear_is_found(twin: Twin) -> None:
    assert twin.text.count(twin.right) == 1
    text = twin.text.replace(twin.right, twin.wrong)
    first = read_working(circuit_of(twin.problem), text).first_untrue
    assert first is not None
    assert first.line == twin.line


FED = """
find = ["I1", "I2"]
[branches]
I1 = "g, -E1, R1, h"
I2 = "k, R2, g"
I3 = "k, -J1, h"
I4 = "k, R4, g"
I5 = "k, R5, h"
[numbers]
E1 = "18 V"
R1 = "4 ohm"
R2 = "30 ohm"
R4 = "6 ohm"
R5 = "2 ohm"
J1 = "0.5 A"
"""
LOOPS_WITH_A_SOURCE = """\
Loop current x round R4, R2, through R2 from g to k
Loop current J1 round R4, E1, R1, J1, through J1 from h to k
Loop current z round R5, R1, E1, R4, through R5 from k to h
36x - 6z = -3
12z - 6x = 23
135 = 66z
z = 135/66 = 2.05 A
x = (-3 + 6(2.05))/36 = 0.258 A
I1 = 0.5 A - 2.05 A = -1.55 A
I2 = -0.258 A"""


def test_a_current_of_a_loop_current_and_that_of_a_source_is_reached() -> None:
    read = read_working(circuit_of(FED), LOOPS_WITH_A_SOURCE)
    (algebra,) = (a for a in propose(read, BUILT_IN["ten"]).awards if a.part is MarkPart.ALGEBRA)
    assert (read.right, algebra.points) == (True, algebra.of)


def test_a_source_counted_the_wrong_way_in_it_is_found() -> None:
    text = LOOPS_WITH_A_SOURCE.replace("0.5 A - 2.05 A = -1.55 A", "0.5 A + 2.05 A = 2.55 A")
    read = read_working(circuit_of(FED), text)
    assert [v.line for v in read.verdicts if not v.holds] == [9]


V_IS_A_BATTERY = LADDER.replace("V1", "V")
ITS_LOOPS = """\
Loop current p round V, R1, R2, through R1 from x to y
Loop current q round R2, RL, through RL from y to x
"""


@pytest.mark.parametrize(
    ("text", "right"),
    [
        (f"{ITS_LOOPS}24 V - 12 kohm*p - 5.6 kohm*(p - q) = 0", True),
        (f"{ITS_LOOPS}24 V - 12 kohm*p - 5.6 kohm*(p + q) = 0", False),
        ("24 V - 12 kohm*I1 + 5.6 kohm*I2 = 0", True),
        ("V - R1 I1 + R2 I2 = 0", True),
        ("2V - 24 kohm*I1 + 11.2 kohm*I2 = 0", True),
        ("42 V - 12 kohm*I1 + 5.6 kohm*I2 = 0", False),
        ("2 V - 12 kohm*I1 + 5.6 kohm*I2 = 0", False),
    ],
)
def test_a_letter_behind_a_number_is_the_volt_or_the_battery(text: str, right: bool) -> None:
    assert read_working(circuit_of(V_IS_A_BATTERY), text).verdicts[-1].holds is right


def test_signs_are_told_of_names_as_they_are_spelled() -> None:
    told = "i_1 from y to x through R1\ni_1 = -1.41 mA\n"
    lines = read_working(circuit_of(LADDER), told + "i_1 < 0, so opposite to the arrow").working.lines
    assert lines[-1].trouble is None
    lines = read_working(circuit_of(LADDER), told + "i_1 > 0, so along the arrow").working.lines
    assert lines[-1].trouble is not None


def test_signs_are_those_of_the_numbers_below_where_none_stand_above() -> None:
    below = "\nI1 = -0.53 mA\n"  # not what is there: 1.41 mA
    for said, read in (("I1 < 0, so opposite to the arrow", True), ("I1 > 0, so along the arrow", False)):
        line = read_working(circuit_of(LADDER), said + below).working.lines[0]
        assert (line.trouble is None) is read
