"""What a writer takes back is not judged."""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of


@pytest.mark.parametrize(
    "text",
    [
        "23 - 4 Ic + 5 Ih = 0 - no, that's wrong: 23 - 4 Ic - 5 Ih = 0",
        "23 - 4 Ic + 5 Ih = 0\nno, wrong: 23 - 4 Ic - 5 Ih = 0",
        "23 - 4 Ic + 5 Ih = 0\nscratch that",
        "~~23 - 4 Ic + 5 Ih = 0~~ 23 - 4 Ic - 5 Ih = 0",
        "Ih = 4 A. Correction: Ih = 3 A",
        "Ih = 23/5 = 4.6 A - no, wait, R1 is there too\nIh = 3 A",
    ],
)
def test_what_is_taken_back_is_not_judged(text: str) -> None:
    assert read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), text).right


def test_what_stands_after_it_is_judged() -> None:
    reading = read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), "Ih = 4 A. Correction: Ih = 5 A")
    assert [v.kind for v in reading.verdicts] == [ClaimKind.UNTRUE]


def test_a_wait_before_a_claim_takes_nothing_back() -> None:
    reading = read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), "Ih = 4 A, wait for it: Ic = 2 A")
    assert next(v.kind for v in reading.verdicts) is ClaimKind.UNTRUE
