"""Currents round loops are read from words: round what, and which way where that is said."""

from __future__ import annotations

import pytest

from loopwright.reading.page.lines import working
from loopwright.reading.working import LoopSaid
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP)
LEFT, RIGHT = ("E1", "R1", "Rh"), ("E2", "R2", "Rh")


def said(text: str) -> tuple[LoopSaid, ...]:
    return working(text, CIRCUIT).lines[0].loops


@pytest.mark.parametrize(
    "text",
    [
        "Loop current J1 round E1, R1, Rh, through R1 from rail to bus.",
        "J1 goes round E1, R1 and Rh, from rail to bus through R1",
        "Let J1 run around the loop E1-R1-Rh, from rail through R1 to bus",
        r"Loop current $J_1$ round $E_1$, $R_1$, $R_h$, through $R_1$ from rail to bus.",
    ],
)
def test_a_loop_current_says_round_what_it_goes_and_which_way(text: str) -> None:
    assert said(text) == (LoopSaid("J1", LEFT, "R1", "rail", "bus"),)


def test_two_loop_currents_in_one_line_without_a_sense() -> None:
    text = "Loop current i_a clockwise round E1, R1, Rh; i_b clockwise round E2, R2, Rh."
    assert said(text) == (LoopSaid("ia", LEFT), LoopSaid("ib", RIGHT))


@pytest.mark.parametrize(
    "text", ["9 J1 - 5 J2 = 23, J1 round E1, R1, Rh", "rounded to R1, Rh", "J1 round Rh", "round E1, R1, Rh"]
)
def test_what_declares_no_loop_current(text: str) -> None:
    assert said(text) == ()
