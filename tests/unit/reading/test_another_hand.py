"""Names, arrows and reference points as yet another hand writes them: right ones pass, false twins do not.

Two points joined by three branches: 12 V behind 4 ohm and 5 V behind 5 ohm, both driving towards L, and
2 ohm. By hand: V(K, L) = -80/19 V, so I1 = 37/19 A, I2 = 3/19 A along their arrows, I3 = -40/19 A. And one
battery of 12 V with 3 ohm before 6 ohm beside 2 ohm and 1 ohm: 2 ohm together, so 2.4 A, 4.8 V, 0.8 A, 1.6 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.reading import Reading
from tests.sample_circuits import circuit_of

TWO = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "K, R1, +E1, L"
I2 = "K, R2, +E2, L"
I3 = "K, RL, L"
[numbers]
E1 = "12 V"
E2 = "5 V"
R1 = "4 ohm"
R2 = "5 ohm"
RL = "2 ohm"
"""
NEST = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, R4, b"
[numbers]
E = "12 V"
R1 = "3 ohm"
R2 = "6 ohm"
R3 = "2 ohm"
R4 = "1 ohm"
"""


def read(source: str, text: str) -> Reading:
    return read_working(circuit_of(source), text)


def untrue(source: str, text: str) -> list[int]:
    """The lines with a claim that is not true, and those that could not be read or decided."""
    reading = read(source, text)
    unread = [line.number for line in reading.working.lines if line.trouble is not None]
    return sorted({v.line for v in reading.verdicts if not v.holds} | set(unread))


LONG_NEST = (
    NEST.replace("12 V", "24 V").replace("3 ohm", "24 ohm").replace('R2 = "6', 'R2 = "9')
    .replace('R3 = "2', 'R3 = "6').replace('R4 = "1', 'R4 = "4')
)  # fmt: skip
LETTERS = NEST.replace("R2", "RB")
SMALL_INSIDE = """
find = ["I1"]
[branches]
I1 = "b, +V1, a"
I2 = "a, R1, R2, b"
I3 = "a, R3, R4, b"
[elements]
V1 = { kind = "battery", value = "V1", internal = "r1" }
[numbers]
V1 = "18 V"
r1 = "0.8 ohm"
R1 = "20 ohm"
R2 = "2 ohm"
R3 = "18 ohm"
R4 = "4 ohm"
"""
THREE = """
find = ["I1"]
[branches]
I1 = "b, +E, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
I4 = "a, R4, b"
[numbers]
E = "6 V"
R1 = "20 ohm"
R2 = "9 ohm"
R3 = "3 ohm"
R4 = "6 ohm"
"""
SOURCE = """
find = ["I1", "I2"]
[branches]
I1 = "b, +E1, R1, a"
I2 = "a, R2, b"
I3 = "b, +J1, a"
[elements]
E1 = { kind = "battery", value = "E1", internal = "r1" }
[numbers]
E1 = "12 V"
r1 = "2 ohm"
R1 = "3 ohm"
R2 = "6 ohm"
J1 = "2 A"
"""
TAPS = """
find = ["I5"]
[branches]
I1 = "a, R1, M"
I2 = "M, R2, b"
I3 = "a, R3, N"
I4 = "N, R4, b"
I5 = "M, R5, N"
I6 = "b, +E, a"
[numbers]
E = "20 V"
R1 = "9 ohm"
R2 = "24 ohm"
R3 = "30 ohm"
R4 = "15 ohm"
R5 = "18 ohm"
"""

RIGHT = {
    "arrows with the element in brackets behind": (TWO, """\
x: L -> K (R1)
y: K → L (R2)
z: K -> L (RL)
x = y + z
-12 - 4x - 2z = 0
"""),
    "loop currents called K1 and m2": (TWO, """\
Loop current K1 round E1, R1, RL, through R1 from K to L
Loop current m2 round E2, R2, RL, through R2 from K to L
12 - 4K1 - 2(K1 + m2) = 0
5 - 5m2 - 2(m2 + K1) = 0
I1 = K1, I3 = -K1 - m2
"""),
    "a reference point that a load is called after": (TWO, """\
