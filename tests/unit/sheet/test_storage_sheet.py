"""The sheet of a circuit with storages says what it must, in every form, and the spoken form is heard
back."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from loopwright.errors import BrokenPromise
from loopwright.problem.problem_file import read
from loopwright.sheet.build import sheet
from loopwright.sheet.storage_sheet import StorageSheet
from loopwright.transients import transient
from tests.unit.transients.sample_transients import LAMP, RELAY, RINGING, SHARING, TWO_STEPS, circuit_of

EXAMPLES = ("harbour-light", "lifting-magnet", "two-reservoirs", "buoy-relay", "night-lamp", "winch-brake")


def markdown(text: str, **changes: str) -> str:
    return sheet(circuit_of(text, **changes)).markdown()


def test_the_table_marks_what_jumps_and_only_that() -> None:
    rows = [line for line in markdown(LAMP).splitlines() if line.startswith("| $")]
    jumps = [row.partition(" | ")[0].strip("| $") for row in rows if r"\*" in row]
    assert jumps == ["I_{1}", "I_{2}", "I_{3}"]
    assert any(row.startswith("| $V(C_{1})$") for row in rows)


def test_the_time_constant_stands_with_the_resistance_seen() -> None:
    text = markdown(LAMP)
    assert r"R_{\mathrm{seen}} = R_{3} + R_{1} \parallel R_{2}" in text
    assert r"\tau  = C_{1} \, R_{\mathrm{seen}}" in text


def test_a_rise_from_nothing_is_written_as_a_product() -> None:
    assert r"\left( 1 - \mathrm{e}^{-t/\tau } \right)" in markdown(LAMP.replace('C1 = "2 V"', 'C1 = "0 V"'))


def test_sharing_without_resistance_is_told_as_a_charge_in_no_time() -> None:
    assert "a charge passes in no time" in markdown(SHARING)


def test_two_rates_are_told_as_the_roots_of_one_quadratic() -> None:
    assert "the two roots of one quadratic" in markdown(RELAY)


def test_a_circuit_that_rings_is_told_with_its_period_and_its_condition() -> None:
    text = markdown(RELAY, C1='"100 uF"')
    assert "rings" in text
    assert "with the period" in text
    assert r"\cos" in text
    assert r"\lt 0" in text


LADDER = """
[branches]
I0 = "g, +E, S1, R0, a"
I1 = "a, C1, g"
I2 = "a, R2, b"
I3 = "b, C2, g"
I4 = "b, R4, C3, g"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
C2 = "0 V"
C3 = "0 V"
"""
LADDER_NUMBERS = """
[numbers]
E = "9 V"
R0 = "1 kohm"
R2 = "2 kohm"
R4 = "3 kohm"
C1 = "1 uF"
C2 = "2 uF"
C3 = "3 uF"
"""


def test_three_storages_that_depend_on_one_another_keep_their_ends_in_symbols() -> None:
    text = markdown(LADDER)
    assert "only the values just after and long after are told" in text
    assert "E/R" in text or r"\frac{\mathcal{E}}{R_{0}}" in text


def test_three_storages_in_numbers_are_told_with_their_error() -> None:
    made = sheet(circuit_of(LADDER + LADDER_NUMBERS))
    assert isinstance(made, StorageSheet)
    assert made.ledger.passed
    assert made.ledger.entry("time/junctions").passed
    assert made.ledger.entry("time/state-space").passed
    assert "The rates are right to" in made.markdown()


TWICE = """
find = ["V(C1)(t)", "I1 at 25 ms", "tau", "V(C1) just after move 2"]
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, S2, R2, foot"
I3 = "top, C1, foot"
[switching]
S1 = "open -> closed"
S2 = "open -> closed at 20 ms"
[start]
C1 = "0 V"
[numbers]
E = "12 V"
R1 = "2 kohm"
R2 = "4 kohm"
C1 = "10 uF"
"""


def test_a_second_move_is_told_with_what_it_begins_with() -> None:
    text = markdown(TWICE)
    assert "times count from move 1" in text
    assert r"V_{\mathrm{C1}} = \mathcal{E} \, \left( 1 - \mathrm{e}^{-t_{1}/\tau } \right)" in text
    assert "| before move 2 | just after |" in text
    assert r"\mathrm{e}^{-(t - t_{1})/\tau '" in text


def test_the_problem_edition_tells_every_move() -> None:
    text = sheet(circuit_of(TWICE), edition="problem").markdown()
    assert "($S_{2}$ closes)" in text
    assert "After move 2" not in text


@pytest.mark.parametrize("name", EXAMPLES)
def test_every_form_of_every_example_is_written(name: str) -> None:
    made = sheet(read(f"examples/{name}.toml"), edition="instructor")
    assert isinstance(made, StorageSheet)
    assert made.ledger.passed
    assert "<math" in made.html()
    assert made.latex().count(r"\begin{document}") == 1
    assert made.pdf().startswith(b"%PDF")
    assert made.spoken()  # every formula was heard back as the same algebra


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_problem_edition_tells_no_time_constant(name: str) -> None:
    text = sheet(read(f"examples/{name}.toml"), edition="problem").markdown()
    assert r"\tau  =" not in text
    assert "just after |" not in text


def test_a_check_that_fails_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(transient, "seen_by", lambda circuit, name: circuit.field.one)
    with pytest.raises(BrokenPromise):
        sheet(circuit_of(LAMP))


CUT = """
find = ["IL(t)", "U(L1) before", "V(L1) just after"]
[branches]
IE = "g, +E, R1, S1, a"
IL = "a, L1, g"
[switching]
S1 = "closed -> open"
[numbers]
E = "12 V"
R1 = "6 ohm"
L1 = "2 H"
"""


def test_a_coil_whose_only_way_out_is_opened_is_worked_with_its_caution() -> None:
    text = markdown(CUT)
    assert "has no way on when the switch moves" in text
    row = next(line for line in text.splitlines() if r"U(L_{1})$ before" in line and line.startswith("|"))
    assert r"4.00\,\mathrm{J}" in row


def test_a_coil_straight_across_an_ideal_battery_grows_and_reaches_every_value() -> None:
    grows = (
        CUT.replace("R1, S1", "S1").replace("closed -> open", "open -> closed").replace('R1 = "6 ohm"', "")
    )
    text = markdown(
        grows.replace('"U(L1) before", "V(L1) just after"', '"t when IL = 3 A", "t when IL = -3 A"')
    )
    assert "grows without limit" in text
    assert r"500\,\mathrm{ms}" in text
    assert "never" in text


def test_a_charge_that_is_kept_does_not_deceive_the_state_space() -> None:
    ring = """
