"""What a reading finds in workings typed as people type them. Mostly charger, battery and heater."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.truth.rounding import Policy
from loopwright.reading.verdicts import ClaimKind, How, Truth
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, LADDER, REAL_BRIDGE, circuit_of

SYMBOLS, NUMBERS = CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS
LAWS = "Ic = Ib + Ih\n23 - 4 Ic - 5 Ih = 0\n18 + 3 Ib - 5 Ih = 0\n"
IN_KILOHMS = (
    CHARGE_OR_HELP + '[numbers]\nE1 = "9 V"\nE2 = "4.5 V"\nR1 = "470 ohm"\nR2 = "1.2 kohm"\nRh = "2.2 kohm"\n'
)


def read(source: str, text: str, *, unsaid: bool = False, policy: Policy | None = None) -> Reading:
    return read_working(circuit_of(source), text, arrows_unsaid=unsaid, policy=policy)


def kinds(reading: Reading) -> list[ClaimKind]:
    return [v.kind for v in reading.verdicts]


def last(source: str, text: str, **options: bool) -> tuple[ClaimKind, str]:
    verdict = read(source, text, **options).verdicts[-1]  # type: ignore[arg-type]
    return verdict.kind, as_text(verdict.said)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("Ic - Ib - Ih = 0", "Junction equation at bus."),
        ("E1 = Ic R1 + Ih Rh", "Loop equation round rail, E1, R1, bus, Rh."),
        ("E2 - E1 = -Ib R2 - Ic R1", "Loop equation round rail, E1, R1, bus, R2, E2."),
        ("2 E1 - 2 Ic R1 - 2 Ih Rh = 0", "Loop equation round rail, E1, R1, bus, Rh."),
        ("R2 Ic = R2 Ib + R2 Ih", "Junction equation at bus."),
    ],
)
def test_a_law_is_known_however_it_is_written(line: str, words: str) -> None:
    assert last(SYMBOLS, line)[1] == words


def test_the_sum_of_two_loops_is_a_sum_of_loops() -> None:
    verdict = read(SYMBOLS, "E1 + E2 - Ic R1 + Ib R2 - 2 Ih Rh = 0").verdicts[0]
    assert (verdict.kind, len(verdict.loops)) == (ClaimKind.LOOP, 2)


def test_a_loop_equation_with_a_junction_equation_put_in_is_one() -> None:
    kind, words = last(SYMBOLS, "E1 - Ic R1 - (Ic - Ib) Rh = 0")
    assert (kind, words) == (
        ClaimKind.LOOP,
        "Loop equation round rail, E1, R1, bus, Rh, a junction equation put in.",
    )


def test_after_a_slip_of_arithmetic_at_the_end_of_a_chain_its_end_is_gone_on_with() -> None:
    found = read(NUMBERS, LAWS + "Ib = -1 A\nIh = 15/5 = 4 A\nIc = Ih + Ib = 4 - 1 = 3 A\n")
    slip, *after = [v for v in found.verdicts if v.kind is ClaimKind.UNTRUE]
    assert (slip.line, as_text((slip.repairs[0].mended,))) == (5, "15/5 = 3 A")
    assert after
    assert all(v.carried and v.cause == 5 for v in after)


def test_a_result_is_no_law_though_a_combination_of_laws() -> None:
    assert last(SYMBOLS, "Ih = (E1 R2 + E2 R1)/(R1 R2 + R1 Rh + R2 Rh)")[0] is ClaimKind.TRUE


@pytest.mark.parametrize(
    ("line", "way", "used"),
    [
        ("Ih = Ic - Ib", How.SAME, (4,)),
        ("23 - 4 Ic = 5 Ih", How.MULTIPLE, (2,)),
        ("41 - 4 Ic + 3 Ib = 10 Ih", How.SUM, (2, 3)),
        ("23 - 9 Ic + 5 Ib = 0", How.SUBSTITUTION, (2, 4)),
    ],
)
def test_what_follows_is_told_with_its_lines(line: str, way: How, used: tuple[int, ...]) -> None:
    verdict = read(NUMBERS, LAWS + "Ih = Ic - Ib\n" + line).verdicts[-1]
    if way is How.SUM:  # a sum of loops is a law first; what it rests on is told all the same
        assert verdict.kind is ClaimKind.LOOP
    else:
        assert verdict.kind is ClaimKind.FOLLOWS
    assert (verdict.how, verdict.used) == (way, used)


def test_results_follow_to_the_end() -> None:
    reading = read(NUMBERS, LAWS + "Ic = 2 A\nIb = -1 A\nIh = 3 A\nV(bus, rail) = 15 V\nP(Rh) = 45 W")
    assert kinds(reading)[3:] == [ClaimKind.FOLLOWS] * 5
    assert reading.right
    assert reading.enough.enough


def test_a_wrong_sign_is_found_on_its_line_and_carried_after() -> None:
    reading = read(
        NUMBERS, "Ic = Ib + Ih\n23 - 4 Ic - 5 Ih = 0\n18 - 3 Ib - 5 Ih = 0\nIc = 6.29\nIb = 6.71\nIh = -0.429"
    )
    assert kinds(reading)[:3] == [ClaimKind.JUNCTION, ClaimKind.LOOP, ClaimKind.UNTRUE]
    assert [v.carried for v in reading.verdicts] == [False, False, False, True, True, True]
    assert {v.cause for v in reading.verdicts[1:] if v.kind is ClaimKind.UNTRUE} == {3}


def test_a_second_slip_after_the_first_is_not_carried() -> None:
    reading = read(NUMBERS, "Ic = Ib + Ih\n23 - 4 Ic - 5 Ih = 0\n18 - 3 Ib - 5 Ih = 0\nIb = 6.71\nIc = -6.29")
    assert not reading.verdicts[-1].carried


def test_numbers_show_what_is_not_true() -> None:
    counter = read(NUMBERS, "23 - 4 Ic + 5 Ih = 0").verdicts[0].counter
    assert counter is not None
    assert (counter.left, counter.right) == (Fraction(30), Fraction(0))
    assert counter.values == {"Ic": Fraction(2), "Ih": Fraction(3)}


def test_symbols_are_shown_to_be_wrong_by_numbers_of_the_readers_own() -> None:
    counter = read(SYMBOLS, "Ic = E1/(R1 + Rh)").verdicts[0].counter
    assert counter is not None
    assert counter.left != counter.right


@pytest.mark.parametrize("line", ["Ih = 3 V", "Ib = -1 kA", "V(bus, rail) = 15 A", "R1 = 4 V"])
def test_a_wrong_unit_makes_a_line_untrue(line: str) -> None:
    assert last(NUMBERS, line)[0] is ClaimKind.UNTRUE


def test_values_of_the_problem_are_given() -> None:
    assert kinds(read(NUMBERS, "R1 = 4 ohm\nE2 = 18 V")) == [ClaimKind.GIVEN, ClaimKind.GIVEN]


def test_a_new_name_is_nobodys_to_deny_and_then_stands_for_its_meaning() -> None:
    reading = read(SYMBOLS, "Q = R1 R2/(R1 + R2)\nIh = (E1/R1 + E2/R2) Q/(Rh + Q)")
    assert kinds(reading) == [ClaimKind.NAMED, ClaimKind.TRUE]


def test_what_stands_for_nothing_is_not_decided() -> None:
    assert last(SYMBOLS, "E1 = R9 Ic")[0] is ClaimKind.UNDECIDED


def test_without_numbers_in_the_problem_a_value_cannot_be_decided() -> None:
    kind, words = last(SYMBOLS, "Ic = 5 A")
    assert kind is ClaimKind.UNDECIDED
    assert words.startswith("No number is given for")


def test_a_pure_factor_is_no_value_that_would_have_to_be_given() -> None:
    assert last(SYMBOLS, "Ih = 0.5 Ic")[0] is ClaimKind.UNTRUE


# -- rounding ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("line", ["Ic = 4.88 mA", "Ic = 4.884 mA", "Ic = 0.0049 A", "Ic = 4.88×10^-3 A"])
def test_a_rounded_result_is_right_within_its_last_figure(line: str) -> None:
    verdict = read(IN_KILOHMS, line).verdicts[0]
    assert (verdict.kind, verdict.truth) == (ClaimKind.TRUE, Truth.ROUNDED)


@pytest.mark.parametrize("line", ["Ic = 4.89 mA", "Ic = 5 mA", "Ic = 4.88 A", "Ic = -4.88 mA"])
def test_a_result_beyond_its_last_figure_is_wrong(line: str) -> None:
    assert last(IN_KILOHMS, line)[0] is ClaimKind.UNTRUE


def test_a_policy_may_allow_more() -> None:
    reading = read(IN_KILOHMS, "Ic = 4.89 mA", policy=Policy(tolerance=Fraction(1, 100)))
    assert reading.verdicts[0].truth is Truth.ROUNDED


def test_rounding_carried_through_is_told_from_a_slip() -> None:
    text = "Ic = Ib + Ih\nIc = 4.9 mA\nIb = 1.8 mA\nIh = 3.1 mA"
    verdicts = read(IN_KILOHMS, text).verdicts
    assert [v.truth for v in verdicts[1:]] == [Truth.ROUNDED, Truth.ROUNDED, Truth.CARRIED]


def test_bare_numbers_in_milliamperes_and_kilohms_are_read_so() -> None:
    reading = read(IN_KILOHMS, "Ic = Ib + Ih\n9 - 0.47 Ic - 2.2 Ih = 0\nIc = 4.88")
    assert kinds(reading) == [ClaimKind.JUNCTION, ClaimKind.LOOP, ClaimKind.TRUE]


# -- arrows ------------------------------------------------------------------------------------------


def test_a_declared_arrow_turns_the_equations() -> None:
    text = "let Ic flow from bus to rail through R1\nIc + Ib + Ih = 0\nE1 + Ic R1 - Ih Rh = 0"
    assert kinds(read(SYMBOLS, text)) == [ClaimKind.JUNCTION, ClaimKind.LOOP]


def test_names_of_the_writers_own_are_matched_with_the_currents_that_fit() -> None:
    reading = read(SYMBOLS, "x = y + z\nE1 - x R1 - z Rh = 0\nE2 + y R2 - z Rh = 0")
    assert kinds(reading) == [ClaimKind.JUNCTION, ClaimKind.LOOP, ClaimKind.LOOP]
    assert reading.arrows.names["z"] == {"Ih": 1}


def test_mesh_currents_are_understood() -> None:
    text = "E1 - R1 x - R2 (x - y) = 0\nR2 (y - x) + R3 y + R4 (y - z) = 0\nR4 (z - y) + R5 z + E2 = 0"
    reading = read(LADDER, text)
    assert kinds(reading) == [ClaimKind.LOOP] * 3
    assert reading.enough.enough


def test_arrows_left_unsaid_are_inferred() -> None:
    reading = read(SYMBOLS, "Ic + Ib + Ih = 0\nE1 + Ic R1 - Ih Rh = 0\nE2 + Ib R2 - Ih Rh = 0", unsaid=True)
    assert reading.right
    assert reading.arrows.names["Ic"] == {"Ic": -1}


def test_it_is_said_when_another_arrow_would_make_every_line_true() -> None:
    reading = read(SYMBOLS, "Ic + Ib + Ih = 0\nE1 + Ic R1 - Ih Rh = 0\nE2 + Ib R2 - Ih Rh = 0")
    assert kinds(reading) == [ClaimKind.UNTRUE, ClaimKind.UNTRUE, ClaimKind.LOOP]
    assert (
        as_text(reading.arrows.said) == "Every line holds if Ic runs the other way: look at the arrows drawn."
    )


# -- what is enough ----------------------------------------------------------------------------------


def test_three_loops_and_no_junction_are_not_enough() -> None:
    """`loops-only`: the outer loop is the difference of the other two."""
    reading = read(SYMBOLS, "E1 = Ic R1 + Ih Rh\nE2 = Ih Rh - Ib R2\nE1 - E2 = Ic R1 + Ib R2")
    assert not reading.enough.enough
    assert reading.enough.redundant == {3: (1, 2)}
    assert len(reading.enough.missing) == 1


def test_two_loops_cover_a_bridge_and_are_not_enough() -> None:
    """`cover-rule`: all six branches are covered, a loop and the junctions are missing."""
    text = "E = I r + I2 R2 + I4 R4\nI1 R1 + I5 R5 = I2 R2\nI1 + I2 = I\nI1 = I3 + I5\nI2 + I5 = I4"
    reading = read(REAL_BRIDGE, text)
    assert all(v.holds for v in reading.verdicts)
    assert (reading.enough.enough, len(reading.enough.missing)) == (False, 1)


# -- what a line says that it rests on ---------------------------------------------------------------


def test_a_stated_combination_is_confirmed_or_denied() -> None:
    text = "(1) 23 - 4 Ic - 5 Ih = 0\n(2) 18 + 3 Ib - 5 Ih = 0\n(2) - (1): -5 + 3 Ib {} 4 Ic = 0"
    right, wrong = (read(NUMBERS, text.format(sign)).verdicts[-1] for sign in "+-")
    assert "It is (2) − (1), as it says." in as_text(right.said)
    assert (wrong.kind, as_text(wrong.said)) == (ClaimKind.UNTRUE, "Not true. It is not (2) − (1).")


@pytest.mark.parametrize(
    ("line", "kind"),
    [
        ("as Rh -> oo, Ib -> Ic", ClaimKind.TRUE),
        ("as R2 -> 0, Ih -> E2/Rh", ClaimKind.TRUE),
        ("as Rh -> oo, Ib -> 0", ClaimKind.UNTRUE),
    ],
)
def test_limits_are_judged_as_on_the_sheet(line: str, kind: ClaimKind) -> None:
    assert last(SYMBOLS, line)[0] is kind


# -- lines that nobody writes ------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "(E1 + E2 + R1 + R2 + Rh + Ic + Ib + Ih)^20 = 0",
        "(Ic + Ib)^20 (Ic + Ih)^20 (Ib + Ih)^20 (R1 + R2)^20 = E1",
        "Ic = " + "*".join(["(E1 + R1 + R2 + Rh + Ib)"] * 300),
        "1/(" * 40 + "Ic + R1" + ")" * 40 + " = Ib",
        "Ic = " + " + ".join(f"E1/(R1 + {n} R2)" for n in range(200)),
    ],
)
def test_no_line_hangs_a_reading(line: str) -> None:
    assert kinds(read(SYMBOLS, line))[0] in (ClaimKind.UNDECIDED, ClaimKind.UNTRUE)


# -- the slip behind a false line --------------------------------------------------------------------


def first_repair(source: str, text: str) -> tuple[str, str]:
    verdict = read(source, text).first_untrue
    assert verdict is not None
    repair = verdict.repairs[0]
    return repair.entry, as_text((repair.mended,))


@pytest.mark.parametrize(
    ("line", "entry", "mended"),
    [
        ("23 - 4 Ic + 5 Ih = 0", "drop-sign", "23 − 4 Ic − 5 Ih = 0"),
        ("-18 + 3 Ib - 5 Ih = 0", "source-sign", "18 + 3 Ib − 5 Ih = 0"),
        ("Ic = Ib - Ih", "junction-sign", "Ic = Ib + Ih"),
    ],
)
def test_the_likeliest_slip_is_named_and_mended(line: str, entry: str, mended: str) -> None:
    assert first_repair(NUMBERS, line) == (entry, mended)


def test_a_missing_term_of_a_denominator_is_found() -> None:
    line = "Ih = (E1 R2 + E2 R1)/(R1 R2 + R1 Rh)"
    assert first_repair(SYMBOLS, line)[0] == "denominator-term"


def test_one_rule_misapplied_twice_is_one_cause() -> None:
    reading = read(SYMBOLS, "E1 - Ic R1 + Ih Rh = 0\nE2 + Ib R2 + Ih Rh = 0")
    assert [v.cause for v in reading.verdicts] == [1, 1]


def test_two_slips_are_two_causes() -> None:
    reading = read(SYMBOLS, "E1 - Ic R1 + Ih Rh = 0\n-E2 + Ib R2 - Ih Rh = 0")
    assert [v.cause for v in reading.verdicts] == [1, 2]


def test_a_label_before_what_a_line_rests_on_is_the_lines_own() -> None:
    text = "(1) 23 - 4 Ic - 5 Ih = 0\n(2) from (1) 46 - 8 Ic - 10 Ih = 0\n(3) 2 (1) - (2): 0 = 0"
    working = read(NUMBERS, text).working
    assert [line.label for line in working.lines] == ["1", "2", "3"]


def test_a_second_slip_is_mended_to_what_the_first_one_gives() -> None:
    text = "Ic = Ib + Ih\n23 - 4 Ic - 5 Ih = 0\n18 - 3 Ib - 5 Ih = 0\nIb = 6.71\nIc = -6.29"
    repair = read(NUMBERS, text).verdicts[-1].repairs[0]
    assert as_text((repair.mended,)) == "Ic = 6.29"


def test_a_label_next_in_turn_is_no_reference_and_no_factor() -> None:
    text = "[1] Ic = Ib + Ih\n[2] and so Ih = Ic - Ib\n[3] -5 Ih - 4 Ic + 23 = 0"
    working = read(NUMBERS, text).working
    assert [line.label for line in working.lines] == ["1", "2", "3"]


def test_a_line_that_can_be_read_in_two_ways_is_read_as_the_true_one() -> None:
    one_loop = '[branches]\nI = "a, +E, R1, R2, a"\n[elements]\nR1 = "R"\nR2 = "R"\n'
    verdict = read(one_loop, "I = E/2R").verdicts[0]
    assert verdict.holds
    assert "Read as I = E/(2 R)." in as_text(verdict.said)
    assert read(one_loop, "I = E/3R").verdicts[0].kind is ClaimKind.UNTRUE


def test_an_equation_in_potentials_fixes_the_currents() -> None:
    reading = read(NUMBERS, "(23 - V)/4 + (18 - V)/3 = V/5\nV = 15 V\nIh = 3 A")
    assert all(v.holds for v in reading.verdicts)
    assert reading.enough.enough
    assert (
        as_text(reading.verdicts[0].said)
        == "Junction equation at bus, by the potentials along Ic, Ib and Ih."
    )
    assert as_text(reading.enough.said[0]) == "One true junction equation: enough to fix the currents."


def test_an_expression_put_into_numbers_is_called_that() -> None:
    assert last(NUMBERS, "E2/(R1 + R2 + Rh) = 1.50 A") == (
        ClaimKind.FOLLOWS,
        "The numbers of the problem put in.",
    )
    assert last(NUMBERS, "18/(4 + 3 + 5) = 1.50") == (ClaimKind.FOLLOWS, "The arithmetic is right.")


FOUR_BRANCHES = """
[branches]
I1 = "foot, R1, top"
I2 = "foot, R2, top"
I3 = "foot, R3, top"
I4 = "top, -E1, R4, foot"
[numbers]
E1 = "9 V"
R1 = "8 ohm"
R2 = "4 ohm"
R3 = "4 ohm"
R4 = "5 ohm"
"""


def test_a_sign_and_a_term_wanting_in_one_bracket_are_tried_together() -> None:
    lines = "I2 = (4 I3)/4\n-2I_2R1 = -2R3I3\n(4/3)*(-I1 - I3 + I4) = (4/3)*I1\n"
    verdicts = read_working(circuit_of(FOUR_BRANCHES), lines).verdicts
    assert [v.kind is ClaimKind.UNTRUE for v in verdicts] == [False, True, True]


def test_units_that_have_no_name_are_told_in_volts_and_amperes() -> None:
    (verdict,) = read_working(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), "Ic^2 = 4 V").verdicts
    assert as_text(verdict.said) == "The units do not fit: A² and volts meet."
