"""What agrees by chance, or gives itself a name, is not right.

One battery of 26 V behind 3 ohm feeds 7 ohm and, behind 2 ohm, two times 3 ohm side by side: I1 = 39/8 A,
I3 = 13/4 A, and I2 = I4 = I5 = 13/8 A, worked by hand (7 I2 = 2 I3 + 3 I4, I3 = 2 I4, I1 = I2 + I3).
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind, Verdict
from tests.sample_circuits import circuit_of

EQUAL = """
[branches]
I1 = "c, +E, R1, a"
I2 = "a, R2, c"
I3 = "a, R3, b"
I4 = "b, R4, c"
I5 = "b, R5, c"
[numbers]
E = "26 V"
R1 = "3 ohm"
R2 = "7 ohm"
R3 = "2 ohm"
R4 = "3 ohm"
R5 = "3 ohm"
"""
SYMBOLS = EQUAL[: EQUAL.index("[numbers]")]


def read(text: str, source: str = EQUAL) -> tuple[Verdict, ...]:
    return read_working(circuit_of(source), text).verdicts


@pytest.mark.parametrize(
    ("line", "mended"),
    [
        ("E - I1 R1 - I3 R3 - I2 R4 = 0", "E − I1 R1 − I3 R3 − I4 R4 = 0"),
        ("E - I1 R1 - I3 R3 - I4 R5 = 0", "E − I1 R1 − I3 R3 − I5 R5 = 0"),
        ("I1 = I5 + I3", "I1 = I2 + I3"),
    ],
)
def test_a_law_in_symbols_that_holds_at_these_numbers_alone_is_not_true(line: str, mended: str) -> None:
    (verdict,) = read(line)
    assert verdict.kind is ClaimKind.UNTRUE
    assert as_text((verdict.repairs[0].mended,)) == mended


def test_in_bare_numbers_the_wrong_current_of_two_equal_ones_is_told_and_not_credited() -> None:
    (verdict,) = read("26 - 3 I1 - 2 I3 - 3 I2 = 0")
    assert verdict.kind is ClaimKind.UNDECIDED
    assert "it agrees by chance. With I4 in the place of I2 it is a loop" in as_text(verdict.said)


@pytest.mark.parametrize(
    "text",
    [
        "26 - 3 I1 - 2 I3 - 3 I4 = 0",
        "R4 = R5\nE = I1 R1 + I3 R3 + I5 R4",  # what the data say was said above
        "I2 = 13/8\nI4 = 13/8\nI2 = I4",
        "I3 = 2 I4",
    ],
)
def test_what_is_a_law_or_follows_is_right_though_currents_are_equal(text: str) -> None:
    assert all(v.holds for v in read(text))


@pytest.mark.parametrize(
    "text",
    [
        "R45 = 1/R4 + 1/R5",
        "Req = 1/R4 + 1/R5",
        "R4 and R5 in parallel: R45 = (R4 + R5)/(R4 R5) = 6/9 = 0.667 ohm",
        "R4 and R5 in parallel:\nRp = R4 + R5 = 6 ohm",
        "R45 = 3*3/(3 - 1) = 4.5 ohm",
        "R3 in series with R45, R45 = R4 R5",
    ],
)
@pytest.mark.parametrize("source", [EQUAL, SYMBOLS])
def test_a_wrong_combined_resistance_is_not_made_right_by_its_name(text: str, source: str) -> None:
    if source == SYMBOLS:
        text = text.split(" = 6")[0]
    verdicts = read(text, source)
    assert verdicts[0].kind in (ClaimKind.UNTRUE, ClaimKind.UNDECIDED)
    assert source == SYMBOLS or verdicts[0].kind is ClaimKind.UNTRUE


@pytest.mark.parametrize(
    "text",
    [
        "R45 = R4 R5/(R4 + R5) = 9/6 = 1.5 ohm",
        "R45 = 3*3/(3 + 3) = 1.5 ohm",
        "R4 and R5 in parallel: Rp = 1/(1/R4 + 1/R5) = 1.50 ohm",
        "R345 = R3 + R4 R5/(R4 + R5) = 3.5 ohm",
        "R12 = R1 + R2",
        "R3 and R45 in series: R345 = R3 + R45",  # R45 was not said
    ],
)
def test_a_right_combined_resistance_is_a_name_for_it(text: str) -> None:
    assert read(text)[0].kind in (ClaimKind.NAMED, ClaimKind.UNDECIDED)
    assert not any(v.kind is ClaimKind.UNTRUE for v in read(text))


IN_A_ROW = """
[branches]
I1 = "a, +E, R1, b"
I2 = "b, R2, c"
I3 = "c, R3, a"
[numbers]
E = "12 V"
R1 = "1 ohm"
R2 = "2 ohm"
R3 = "3 ohm"
"""


def test_currents_that_are_equal_for_all_values_may_stand_for_one_another() -> None:
    """Three branches in a row carry one current: which of its names stands where is no chance."""
    assert all(v.holds for v in read("12 - I1 - 2 I1 - 3 I2 = 0\n12 = 6 I3", IN_A_ROW))


def test_a_voltage_between_points_that_the_circuit_lacks_stands_for_nothing() -> None:
    (verdict,) = read("V(bus, rail) = 15 V")
    assert not verdict.holds
    assert verdict.fault is None
