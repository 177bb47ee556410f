"""Wrong arithmetic: the result is mended, and it is told how it came about."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import Verdict
from tests.sample_circuits import circuit_of

SOURCE = """
[branches]
I1 = "c, +E1, R1, a"
I2 = "c, +E2, R2, a"
I3 = "a, R3, c"
[numbers]
E1 = "12 V"
E2 = "7 V"
R1 = "6 ohm"
R2 = "4 ohm"
R3 = "9 ohm"
"""  # I1 = 31/38 A, I2 = -1/38 A, I3 = 15/19 A


def last(text: str, source: str = SOURCE) -> Verdict:
    return read_working(circuit_of(source), text).verdicts[-1]


@pytest.mark.parametrize(
    ("line", "entry", "mended"),
    [
        ("453.6/18 = 18", "digits", "453.6/18 = 25.2"),
        ("120/5 = 42", "digits", "120/5 = 24"),
        ("15/5 = 4 A", "digits", "15/5 = 3 A"),
        ("12.5*2 = 2.5", "digits", "12.5 × 2 = 25.0"),
        ("3*(4 + 2) = 14", "bracket-lost", "3 (4 + 2) = 18"),
        ("12/(4 + 2) = 5", "calculator-order", "12/(4 + 2) = 2"),
        ("4/8 = 2", "fraction-inverted", "4/8 = 0.5"),
        ("7 - 3 = 10", "added-for-subtracted", "7 − 3 = 4"),
        ("12 - 5*3 = 3", "minus-dropped", "12 − 5 × 3 = −3"),
        ("10/7 = 1.42 A", "early-rounding", "10/7 = 1.43 A"),  # cut off
        ("12 V/6 ohm = 2 mA", "units-mixed", "12 V/(6 Ω) = 2 A"),
    ],
)
def test_the_right_result_is_shown_and_how_the_wrong_one_came_about(
    line: str, entry: str, mended: str
) -> None:
    (repair,) = last(line).repairs
    assert (repair.entry, as_text((repair.mended,))) == (entry, mended)


def test_it_says_what_comes_out_and_what_was_written() -> None:
    assert as_text(last("453.6/18 = 18").repairs[0].said) == "453.6/18 comes to 25.2, not 18"


def test_amperes_for_milliamperes_at_the_end_of_a_chain_are_told() -> None:
    kilohms = SOURCE.replace(" ohm", " kohm")
    (repair,) = last("I1 = 0.816 mA\nI2 = (7 - 7.105)/4 = -0.0263 A", kilohms).repairs
    assert (repair.entry, as_text((repair.mended,))) == ("units-mixed", "(7 − 7.105)/4 = −0.0263 mA")


def test_a_number_copied_wrongly_from_above_is_told_by_the_right_one() -> None:
    verdicts = read_working(circuit_of(SOURCE), "I1 = 0.82 A\nI3 = (12 - 6*0.28)/9 = 1.147 A").verdicts
    assert verdicts[1].repairs[0].entry == "copied-wrong"
    assert as_text((verdicts[1].repairs[0].mended,)) == "I3 = (12 − 6 × 0.82)/9"


def test_a_side_that_is_right_by_the_claim_before_it_is_not_mended() -> None:
    verdicts = read_working(circuit_of(SOURCE), "I1 = (E1 - I3 R3)/R1 = (E1 + I3 R3)/R1").verdicts
    assert all(r.mended.left == verdicts[1].claim.written.left for r in verdicts[1].repairs)
    assert as_text((verdicts[1].repairs[0].mended.right,)) == "(E1 − I3 R3)/R1"