[branches]
I1 = "a, C1, L1, R1, C2, a"
[start]
C1 = "5 V"
C2 = "0 V"
L1 = "0 A"
[numbers]
C1 = "1 F"
C2 = "2 F"
L1 = "3 H"
R1 = "100 ohm"
"""
    made = sheet(circuit_of(ring), edition="instructor")
    assert isinstance(made, StorageSheet)
    assert made.ledger.entry("time/state-space").passed


def test_what_is_left_out_of_account_is_told() -> None:
    made = sheet(replace(circuit_of(LAMP), given=("I1 = 3 mA",)))
    assert [note.code for note in made.notes] == ["time/left-out"]
    assert sheet(circuit_of(LAMP)).notes == ()


@pytest.mark.parametrize("name", EXAMPLES)
def test_a_solution_in_time_takes_two_pages(name: str) -> None:
    pages = re.findall(rb"/Type\s*/Page\b", sheet(read(f"examples/{name}.toml")).pdf())
    assert 1 <= len(pages) <= 2


def test_expectations_are_judged_on_the_sheet() -> None:
    claims = 'expect = ["I3 -> 0 as t -> oo", "I1 long after -> 0 as R2 -> oo", "tau -> 0 as R1 -> 0"]\n'
    made = sheet(circuit_of(claims + LAMP))
    assert [v.judgement for v in made.unmet] == ["refuted"]
    assert "Refuted: " in made.markdown()


def test_capacitances_and_inductances_are_given_as_they_were_written() -> None:
    made = sheet(circuit_of(LAMP), edition="problem").markdown()
    assert r"C_{1} = 10\,\mathrm{{\mu}F}" in made


def test_each_stage_has_both_its_circuits_redrawn_a_solution_those_of_the_last_alone() -> None:
    text = LAMP.replace('"open -> closed"', '["open -> closed", "closed -> open at 30 ms"]')
    alone, whole = (sheet(circuit_of(text), edition=e).markdown() for e in ("solution", "instructor"))
    assert 0 < 2 * alone.count("The circuit as above") == whole.count("The circuit as above")
    assert "Long after, if nothing else moved: " in alone


def test_a_later_stage_has_no_second_resistance_of_the_same_name() -> None:
    made = sheet(read("examples/night-lamp.toml")).markdown()
    assert made.count(r"R_{\mathrm{seen}} = R_{1}") == 1
    assert r"\tau ' = C_{1} \, (R_{1} \parallel R_{2})" in made


def test_storages_of_which_the_same_is_said_are_told_together() -> None:
    made = sheet(circuit_of(TWO_STEPS)).markdown()
    assert "$C_{1}$ and $C_{2}$ stand as wires, for they are empty" in made
    assert "$C_{1}$ and $C_{2}$ are gaps" in made


def test_voltages_that_jump_are_not_said_to_be_kept() -> None:
    assert "keeps its voltage while a switch moves, unless nothing limits what passes" in markdown(SHARING)


def test_a_swing_begins_with_its_size_and_takes_a_common_minus_before_it() -> None:
    made = sheet(circuit_of(RINGING)).markdown()
    assert r"$I(t)$" in made
    assert r"I(t) = (400\,\mathrm{mA}) \, \mathrm{e}" in made
    assert r"14.0\,\mathrm{V} - \mathrm{e}^{-t/(10.0\,\mathrm{ms})} \, \left[ (14.0" in made