Take V_L = 0
(VK + E1)/R1 + (VK + E2)/R2 + VK/RL = 0
VK = -80/19 V
"""),
    "voltages with a letter of their own": (NEST, """\
Rs = R3 + R4 = 3
Rp = 6*3/(6+3) = 2 ohm
Rges = R1 + Rp = 3 + 2 = 5 ohm
I1 = E/Rges = 12/5 = 2.4 A
Up = I1 Rp = 2.4*2 = 4.8 V
I2 = Up/R2 = 4.8/6 = 0.8 A, I3 = Up/Rs = 1.6 A
"""),
    "a voltage called Uv": (NEST, """\
Rv = (R3 + R4) R2/(R2 + R3 + R4) = 2
I1 = E/(R1 + Rv) = 12/5 = 2.4
U_v = I1 Rv = 4.8
I2 = U_v/R2 = 0.8
"""),
    "a voltage across a resistor beside a source of its number": (TWO, """\
I2 = 3/19 A
I1 = 0.158 + 1.79 = 1.95 A, so U₂ = R₂ I₂ = 0.789 V
"""),
    "a current source whose loop is said as well": (SOURCE, """\
Loop current K1 round E1, R1, R2, through R1 from b to a
Loop current J1 round J1, R2, through J1 from b to a
E1 - K1 (r1 + R1) - R2 (K1 + J1) = 0
K1 = 0
I2 = K1 + J1 = 2 A
"""),
    "determinants of equations with units": (NEST, """\
Loop current K1 round E, R1, R2, through R1 from b to a
Loop current K2 round R3, R4, R2, through R3 from a to b
9 ohm*K1 - 6 ohm*K2 = 12 V
9 ohm*K2 - 6 ohm*K1 = 0
D = 9*9 - (-6)*(-6) = 45
D1 = 12*9 = 108
K1 = D1/D = 2.4 A
"""),
    "words before one claim and another claim behind it": (NEST, """\
in series: R34 = R3 + R4 = 3
parallel: R234 = R2 R34/(R2 + R34) = 2; Rt = R1 + R234 = 5
"""),
    "a total rounded in a line of its own": (LONG_NEST, """\
Rs = 9*10/(9 + 10)
Rs = 4.737
Rt = 24 + 4.737
Rt = 28.74
I1 = 24/28.74
I1 = 0.8351 A
"""),
    "whole numbers that were rounded": (TAPS, """\
Without R5:
UM = E R2/(R1 + R2) = 20*24/(9 + 24) = 15
UN = E R4/(R3 + R4) = 20*15/(30 + 15) = 6.7
U0 = UM - UN = 15 - 6.7 = 7.9
Ri = 9*24/(9 + 24) + 30*15/(30 + 15) = 17
I5 = U0/(Ri + R5) = 7.9/(17 + 18) = 0.23 A
"""),
    "an inner resistance in numbers": (SOURCE, """\
E1 alone:
Rp = 6
Rt = 2 + 3 + 6 = 11
I1' = 12/11 = 1.09 A
"""),
    "equations with rounded numbers, and a whole one that was rounded": (TWO, """\
(VK + 12)/4 + (VK + 5)/5 + VK/2 = 0
0.951 VK = -4.00
-12152 VK = 51168
"""),
    "a name that says of which three it is made": (NEST, "R34 = R3 + R4 = 3\nR234 = R2 R34/(R2 + R34) = 2\n"),
    "a power called after a resistor with a letter": (LETTERS, "I2 = 0.8 A\nPB = RB I2^2 = 3.84 W\n"),
    "three side by side in numbers, one of them the sum of the others": (THREE, """\
Rp = 9 || 3 || 6 = 1.64
Rq = 1/(1/9 + 1/3 + 1/6) = 1.64
Rt = 20 + 1.64 = 21.6
"""),
    "a small inner resistance and what was made one above": (SMALL_INSIDE, """\
