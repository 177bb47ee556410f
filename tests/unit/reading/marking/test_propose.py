"""Proposed marks: one deduction for one slip, follow-on credit where it is due and nowhere else."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.expressions.parse import equation
from loopwright.expressions.said import as_text
from loopwright.reading.marking.mark import Mark
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import Arrows, ClaimKind
from tests.unit.reading.made_readings import (
    CARRIED,
    CIRCUIT,
    DERIVED,
    GOOD,
    JUNCTION,
    LEFT,
    NAMES,
    RESULTS,
    RIGHT,
    WRONG_SIGN,
    Made,
    reading,
    slip,
)

TEN, TWENTY = BUILT_IN["ten"], BUILT_IN["twenty"]


def lost(mark: Mark) -> dict[MarkPart, Fraction]:
    """The points lost, by part, the check apart."""
    return {a.part: a.of - a.points for a in mark.awards if a.points != a.of and a.part is not MarkPart.CHECK}


def said(mark: Mark, part: MarkPart) -> str:
    award = next(award for award in mark.awards if award.part is part)
    return f"{award.score}: {as_text(award.said)}"


def test_a_right_working_earns_all_but_the_check() -> None:
    assert lost(propose(reading(*GOOD), TEN)) == {}
    assert propose(reading(*GOOD), TEN).score == "10 of 10"
    assert propose(reading(*GOOD), TWENTY).score == "19 of 20"


def test_a_check_after_the_results_is_a_bonus_that_never_lifts_the_total_above_the_full_mark() -> None:
    mark = propose(reading(*GOOD, ("Ic = Ib + Ih", ClaimKind.JUNCTION, {})), TEN)
    assert said(mark, MarkPart.CHECK).startswith("1 of 1")
    assert mark.score == "10 of 10"


def test_a_limit_counts_as_a_check() -> None:
    case = (equation("R2 = 0", NAMES),)
    limit: Made = ("Ih = E2/Rh", ClaimKind.TRUE, {"case": case})
    assert "a limit is taken" in said(propose(reading(*GOOD, limit), TWENTY), MarkPart.CHECK)


def test_a_wrong_sign_costs_its_share_once_and_what_follows_from_it_nothing() -> None:
    mark = propose(reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED), TEN)
    assert lost(mark) == {MarkPart.SIGNS: 1}
    assert mark.follow_on == (4, 5, 6)
    assert "a slip in line 3" in said(mark, MarkPart.SIGNS)
    assert "following from the slip" in said(mark, MarkPart.RESULT)


def test_without_follow_on_the_results_are_lost_as_well() -> None:
    strict = replace(TEN, follow_on=False)
    mark = propose(reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED), strict)
    assert lost(mark) == {MarkPart.SIGNS: 1, MarkPart.ALGEBRA: 2, MarkPart.RESULT: 1}
    assert mark.follow_on == ()


def test_the_same_slip_in_two_loops_is_one_deduction() -> None:
    one: Made = ("-E1 - Ic R1 - Ih Rh = 0", ClaimKind.UNTRUE, {"cause": 2, **slip("source-sign", LEFT[0])})
    other: Made = (WRONG_SIGN[0], ClaimKind.UNTRUE, {"cause": 2, **slip("source-sign", RIGHT[0])})
    mark = propose(reading(JUNCTION, one, other), TEN)
    assert lost(mark)[MarkPart.SIGNS] == 1
    assert "a slip in line 2 (source signed by an arrow), and the same in line 3" in said(
        mark, MarkPart.SIGNS
    )


def test_an_element_left_out_costs_the_elements_and_not_the_signs() -> None:
    short: Made = ("E2 - Ih Rh = 0", ClaimKind.UNTRUE, {"cause": 3, **slip("drop-missing", RIGHT[0])})
    found = lost(propose(reading(JUNCTION, LEFT, short), TEN))
    assert found[MarkPart.ELEMENTS] == Fraction(1, 2)
    assert not {MarkPart.SIGNS, MarkPart.JUNCTIONS, MarkPart.ENOUGH} & found.keys()


def test_nothing_follows_on_from_a_slip_that_took_the_difficulty_away() -> None:
    short: Made = ("E2 + Ib R2 = 0", ClaimKind.UNTRUE, {"cause": 3, **slip("drop-missing", RIGHT[0])})
    carried = [(f"{n} = -6.0 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3}) for n in ("Ib", "Ih")]
    mark = propose(reading(JUNCTION, LEFT, short, *carried), TEN)
    assert lost(mark)[MarkPart.RESULT] == 1
    assert "took the difficulty of the problem away" in said(mark, MarkPart.ALGEBRA)
    assert mark.follow_on == ()


def test_nothing_follows_on_from_a_slip_that_leaves_too_few_equations() -> None:
    doubled: Made = (
        "E1 - Ic R1 - Ih Rh = 0",
        ClaimKind.UNTRUE,
        {"cause": 3, **slip("copied-wrong", RIGHT[0])},
    )
    carried: Made = ("Ic = 5.0 A", ClaimKind.UNTRUE, {"carried": True, "cause": 4})
    broken = ("2 E1 - 2 Ic R1 - 2 Ih Rh = 0", *doubled[1:2], {**doubled[2], "cause": 3})
    mark = propose(
        reading(JUNCTION, LEFT, broken, (carried[0], carried[1], {"carried": True, "cause": 3})), TEN
    )
    assert "left too few independent equations" in said(mark, MarkPart.ALGEBRA)
    assert MarkPart.ENOUGH not in lost(mark)


def test_a_result_that_should_have_been_rejected_earns_nothing_by_following() -> None:
    # 41 V of emf in all; 9 A through 5 Ω would be 45 V
    absurd: Made = ("Ih = 9.0 A", ClaimKind.UNTRUE, {"carried": True, "cause": 3})
    mark = propose(reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED[:2], absurd, CARRIED[3]), TEN)
    assert lost(mark)[MarkPart.RESULT] == 1
    assert "more volts across one element than all emfs together" in said(mark, MarkPart.RESULT)
    assert MarkPart.ALGEBRA not in lost(mark)


def test_as_many_volts_as_all_emfs_together_are_possible() -> None:
    """All emfs across one resistance: no more than they give, so that nobody need have rejected it."""
    emfs, most = (CIRCUIT.numbers[name] for name in ("E1", "E2")), CIRCUIT.numbers["Rh"]
    limit: Made = (f"Ih = {float(sum(emfs) / most)} A", ClaimKind.UNTRUE, {"carried": True, "cause": 3})
    mark = propose(reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED[:2], limit, CARRIED[3]), TEN)
    assert MarkPart.RESULT not in lost(mark)


def test_right_numbers_from_wrong_equations_earn_the_result_and_no_points_for_setting_up() -> None:
    lucky: list[Made] = [(text, ClaimKind.TRUE, {}) for text, kind, _ in RESULTS if kind is not None]
    mark = propose(reading(JUNCTION, LEFT, WRONG_SIGN, *lucky, RESULTS[3]), TEN)
    assert lost(mark) == {MarkPart.SIGNS: 1, MarkPart.ALGEBRA: 2}
    assert "right, although the equations are not" in said(mark, MarkPart.RESULT)


def test_results_without_working_earn_the_result_alone() -> None:
    bare: list[Made] = [(text, ClaimKind.TRUE, {}) for text, kind, _ in RESULTS if kind is not None]
    mark = propose(reading(*bare, RESULTS[3]), TEN)
    assert {a.part for a in mark.awards if a.points} == {MarkPart.ARROWS, MarkPart.RESULT, MarkPart.UNITS}


def test_loops_without_a_junction_are_not_enough() -> None:
    outer: Made = ("E1 - Ic R1 - Ib R2 - E2 = 0", ClaimKind.LOOP, {"loops": ()})
    mark = propose(reading(LEFT, RIGHT, outer), TEN)
    assert lost(mark)[MarkPart.JUNCTIONS] == 1
    assert said(mark, MarkPart.ENOUGH).endswith("one independent equation is missing")
    assert MarkPart.SIGNS not in lost(mark)


def test_a_junction_used_without_being_written_counts() -> None:
    left: Made = ("E1 - Ic R1 - (Ic - Ib) Rh = 0", ClaimKind.LOOP, {"loops": ()})
    right: Made = ("E2 + Ib R2 - (Ic - Ib) Rh = 0", ClaimKind.LOOP, {"loops": ()})
    third: Made = ("E1 - Ic R1 - Ih Rh = 0", ClaimKind.LOOP, {"loops": ()})
    mark = propose(reading(left, right, third), TEN)
    assert "used without being written" in said(mark, MarkPart.JUNCTIONS)


def test_half_of_the_loops_earn_half_of_the_points() -> None:
    found = lost(propose(reading(JUNCTION, LEFT), TWENTY))
    assert [found[part] for part in (MarkPart.ELEMENTS, MarkPart.SIGNS, MarkPart.ENOUGH)] == [
        Fraction(3, 2),
        2,
        2,
    ]
    assert MarkPart.JUNCTIONS not in found


@pytest.mark.parametrize(("points", "earned"), [(3, 2), (1, 0)])
def test_half_a_step_is_rounded_up_but_a_loss_is_never_rounded_away(points: int, earned: int) -> None:
    """One loop of two, in whole points: 1½ of 3 is 2; ½ of 1 would be the full mark, so it is nothing."""
    whole = replace(TEN, grain=Fraction(1), points={**TEN.points, MarkPart.SIGNS: Fraction(points)})
    mark = propose(reading(JUNCTION, LEFT), whole)
    assert next(a.points for a in mark.awards if a.part is MarkPart.SIGNS) == earned


def test_a_slip_in_the_elimination_costs_one_point_there() -> None:
    broken: Made = (
        "E1 - E2 = Ic R1 - Ib R2",
        ClaimKind.UNTRUE,
        {"cause": 4, **slip("moved-sign", DERIVED[0])},
    )
    carried = [(text, ClaimKind.UNTRUE, {"carried": True, "cause": 4}) for text, kind, _ in CARRIED if kind]
    mark = propose(reading(JUNCTION, LEFT, RIGHT, broken, *carried, CARRIED[3]), TEN)
    assert lost(mark) == {MarkPart.ALGEBRA: 1}


def test_a_missing_unit_is_charged_once() -> None:
    bare = [(text.removesuffix(" A"), kind, more) for text, kind, more in RESULTS]
    mark = propose(reading(JUNCTION, LEFT, RIGHT, *bare), TEN)
    assert lost(mark) == {MarkPart.UNITS: 1}
    assert "no unit with Ic, Ib and Ih" in said(mark, MarkPart.UNITS)


def test_a_unit_slip_that_makes_a_result_untrue_is_charged_to_units_alone() -> None:
    thousand: Made = ("Ih = 3.0 mA", ClaimKind.UNTRUE, {"cause": 6, **slip("prefix-dropped", "Ih = 3.0 A")})
    assert lost(propose(reading(JUNCTION, LEFT, RIGHT, *RESULTS[:2], thousand, RESULTS[3]), TEN)) == {
        MarkPart.UNITS: 1
    }


def test_a_negative_current_left_unexplained_costs_half() -> None:
    mark = propose(reading(JUNCTION, LEFT, RIGHT, *RESULTS[:3]), TEN)
    assert lost(mark) == {MarkPart.UNITS: Fraction(1, 2)}


def test_guessed_arrows_earn_nothing_until_the_sketch_is_looked_at() -> None:
    arrows = Arrows({n: {n: 1} for n in CIRCUIT.currents}, inferred=("Ic", "Ib"))
    mark = propose(reading(*GOOD, arrows=arrows), TEN)
    assert lost(mark) == {MarkPart.ARROWS: 1}
    assert "the arrows of Ic and Ib had to be guessed" in said(mark, MarkPart.ARROWS)


def test_what_was_not_decided_is_left_to_the_instructor() -> None:
    assert propose(reading(*GOOD, ("Ic = Ib", ClaimKind.UNDECIDED, {})), TEN).unread == (9,)


def test_an_empty_working_earns_nothing() -> None:
    mark = propose(reading(("Dear examiner", None, {})), TEN)
    assert mark.total == 0


@pytest.mark.parametrize("scheme", [TEN, TWENTY])
@pytest.mark.parametrize("made", [GOOD, (JUNCTION, LEFT, WRONG_SIGN, *CARRIED), GOOD[:4], GOOD[2:]])
def test_points_stay_between_nothing_and_the_full_mark_in_steps_of_the_grain(
    scheme: object, made: tuple[Made, ...]
) -> None:
    chosen = TEN if scheme is TEN else TWENTY
    mark = propose(reading(*made), chosen)
    assert all(0 <= a.points <= a.of and (a.points / chosen.grain).denominator == 1 for a in mark.awards)
    assert isinstance(reading(*made), Reading)
