"""Workings with two capacitors, with two stages, and with what is stored named by one letter twice."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.problem.problem_file import read_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.unit.transients.sample_transients import TWO_STEPS

ROW = """
[branches]
I1 = "foot, +E, S1, C1, R1, C2, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
C2 = "0 V"
[numbers]
E = "9 V"
R1 = "1 kohm"
C1 = "3 uF"
C2 = "6 uF"
"""
STAGES = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, S2, R2, foot"
I3 = "top, C1, foot"
[switching]
S1 = "open -> closed"
S2 = "open -> closed at 10 ms"
[start]
C1 = "0 V"
[numbers]
E = "12 V"
R1 = "1 kohm"
R2 = "1 kohm"
C1 = "10 uF"
"""
REAL = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, C1, foot"
[elements]
E = { value = "E", internal = "r" }
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
[numbers]
E = "6 V"
R1 = "5 ohm"
r = "1 ohm"
C1 = "100 uF"
"""
BRANCHED = """
[branches]
I1 = "foot, +E, S1, top"
I2 = "top, R1, foot"
I3 = "top, R2, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "2 V"
[numbers]
E = "12 V"
R1 = "3 kohm"
R2 = "2 kohm"
C1 = "1 uF"
"""
FIRST = "S1 closes: V_C(t) = 12 V (1 - e^(-t/(10 ms)))\nV_C(10 ms) = 7.585 V\nS2 closes: "


def verdicts(problem: str, working: str) -> list[str]:
    """What each claim that is not true is named, `right` for the rest."""
    circuit, findings = read_text(problem)
    assert circuit is not None, findings
    found = read_working(circuit, working).verdicts
    return [
        "right"
        if v.holds
        else "undecided"
        if v.kind is ClaimKind.UNDECIDED
        else v.repairs[0].entry
        if v.repairs
        else "untrue"
        for v in found
    ]


# By hand: tau1 + tau2 = R1 C1 + R2 C2 + R1 C2 = 4 ms, tau1 tau2 = R1 C1 R2 C2 = 2 ms²; (2 ± sqrt 2) ms.
@pytest.mark.parametrize("told", ["tau1 = 3.414 ms\ntau2 = 0.5858 ms", "tau1 = 0.5858 ms\ntau2 = 3.414 ms"])
def test_numbers_count_the_time_constants_of_a_circuit_in_any_order(told: str) -> None:
    assert verdicts(TWO_STEPS, told) == ["right", "right"]


def test_a_time_constant_is_counted_once() -> None:
    assert verdicts(TWO_STEPS, "tau1 = 3.414 ms\ntau2 = 3.414 ms")[0] == "right"
    assert verdicts(TWO_STEPS, "tau1 = 3.414 ms\ntau2 = 3.414 ms")[1] != "right"


def test_storages_that_feel_one_another_have_no_time_constant_each() -> None:
    assert verdicts(TWO_STEPS, "tau1 = R1 C1 = 1.000 ms")[0] == "storages-apart"
    assert verdicts(TWO_STEPS, "tau2 = R2 C2")[0] == "storages-apart"


# By hand: 3 and 6 µF in a row are 2 µF.
def test_capacitors_in_a_row_have_one_time_constant() -> None:
    assert verdicts(ROW, "tau = R1 C1 C2/(C1 + C2) = 2.00 ms\nI1(t) = 9.00 mA e^(-t/tau)") == ["right"] * 3
    added = verdicts(ROW, "tau = R1 (C1 + C2) = 9.00 ms\nI1(t) = 9.00 mA e^(-t/(9.00 ms))")
    assert added == ["capacitors-combined", "right", "untrue"]


def test_what_stands_between_two_capacitors_is_not_cut_off() -> None:
    assert verdicts(ROW, "I1(0+) = 0 A")[0] == "between-capacitors"


# By hand: with S2 closed the end is 6 V and tau' = 5 ms; V(10 ms) = 12 (1 − 1/e) = 7.585 V.
def test_the_second_stage_keeps_the_clock_that_was_used_in_it() -> None:
    course = "V_C(t) = 6.00 V + 1.585 V e^(-(t - 10 ms)/(5.00 ms))\n"
    assert verdicts(STAGES, FIRST + course + "V_C(15 ms) = 6.583 V") == ["right"] * 4
    assert verdicts(STAGES, FIRST + course + "V_C(15 ms) = 6.079 V")[-1] == "second-stage"
    assert verdicts(STAGES, FIRST + course + "5 ms later V_C(5 ms) = 6.583 V") == ["right"] * 4


def test_a_numbered_time_constant_is_of_the_stage_with_that_number() -> None:
    assert verdicts(STAGES, FIRST + "tau2 = R1 R2/(R1 + R2) C1 = 5.00 ms")[-2:] == ["right", "right"]
    assert verdicts(STAGES, FIRST + "tau2 = R1 C1")[-1] == "nearest-resistance"


def test_one_letter_for_voltage_and_energy_is_kept_apart_at_each_time() -> None:
    assert verdicts(REAL, "U_C1(0.6 ms) = 3.793 V\nU_C1(1.2 ms) = 5.188 V") == ["right", "right"]


def test_the_resistance_inside_is_missed_at_the_start_too() -> None:
    assert verdicts(REAL, "I1(0+) = E/R1 = 1.20 A")[0] == "inside-forgotten"


def test_a_charge_in_farads_is_told_in_a_chain_too() -> None:
    assert verdicts(REAL, "Q(C1)(oo) = C1 E = 600 µF")[-1] == "unit-missing"


def test_what_is_there_after_five_time_constants_is_not_the_end_yet() -> None:
    assert verdicts(REAL, "V_C(5 tau) = 6.000 V") == ["settled-at-five"]


def test_a_resistance_set_equal_to_a_voltage_is_told_by_its_units() -> None:
    circuit, _ = read_text(REAL)
    assert circuit is not None
    (verdict,) = read_working(circuit, "R seen by C1 = V").verdicts
    assert as_text(verdict.said) == "The units do not fit: ohms and volts meet."


def test_a_sum_of_currents_with_a_wrong_one_in_it_follows_from_that() -> None:
    """By hand: I3 = (12 V - 2 V)/(2 kohm) is 5 mA; 6 mA and the 4 mA of R1 make 10 mA."""
    circuit, _ = read_text(BRANCHED)
    assert circuit is not None
    found = read_working(circuit, "I3(0+) = 6.00 mA\nI2(0+) = 4.00 mA\nI1(0+) = 10.0 mA").verdicts
    assert [(v.holds, v.carried) for v in found] == [(False, False), (True, False), (False, True)]