Rp = 20 + 2 = 22 ohm
Rs = 18 + 4 = 22
Rw = 1/(1/22 + 1/22) = 11
Req = 0.8 + 11 = 11.8 ohm
I1 = 18/11.8 = 1.525 A
"""),
    "Roman numbers before a minus": (TWO, """\
(I) I1 + I2 + I3 = 0
(II) -12 + 4 I1 - 2 I3 = 0
(III) -5 + 5 I2 - 2 I3 = 0
(IV) -7 + 4 I1 - 5 I2 = 0
"""),
    "currents called after resistors, with arrows of their own": (TWO, """\
Let I_R1 flow from L to K through R1.
Let I_R2 flow from K to L through R2.
Let I_RL flow from K to L through RL.
I_R1 = I_R2 + I_RL
-12 - 4 I_R1 - 2 I_RL = 0
"""),
    "a current called v beside the only emf": (NEST, """\
u: b -> a through R1
v: a -> b through R2
w: a -> b through R3
u = v + w
E - u R1 - v R2 = 0
12 - 3u - 6v = 0
"""),
    "a power in numbers alone": (NEST, "I2 = 0.8 A\nP2 = 6*0.8^2 = 3.84 W\n"),
}  # fmt: skip
WRONG = {
    "arrows with the element in brackets behind, one sign wrong": (TWO, 4, """\
x: L -> K (R1)
y: K → L (R2)
z: K -> L (RL)
x = y - z
"""),
    "loop currents called K1 and m2, added with the wrong sign": (TWO, 3, """\
Loop current K1 round E1, R1, RL, through R1 from K to L
Loop current m2 round E2, R2, RL, through R2 from K to L
12 - 4K1 - 2(K1 - m2) = 0
"""),
    "a reference point, and another at zero as well": (TWO, 3, """\
Take V_L = 0
(VK + E1)/R1 + (VK + E2)/R2 + VK/RL = 0
VK = 0
"""),
    "the whole emf for a voltage of its own": (NEST, 6, """\
Rs = R3 + R4 = 3
Rp = 6*3/(6+3) = 2 ohm
Rges = R1 + Rp = 3 + 2 = 5 ohm
I1 = E/Rges = 12/5 = 2.4 A
Up = I1 Rp = 2.4*2 = 4.8 V
I2 = Up/Rs = 4.8/3 = 1.6 A
"""),
    "a total with a minus": (NEST, 2, "Rp = 6*3/(6+3) = 2 ohm\nRges = 3-2 = 1 ohm\nI1 = E/Rges\n"),
    "a current source whose loop is said as well, its current left out": (SOURCE, 3, """\
Loop current K1 round E1, R1, R2, through R1 from b to a
Loop current J1 round J1, R2, through J1 from b to a
E1 - K1 (r1 + R1) - R2 K1 = 0
"""),
    "a determinant of equations with units, one sign wrong": (NEST, 5, """\
Loop current K1 round E, R1, R2, through R1 from b to a
Loop current K2 round R3, R4, R2, through R3 from a to b
9 ohm*K1 - 6 ohm*K2 = 12 V
9 ohm*K2 - 6 ohm*K1 = 0
D = 9*9 + (-6)*(-6) = 117
"""),
    "parallel, and the next as if it were too": (NEST, 2, """\
in series: R34 = R3 + R4 = 3
parallel: R234 = R2 R34/(R2 + R34) = 2; Rt = R1 R234/(R1 + R234) = 1.2
I1 = E/Rt
"""),
    "a total rounded in a line of its own, and a part of it left out below": (LONG_NEST, 5, """\
Rs = 9*10/(9 + 10)
Rs = 4.737
Rt = 24 + 4.737
Rt = 28.74
I1 = 24/24
"""),
    "whole numbers that were rounded, and added for subtracted": (TAPS, 4, """\
Without R5:
UM = E R2/(R1 + R2) = 20*24/(9 + 24) = 15
UN = E R4/(R3 + R4) = 20*15/(30 + 15) = 6.7
U0 = UM - UN = 15 - 6.7 = 9.3
"""),
    "equations with rounded numbers, two digits exchanged": (TWO, 2, """\
