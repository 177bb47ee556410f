"""A new resistance with a number in it that is none of the circuit's is questioned where it stands.

The circuit: 24 V behind 2 Ω on 8 Ω beside 4 Ω before 6 Ω beside 12 Ω. By hand: 4 Ω, 8 Ω, 4 Ω and 6 Ω in all.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, circuit_of

BELOW = "\nRw = 8*8.5/16.5 = 4.12\nRt = 2 + 4.12 = 6.12\nI1 = 24/6.12 = 3.92 A"


@pytest.mark.parametrize(
    ("written", "mended"),
    [
        ("Rs = 4 + 4.5 = 8.5", "Rs = 4 + 4"),
        ("Rp = 15*6/(15 + 6)", "Rp = 12 × 6/(12 + 6)"),
        ("Rp = 15*6/21", "Rp = 12 × 6/18"),
        ("Rp = 6 || 21", "Rp = 6 ∥ 12"),
        ("1/Rp = 1/6 + 1/21", "1/Rp = 1/6 + 1/12"),
    ],
)
def test_odd_number_is_told_with_what_belongs_there(written: str, mended: str) -> None:
    first = read_working(circuit_of(FAR_END), written).verdicts[0]
    assert first.kind is ClaimKind.UNTRUE
    assert first.repairs[0].entry in ("digits", "copied-wrong")
    assert as_text((first.repairs[0].mended,)) == mended


def test_what_is_made_of_it_follows() -> None:
    verdicts = read_working(circuit_of(FAR_END), f"Rs = 4 + 4.5 = 8.5{BELOW}").verdicts
    slips = [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]
    assert (slips, {v.line for v in verdicts if v.carried}) == ([1], {2, 3, 4})


def test_sum_of_nothing_that_lies_together_is_questioned_too() -> None:
    (verdict,) = read_working(circuit_of(FAR_END), "Rz = 12 + 8.57").verdicts
    assert verdict.kind is ClaimKind.UNTRUE


@pytest.mark.parametrize(
    "written",
    [
        "Rs = 4 + 4 = 8\nRw = 8*8/16 = 4",
        "Rq = 2 + 8*8/16 = 6",
        "Rw = 8*8/(8 + 8) = 4\nRs = 2 + 4",
        "6*12/18 = 4.00\nRs = 4 + 4.00 = 8",
        "the lamp has 3.3 ohm when hot\nRz = 4 + 3.3 = 7.3",  # it has been spoken of
        "R3 out: Rv = 2*8/10 = 1.6\nRz = 1.6 + 4 = 5.6",
        "Rz = 4 + 1.6",  # 2 beside 8, in one's head
    ],
)
def test_numbers_of_the_circuit_and_of_lines_above_are_not_questioned(written: str) -> None:
    verdicts = read_working(circuit_of(FAR_END), written).verdicts
    assert [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE] == []


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("Rp = 6 || 12 = 4\nRq = 4 + 12 = 16", False),  # 12 ohm lies in Rp already
        ("Rp = 6 || 12 = 4\nRs = 4 + 4 = 8\nRq = 8 || 8 = 4", True),  # what is made of others, and R2
        ("Ra = 6 || 12 = 4\nRb = 2 + 8 = 10", True),
    ],
)
def test_resistor_within_a_combined_resistance_is_put_to_it_no_second_time(text: str, right: bool) -> None:
    verdicts = read_working(circuit_of(FAR_END), text).verdicts
    assert all(v.holds for v in verdicts) is right
