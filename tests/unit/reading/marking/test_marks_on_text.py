"""Marks proposed for workings as people type them, read from text.

The circuit: E1 with R1 and E2 with R2 feed R3, E1 = 12 V, E2 = 24 V, R1 = 6 Ω, R2 = 2 Ω, R3 = 9 Ω; the
currents are (−1, 3, 2) A. What follows from a slip is worked by hand beside it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.mark import Mark
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from tests.sample_circuits import TWO_BATTERIES_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(TWO_BATTERIES_IN_NUMBERS)
TEN = BUILT_IN["ten"]
AGAINST = "I1 runs against its arrow.\n"
RESULTS = f"I1 = -1.0 A\nI2 = 3.0 A\nI3 = 2.0 A\n{AGAINST}"
BY_LOOPS = """\
(1) I1 + I2 = I3
(2) 12 - 6 I1 - 9 I3 = 0
(3) 24 - 2 I2 - 9 I3 = 0
"""
BY_MESHES = """\
Both windows clockwise: x left, y right.
12 - 6 x - 9 (x - y) = 0
-24 - 2 y - 9 (y - x) = 0
x = -1 and y = -3
I1 = x = -1.0 A
I2 = -y = 3.0 A
I3 = x - y = 2.0 A
"""
BY_POTENTIAL = """\
(12 - V)/6 + (24 - V)/2 = V/9
V = 18 V
I1 = (12 - V)/6 = -1.0 A
I2 = (24 - V)/2 = 3.0 A
I3 = V/9 = 2.0 A
"""
# 24 = 2 I2 − 9 I3 for the third: I1 = 2 − 1.5 I3 and I2 = 12 + 4.5 I3 give I3 = 14 + 3 I3
BEYOND = f"{BY_LOOPS.replace('24 - 2 I2 - 9 I3', '24 - 2 I2 + 9 I3')}I3 = -7.0 A\nI1 = 12.5 A\nI2 = -19.5 A\n"


def mark(text: str) -> Mark:
    return propose(read_working(CIRCUIT, text), TEN)


def lost(text: str) -> dict[MarkPart, Fraction]:
    return {
        a.part: a.of - a.points
        for a in mark(text).awards
        if a.points != a.of and a.part is not MarkPart.CHECK
    }


def said(text: str, part: MarkPart) -> str:
    return as_text(next(a.said for a in mark(text).awards if a.part is part))


@pytest.mark.parametrize("text", [BY_LOOPS + RESULTS, BY_POTENTIAL + AGAINST])
def test_a_right_working_loses_nothing_by_either_method(text: str) -> None:
    assert lost(text) == {}


def test_guessed_mesh_arrows_cost_the_arrows_only() -> None:
    assert lost(BY_MESHES + AGAINST) == {MarkPart.ARROWS: 1}


def test_a_drop_with_the_wrong_sign_is_charged_to_the_signs() -> None:
    text = BEYOND
    assert MarkPart.ALGEBRA not in lost(text + AGAINST)
    assert lost(text + AGAINST)[MarkPart.SIGNS] == 1
    assert "a slip in line 3 (drop against the arrow)" in said(text, MarkPart.SIGNS)


def test_results_beyond_all_emfs_should_have_been_rejected() -> None:
    # 12.5 A through 6 Ω would be 75 V, with 36 V of emf in all
    text = BEYOND
    assert lost(text)[MarkPart.RESULT] == 1
    assert "more volts across one element than all emfs together" in said(text, MarkPart.RESULT)


def test_a_turned_battery_is_charged_to_the_signs_and_followed() -> None:
    # −24 for 24: I1 = 29/7, I2 = −39/7, I3 = −10/7
    text = BY_LOOPS.replace("24 -", "-24 -") + f"I1 = 4.14 A\nI2 = -5.57 A\nI3 = -1.43 A\n{AGAINST}"
    assert lost(text) == {MarkPart.SIGNS: 1}
    assert mark(text).follow_on == (4, 5, 6)


def test_a_shared_drop_left_out_takes_the_difficulty_away() -> None:
    # 12 − 6 I1 = 0 gives I1 = 2 at once
    text = BY_LOOPS.replace("12 - 6 I1 - 9 I3", "12 - 6 I1") + "I1 = 2.0 A\nI2 = 0.55 A\nI3 = 2.55 A\n"
    assert set(lost(text)) == {MarkPart.ELEMENTS, MarkPart.ALGEBRA, MarkPart.RESULT}
    assert "took the difficulty of the problem away" in said(text, MarkPart.ALGEBRA)


def test_a_junction_with_a_wrong_sign_is_charged_there() -> None:
    # I1 − I2 = I3: I1 = −5.5, I2 = −10.5, I3 = 5
    text = BY_LOOPS.replace("I1 + I2", "I1 - I2") + "I1 = -5.5 A\nI2 = -10.5 A\nI3 = 5.0 A\n" + AGAINST
    assert lost(text)[MarkPart.JUNCTIONS] == 1
    assert not {MarkPart.SIGNS, MarkPart.ELEMENTS, MarkPart.ENOUGH, MarkPart.ALGEBRA} & lost(text).keys()


def test_loops_alone_are_not_enough() -> None:
    text = "12 - 6 I1 - 9 I3 = 0\n24 - 2 I2 - 9 I3 = 0\n12 - 6 I1 + 2 I2 - 24 = 0\n"
    assert {MarkPart.JUNCTIONS, MarkPart.ENOUGH} <= lost(text).keys()
    assert not {MarkPart.ELEMENTS, MarkPart.SIGNS} & lost(text).keys()


def test_results_alone_earn_what_results_are_worth() -> None:
    assert {a.part for a in mark(RESULTS).awards if a.points} == {
        MarkPart.ARROWS,
        MarkPart.RESULT,
        MarkPart.UNITS,
    }


def test_a_minus_dropped_at_the_end_is_charged_to_the_results() -> None:
    assert set(lost(BY_LOOPS + RESULTS.replace("-1.0", "1.0"))) == {MarkPart.RESULT}


def test_bare_numbers_are_charged_once() -> None:
    assert lost(BY_LOOPS + RESULTS.replace(" A\n", "\n")) == {MarkPart.UNITS: 1}


def test_a_limit_is_a_check() -> None:
    assert (
        said(BY_LOOPS + RESULTS + "as R3 -> oo, I3 -> 0\n", MarkPart.CHECK)
        == "a limit is taken, and is right"
    )


def test_one_rule_misunderstood_in_every_loop_is_one_deduction() -> None:
    text = "I1 + I2 = I3\nE1 + I1 R1 + I3 R3 = 0\nE2 + I2 R2 + I3 R3 = 0\n"
    assert lost(text)[MarkPart.SIGNS] == 1
    assert (
        said(text, MarkPart.SIGNS) == "a slip in line 2 (source signed by an arrow), and the same in line 3"
    )


def test_unlike_slips_in_two_loops_are_two_deductions() -> None:
    text = "I1 + I2 = I3\n-E1 - I1 R1 - I3 R3 = 0\nE2 - I2 R2 + I3 R3 = 0\n"
    assert lost(text)[MarkPart.SIGNS] == 2


def test_one_current_all_the_way_round_takes_the_difficulty_away() -> None:
    # 12/15 and 24/11
    text = "I1 + I2 = I3\n12 - 6 I1 - 9 I1 = 0\n24 - 2 I2 - 9 I2 = 0\nI1 = 0.80 A\nI2 = 2.18 A\nI3 = 2.98 A\n"
    assert lost(text) == {MarkPart.ELEMENTS: Fraction(1, 2), MarkPart.ALGEBRA: 2, MarkPart.RESULT: 1}
    assert "a slip in line 2 (wrong current in a drop), and the same in line 3" in said(
        text, MarkPart.ELEMENTS
    )
