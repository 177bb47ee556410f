"""Lines as students type them in haste: what is left to the line above, to a bracket or to an arrow.

The kiln: 14 V behind 4 Ω and 8 V behind 2 Ω on 8 Ω; E1 alone makes 2.5 A in its own branch. The bakery: 30 V
behind 3 Ω on 12 Ω beside 4 Ω with 12 Ω and 24 Ω side by side behind it: 8, 12, 6 and 9 Ω.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from tests.sample_circuits import circuit_of

KILN = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "g, +E2, R2, a"
I3 = "a, R3, g"
[numbers]
E1 = "14 V"
E2 = "8 V"
R1 = "4 ohm"
R2 = "2 ohm"
R3 = "8 ohm"
"""
BAKERY = """
[branches]
I1 = "g, +E, R1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "b, R5, g"
[numbers]
E = "30 V"
R1 = "3 ohm"
R2 = "12 ohm"
R3 = "4 ohm"
R4 = "12 ohm"
R5 = "24 ohm"
"""


@pytest.mark.parametrize(
    "head", ["1) E2 = 0 (wire)", "E2 = 0 (wire)", "a) E2=0", "step 1: E2 = 0,", "(1) E2 := 0", "E2 -> 0:"]
)
def test_source_set_to_nothing_at_the_front_of_a_line_is_at_rest(head: str) -> None:
    assert read_working(circuit_of(KILN), f"{head}\nI1' = 14/5.6 = 2.5 A\nI2' = -2 A\n").right
    assert not read_working(circuit_of(KILN), f"{head}\nI1' = 14/5.6 = 2.5 A\nI2' = -3 A\n").right


def test_source_that_is_said_to_be_nothing_in_a_sentence_is_not_true() -> None:
    assert not read_working(circuit_of(KILN), "E2 = 0 so I2 = 0").right


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("R4||R5 = 8\n+4 = 12\n12||12 = 6\n+3 = 9", True),
        ("R4||R5 = 8\n+4 = 13", False),
        ("R4||R5 = 8, +4 = 12", True),
        ("R4||R5 = 8, +4 = 14", False),
        ("R4||R5 = 8\nthat in series with R3 -> 8+4 = 12", True),
        ("R4||R5 = 8\nthat in series with R3 -> 8+4 = 13", False),
        ("R45: 12*24/36 = 8 ohm\nR345: 8 + 4 = 12 ohm", True),
        ("R45: 12 + 24 = 36 ohm", False),
        ("left-arm of no interest, b-arm 4+8 = 12", True),
        ("node a) (30-Va)/3 = Va/12 + (Va-Vb)/4", True),
        ("node a) (30-Va)/3 = Va/12 - (Va-Vb)/4", False),
    ],
)
def test_what_is_left_to_the_reader_is_understood(text: str, right: bool) -> None:
    assert read_working(circuit_of(BAKERY), text).right is right


def test_voltage_of_a_rounded_current_is_right_as_the_current_stands() -> None:
    """True are 5/3 A, so that 4·1.7 = 6.8 V for 6.67 V is the rounding carried through."""
    text = "I3 = 1.7 A\nV(a, b) = 6.8 V\n"
    assert read_working(circuit_of(BAKERY), text).right
    assert not read_working(circuit_of(BAKERY), text.replace("6.8", "6.2")).right


def test_bare_sum_of_wrong_parts_is_carried() -> None:
    wrong = "E1 alone: I1' = 14/(4+8) = 1.167 A\nE2 alone: I1'' = -1.143 A\nTogether:\n"
    carried = read_working(circuit_of(KILN), f"{wrong}I1 = 0.024 A").verdicts[-1]
    fresh = read_working(circuit_of(KILN), f"{wrong}I1 = 2.31 A").verdicts[-1]
    assert (carried.holds, carried.carried, fresh.carried) == (False, True, False)


TROUT = """
[branches]
I1 = "z, +E1, R1, a"
I2 = "a, R2, z"
I3 = "a, R3, b"
I4 = "b, R4, z"
I5 = "z, +E2, R5, b"
[numbers]
E1 = "20 V"
E2 = "10 V"
R1 = "2 ohm"
R2 = "5 ohm"
R3 = "4 ohm"
R4 = "8 ohm"
R5 = "1 ohm"
"""


@pytest.mark.parametrize(
    ("back", "right"),
    [("Va = 14.29 - 1.429*0.854 = 13.07 V", True), ("Va = 14.29 - 1.249*0.854 = 13.22 V", False)],
)
def test_potential_told_anew_is_of_the_circuit_as_drawn(back: str, right: bool) -> None:
    """Without R3 the left side gives 100/7 V at a; with it 2600/199 V."""
    text = f"R3 out.\nVa = 20*5/7 = 14.29 V\nR3 back: I3 = 0.854 A\n{back}\nI2 = 2.61 A\n"
    assert read_working(circuit_of(TROUT), text).right is right


def test_sum_of_rounded_parts_without_a_word_is_right() -> None:
    text = "E1 alone: I2' = -2.04 A\nE2 alone: I2'' = 1.70 A\nTogether: I2 = -0.34 A\n"
    true = "E1 alone: I1' = 2.5 A\nE2 alone: I1'' = -1.1 A\nTogether: I1 = 1.4 A\n"
    assert read_working(circuit_of(KILN), true).right
    assert not read_working(circuit_of(KILN), text).right


def test_sum_at_a_junction_of_a_wrong_fraction_is_carried() -> None:
    """True are 19/14 A and −2/7 A; 19/14 + 9/14 = 2 A, which 0.643 A rounded would miss."""
    text = "I1 = 19/14 A\nI2 = 9/14 = 0.643 A\n"
    carried = read_working(circuit_of(KILN), f"{text}I3 = 2 A").verdicts[-1]
    fresh = read_working(circuit_of(KILN), f"{text}I3 = 3 A").verdicts[-1]
    assert (carried.carried, fresh.carried) == (True, False)
