"""Currents of sources in the place of batteries may bear names of branch currents until these are given."""

from __future__ import annotations

import pytest

from loopwright import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

TWO_AND_A_LOAD = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "b, +E2, R2, a"
I3 = "a, R3, b"
[numbers]
E1 = "21 V"
E2 = "15 V"
R1 = "4.5 ohm"
R2 = "7.5 ohm"
R3 = "6.8 ohm"
"""
SOURCES = "I1 = {0} = 4.67 A, I2 = 15/7.5 = 2 A\n"
LATER = "I3 = 6.67*2.8125/(2.8125 + 6.8) = 1.95 A\nI1 = {0}, I2 = 0.23 A"


def wrong_lines(text: str) -> list[int]:
    """The lines with an untrue claim."""
    found = read_working(circuit_of(TWO_AND_A_LOAD), text).verdicts
    return sorted({v.line for v in found if v.kind is ClaimKind.UNTRUE})


@pytest.mark.parametrize("first", ["21/4.5", "E1/R1"])
@pytest.mark.parametrize("later", ["(21 - 13.26)/4.5 = 1.72 A", "1.72 A"])
def test_they_are_no_claims_on_the_branches_below_such_words(first: str, later: str) -> None:
    text = "Source transformation:\n" + SOURCES.format(first) + LATER.format(later)
    assert wrong_lines(text) == []


def test_they_are_without_the_words_and_where_the_names_are_never_given_anew() -> None:
    assert wrong_lines(SOURCES.format("21/4.5") + LATER.format("1.72 A"))[:1] == [1]
    assert wrong_lines("Source transformation:\n" + SOURCES.format("21/4.5"))[:1] == [2]


def test_what_is_given_anew_and_another_quotient_are_judged() -> None:
    head = "Source transformation:\n"
    assert wrong_lines(head + SOURCES.format("21/4.5") + LATER.format("1.92 A")) == [4]
    assert wrong_lines(head + SOURCES.format("4.5/21") + LATER.format("1.72 A"))[:1] == [2]
