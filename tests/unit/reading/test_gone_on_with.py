"""What is gone on with in ways that need no formula: shares, equal currents put in, the junction rule."""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

LADDER = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, c"
I4 = "c, R4, g"
I5 = "c, R5, g"
[numbers]
E1 = "24 V"
R1 = "2 ohm"
R2 = "8 ohm"
R3 = "4 ohm"
R4 = "6 ohm"
R5 = "12 ohm"
"""


@pytest.mark.parametrize(
    ("text", "carried"),
    [
        ("I1 = 24/10 = 2.4 A\nI2 = 1.2 A", True),  # half of it, as in truth
        ("I1 = 24/10 = 2.4 A\nI2 = 1.6 A", False),
        ("I1 = I3\n24 - 2 I3 - 8 I2 = 0", True),  # the loop, with that put in
        ("I1 = I3\n24 - 2 I3 + 8 I2 = 0", False),
        ("I1 = 5 A\nI2 = 2 A\nI3 = 3 A", True),  # the junction, which is not written
        ("I1 = 5 A\nI2 = 2 A\nI3 = 7 A", False),
    ],
)
def test_what_a_wrong_line_gives_is_carried(text: str, carried: bool) -> None:
    last = read_working(circuit_of(LADDER), text).verdicts[-1]
    assert (last.kind, last.carried) == (ClaimKind.UNTRUE, carried)


def test_conductance_is_one_over_its_resistance() -> None:
    assert read_working(circuit_of(LADDER), "G2 = 0.125 S, G4 = 167 mS\nI2 = 16 G2 = 2 A").right
    assert not read_working(circuit_of(LADDER), "G2 = 0.25 S").right


def test_mixed_number_is_read() -> None:
    assert read_working(circuit_of(LADDER), "I4 = 1 1/3 A").right
    assert not read_working(circuit_of(LADDER), "I4 = 2 1/3 A").right
