"""Workings whose equations contradict one another, and that find it out."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.remarks import Standing
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

WRONG = "Ic = Ib + Ih\n23 = 4 Ic + 5 Ih\n18 = 4 Ic + 5 Ih\n"


def read(text: str) -> Reading:
    return read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), text)


@pytest.mark.parametrize("found", ["23 = 18", "5 = 0", "0 = -5", "so 46 = 36"])
def test_unknowns_that_cancel_follow_from_the_wrong_equation(found: str) -> None:
    last = read(WRONG + found).verdicts[-1]
    assert (last.kind, last.carried, last.used, last.cause) == (ClaimKind.UNTRUE, True, (2, 3), 3)
    assert as_text(last.said) == (
        "Rightly found: lines 2 and 3 contradict one another. Look for the slip there."
    )


@pytest.mark.parametrize(
    "words", ["No solution.", "this is a contradiction", "the equations are inconsistent", "cannot be solved"]
)
def test_contradiction_found_in_words_is_credited(words: str) -> None:
    reading = read(WRONG + words)
    assert [r.standing for r in reading.remarks][-1] is Standing.CARRIED
    assert reading.verdicts[-1].cause == 3


@pytest.mark.parametrize("words", ["no contradiction here", "so there is not a contradiction"])
def test_denied_contradiction_is_words(words: str) -> None:
    assert [r.standing for r in read(WRONG + words).remarks][-1] is Standing.SAID


def test_words_say_nothing_where_the_lines_agree() -> None:
    reading = read("Ic = Ib + Ih\n23 = 4 Ic + 5 Ih + 1\nno solution")
    assert [r.standing for r in reading.remarks][-1] is Standing.SAID


def test_two_different_numbers_are_told_as_such_where_the_lines_agree() -> None:
    last = read("Ic = Ib + Ih\n23 = 4 Ic + 5 Ih\n36 = 30").verdicts[-1]
    assert (last.carried, last.repairs) == (False, ())
    assert as_text(last.said) == "Two different numbers: no currents can make them equal."
