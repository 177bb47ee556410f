"""Marks proposed for workings as people type them, read from text.

The circuit: charger, battery and heater, E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; the currents
(Ic, Ib, Ih) are (2, −1, 3) A. What follows from a slip is worked by hand beside it.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.mark import Mark
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
TEN = BUILT_IN["ten"]
AGAINST = "Ib runs against its arrow.\n"
RESULTS = f"Ic = 2.0 A\nIb = -1.0 A\nIh = 3.0 A\n{AGAINST}"
BY_LOOPS = """\
(1) Ic = Ib + Ih
(2) 23 - 4 Ic - 5 Ih = 0
(3) 18 + 3 Ib - 5 Ih = 0
"""
BY_MESHES = """\
Both windows clockwise: x left, y right.
23 - 4 x - 5 (x - y) = 0
-18 - 3 y - 5 (y - x) = 0
x = 2 and y = -1
Ic = x = 2.0 A
Ib = y = -1.0 A
Ih = x - y = 3.0 A
"""
BY_POTENTIAL = """\
(23 - V)/4 + (18 - V)/3 = V/5
V = 15 V
Ic = (23 - V)/4 = 2.0 A
Ib = (V - 18)/3 = -1.0 A
Ih = V/5 = 3.0 A
"""
# 23 − 4 Ic + 5 Ih = 0 for the second: 4 Ic = 23 + 5 Ih and 3 Ib = 5 Ih − 18 give 69 + 15 Ih = 32 Ih − 72
BEYOND = f"{BY_LOOPS.replace('23 - 4 Ic - 5 Ih', '23 - 4 Ic + 5 Ih')}Ih = 8.29 A\nIc = 16.1 A\nIb = 7.82 A\n"


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


@pytest.mark.parametrize("text", [BY_LOOPS + RESULTS, BY_POTENTIAL + AGAINST, BY_MESHES + AGAINST])
def test_a_right_working_loses_nothing_by_any_method(text: str) -> None:
    assert lost(text) == {}


def test_guessed_arrows_of_the_results_cost_the_arrows_only() -> None:
    renamed = (BY_LOOPS + RESULTS).replace("Ic", "x").replace("Ih", "z").replace("Ib", "y")
    assert lost(renamed + AGAINST.replace("Ib", "y")) == {MarkPart.ARROWS: 1}


def test_a_drop_with_the_wrong_sign_is_charged_to_the_signs() -> None:
    text = BEYOND
    assert MarkPart.ALGEBRA not in lost(text + AGAINST)
    assert lost(text + AGAINST)[MarkPart.SIGNS] == 1
    assert "a slip in line 2 (drop against the arrow)" in said(text, MarkPart.SIGNS)


def test_results_beyond_all_emfs_should_have_been_rejected() -> None:
    # 16.1 A through 4 Ω would be 64 V, with 41 V of emf in all
    text = BEYOND
    assert lost(text)[MarkPart.RESULT] == 1
    assert "more volts across one element than all emfs together" in said(text, MarkPart.RESULT)


def test_a_turned_battery_is_charged_to_the_signs_and_followed() -> None:
    # −18 for 18: Ic = 274/47, Ib = 277/47, Ih = −3/47
    text = BY_LOOPS.replace("18 +", "-18 +") + f"Ic = 5.83 A\nIb = 5.89 A\nIh = -0.0638 A\n{AGAINST}"
    assert lost(text) == {MarkPart.SIGNS: 1}
    assert mark(text).follow_on == (4, 5, 6)


def test_a_shared_drop_left_out_takes_the_difficulty_away() -> None:
    # 23 − 4 Ic = 0 gives Ic = 5.75 at once
    text = BY_LOOPS.replace("23 - 4 Ic - 5 Ih", "23 - 4 Ic") + "Ic = 5.75 A\nIb = 1.34 A\nIh = 4.41 A\n"
    assert set(lost(text)) == {MarkPart.ELEMENTS, MarkPart.ALGEBRA, MarkPart.RESULT}
    assert "took the difficulty of the problem away" in said(text, MarkPart.ALGEBRA)


def test_a_junction_with_a_wrong_sign_is_charged_there() -> None:
    # Ic = Ib − Ih: Ic = −44/23, Ib = 97/23, Ih = 141/23
    text = BY_LOOPS.replace("Ib + Ih", "Ib - Ih") + "Ic = -1.91 A\nIb = 4.22 A\nIh = 6.13 A\n" + AGAINST
    assert lost(text)[MarkPart.JUNCTIONS] == 1
    assert not {MarkPart.SIGNS, MarkPart.ELEMENTS, MarkPart.ENOUGH, MarkPart.ALGEBRA} & lost(text).keys()


def test_loops_alone_are_not_enough() -> None:
    text = "23 - 4 Ic - 5 Ih = 0\n18 + 3 Ib - 5 Ih = 0\n23 - 4 Ic - 3 Ib - 18 = 0\n"
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


def test_a_line_too_long_to_be_worked_out_costs_that_line_only() -> None:
    long = f"{'Ib ' * 30}= (Ih Rh - E2)/R2\n"
    assert lost(BY_LOOPS + long + RESULTS) == {}
    assert not read_working(CIRCUIT, BY_LOOPS + long + RESULTS).amid


def test_a_limit_is_a_check() -> None:
    assert (
        said(BY_LOOPS + RESULTS + "as Rh -> oo, Ib -> Ic\n", MarkPart.CHECK)
        == "a limit is taken, and is right"
    )


def test_a_check_that_says_so_counts_although_not_all_that_is_asked_is_stated() -> None:
    text = BY_LOOPS + "Ih = 3.0 A\nIc = 2.0 A\nCheck: 23 - 4*2 - 5*3 = 0\n"
    assert said(text, MarkPart.CHECK) == "something true is checked after the results"
    assert said(text.replace("Check: ", ""), MarkPart.CHECK) == "none is written"


def test_a_promise_to_check_is_no_check() -> None:
    assert said("We check each result.\n" + BY_LOOPS + "Ih = 3.0 A\n", MarkPart.CHECK) == "none is written"
    assert said(BY_LOOPS + "Ih = 3.0 A\nI checked this.\n", MarkPart.CHECK) == "none is written"


def test_what_a_negative_current_means_may_be_said_of_the_battery() -> None:
    for words in ("So the battery delivers 1 A.", "The battery helps.", "The battery discharges."):
        assert not lost(BY_LOOPS + RESULTS.replace(AGAINST, words + "\n"))
    assert lost(BY_LOOPS + RESULTS.replace(AGAINST, "")) == {MarkPart.UNITS: Fraction(1, 2)}


def test_one_rule_misunderstood_in_every_loop_is_one_deduction() -> None:
    text = "Ic = Ib + Ih\nE1 + Ic R1 + Ih Rh = 0\nE2 - Ib R2 + Ih Rh = 0\n"
    assert lost(text)[MarkPart.SIGNS] == 1
    assert (
        said(text, MarkPart.SIGNS) == "a slip in line 2 (source signed by an arrow), and the same in line 3"
    )


def test_unlike_slips_in_two_loops_are_two_deductions() -> None:
    text = "Ic = Ib + Ih\n-E1 - Ic R1 - Ih Rh = 0\nE2 + Ib R2 + Ih Rh = 0\n"
    assert lost(text)[MarkPart.SIGNS] == 2


def test_one_current_all_the_way_round_takes_the_difficulty_away() -> None:
    # 23/9 and −18/8
    loops = "Ic = Ib + Ih\n23 - 4 Ic - 5 Ic = 0\n18 + 3 Ib + 5 Ib = 0\n"
    text = f"{loops}Ic = 2.56 A\nIb = -2.25 A\nIh = 4.81 A\n{AGAINST}"
    assert lost(text) == {MarkPart.ELEMENTS: Fraction(1, 2), MarkPart.ALGEBRA: 2, MarkPart.RESULT: 1}
    assert "a slip in line 2 (wrong current in a drop), and the same in line 3" in said(
        text, MarkPart.ELEMENTS
    )


def test_a_result_said_again_without_its_unit_in_a_check_loses_nothing() -> None:
    check = "Check at the bus: Ic = 2.0, Ib + Ih = -1.0 + 3.0 = 2.0\n"
    assert lost(f"{BY_LOOPS}Ic = 2.0 A\nIb = -1.0 A\nIh = 3.0 A\n{check}{AGAINST}") == {}


@pytest.mark.parametrize(("result", "loses"), [("6/(4 + 8) = 0.5 A", False), ("6/(4 + 9) = 0.5 A", True)])
def test_an_exact_result_has_figures_enough(result: str, loses: bool) -> None:
    values = '[numbers]\nE = "6 V"\nR1 = "4 ohm"\nR2 = "%s ohm"' % ("9" if loses else "8")
    circuit = circuit_of(f'[branches]\nI = "a, +E, R1, R2, a"\n{values}')
    awards = propose(read_working(circuit, f"I = {result}"), TEN).awards
    short = [a.part for a in awards if a.points < a.of and a.part is MarkPart.UNITS]
    assert bool(short) is loses


def test_a_slip_on_the_way_to_results_that_follow_from_it_costs_something() -> None:
    followed = "V = 16 V\nIc = (23 - V)/4 = 1.75 A\nIb = (V - 18)/3 = -0.667 A\nIh = V/5 = 3.2 A\n"
    assert lost(BY_POTENTIAL.partition("\n")[0] + "\n" + followed + AGAINST) == {MarkPart.ALGEBRA: 1}


def test_an_exact_answer_loses_nothing_for_figures_although_rounded_parts_are_added_up() -> None:
    """The parts of I2 are -1.1707 and 0.6707 mA, their sum is -0.5 mA exactly."""
    circuit = circuit_of(
        """
        [branches]
        I1 = "P, -E1, R1, N"
        I2 = "N, R2, +E2, P"
        I3 = "P, R3, N"
        [numbers]
        E1 = "18 V"
        E2 = "7.5 V"
        R1 = "3 kohm"
        R2 = "9 kohm"
        R3 = "8 kohm"
        """
    )
    text = (
        "E1 alone: I2' = -18*8/(27 + 24 + 72) = -1.17 mA\nE2 alone: I2'' = 7.5/(9 + 24/11) = 0.671 mA\n"
        "I2 = I2' + I2'' = -1.17 + 0.671 = -0.5 mA\nI1 = -2 mA, I3 = 1.5 mA\nI1, I2 run against their arrows."
    )
    reading = read_working(circuit, text)
    assert reading.right
    units = next(a for a in propose(reading, TEN).awards if a.part is MarkPart.UNITS)
    assert units.points == units.of