(VK + 12)/4 + (VK + 5)/5 + VK/2 = 0
0.915 VK = -4.00
"""),
    "a name that says of which three it is made, and one other in it": (NEST, 2, """\
R34 = R3 + R4 = 3
R234 = R1 R34/(R1 + R34) = 1.5
"""),
    "a power called after a resistor with a letter, not squared": (LETTERS, 2, "I2 = 0.8 A\nPB = RB I2\n"),
    "three side by side, one of them another": (THREE, 1, "R2, R3, R4 in parallel: Rp = 9 || 3 || 20\n"),
    "an inner resistance misread, and what was made one above": (SMALL_INSIDE, 5, """\
Rp = 20 + 2 = 22 ohm
Rs = 18 + 4 = 22
Rw = 1/(1/22 + 1/22) = 11
Req = 0.6 + 11 = 11.6 ohm
I1 = 18/11.6
"""),
    "Roman numbers before a minus, one sign wrong": (TWO, 4, """\
(I) I1 + I2 + I3 = 0
(II) -12 + 4 I1 - 2 I3 = 0
(III) -5 + 5 I2 - 2 I3 = 0
(IV) -7 - 4 I1 - 5 I2 = 0
"""),
    "currents called after resistors, with arrows of their own, one sign wrong": (TWO, 4, """\
Let I_R1 flow from L to K through R1.
Let I_R2 flow from K to L through R2.
Let I_RL flow from K to L through RL.
I_R1 + I_R2 + I_RL = 0
"""),
    "a current called v beside the only emf, one sign wrong": (NEST, 5, """\
u: b -> a through R1
v: a -> b through R2
w: a -> b through R3
u = v + w
E - u R1 + v R2 = 0
"""),
    "a power with the current not squared": (NEST, 2, "I2 = 0.8 A\nP2 = 6*0.8\nP2 = 4.8 W\n"),
    "a voltage by division": (NEST, 2, "I2 = 0.8 A\nU2 = R2/I2\n"),
}  # fmt: skip


@pytest.mark.parametrize("case", RIGHT)
def test_what_is_right_passes_whatever_the_hand(case: str) -> None:
    source, text = RIGHT[case]
    assert untrue(source, text) == []


@pytest.mark.parametrize("case", WRONG)
def test_its_false_twin_is_told_on_its_line(case: str) -> None:
    source, line, text = WRONG[case]
    first = read(source, text).first_untrue
    assert first is not None
    assert first.line == line


def test_shares_of_a_current_are_another_way_than_a_set_of_equations() -> None:
    """Resistances made one and the way back by shares: no junction or loop equation is missing."""
    text = """\
R34 = R3 + R4 = 3 ohm
R234 = R2 R34/(R2 + R34) = 2 ohm
I1 = E/(R1 + R234) = 12/5 = 2.4 A
I2 = I1 R34/(R2 + R34) = 2.4*3/9 = 0.8 A
I3 = I1 R2/(R2 + R34) = 2.4*6/9 = 1.6 A
"""
    mark = propose(read(NEST, text), BUILT_IN["ten"])
    assert {str(award.part) for award in mark.awards if award.points < award.of} <= {"check"}


SIGNS = {
    "I1, I2 > 0, I3 < 0, so against its arrow.": True,
    "I₃ < 0: opposite to the arrow drawn": True,
    "VK < 0": True,
    "I3 > 0": False,
    "I2, I3 < 0, so against their arrows.": False,
    "I2 - I3 < 0": False,
    "I3 < 0.5 A": False,
}


@pytest.mark.parametrize("said", SIGNS)
def test_what_is_said_of_signs_is_read_where_it_agrees_with_the_numbers(said: str) -> None:
    above = "(VK + 12)/4 + (VK + 5)/5 + VK/2 = 0\nVK = -80/19 V\nI1 = 1.95 A\nI2 = 3/19 A\nI3 = -2.11 A\n"
    text = f"{above}{said}\n"
    assert (untrue(TWO, text) == []) is SIGNS[said]
