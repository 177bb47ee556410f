"""Names, arrows and reference points as yet another hand writes them: right ones pass, false twins do not.

Two points joined by three branches: 12 V behind 4 ohm and 5 V behind 5 ohm, both driving towards L, and
2 ohm. By hand: V(K, L) = -80/19 V, so I1 = 37/19 A, I2 = 3/19 A along their arrows, I3 = -40/19 A. And one
battery of 12 V with 3 ohm before 6 ohm beside 2 ohm and 1 ohm: 2 ohm together, so 2.4 A, 4.8 V, 0.8 A, 1.6 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
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
