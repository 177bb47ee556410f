"""Stages that follow one another: what is carried over, and on which side of a move a value lies."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from math import exp, log

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.in_time import timed_question
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from loopwright.transients.entries import examine_stages
from loopwright.transients.stages import by_move, stages, value_in_stages
from loopwright.transients.timed_values import TimedValue
from tests.unit.transients.sample_transients import circuit_of

TWICE = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, S2, R2, foot"
I3 = "top, C1, foot"
[switching]
S1 = "open -> closed"
S2 = ["open -> closed at 20 ms", "closed -> open at t = 0.1 s"]
[start]
C1 = "0 V"
[numbers]
E = "12 V"
R1 = "2 kohm"
R2 = "4 kohm"
C1 = "10 uF"
"""
ALONE = """
[branches]
I1 = "foot, +E, S1, R1, top"
I3 = "top, C1, foot"
[switching]
S1 = "open -> closed at t1"
[start]
C1 = "V0"
"""
FIRST = 12 * (1 - exp(-1))  # volts at 20 ms: one time constant of 2 kΩ and 10 µF
SECOND = 8 + (FIRST - 8) * exp(-6)  # at 0.1 s: 80 ms of 40/3 ms each further on


def told(text: str, circuit: Circuit) -> TimedValue:
    found = stages(circuit)
    (question,) = by_move(timed_question(text, circuit), len(found))
    return value_in_stages(found, question)


@pytest.mark.parametrize(
    ("asked", "volts"),
    [
        ("V(C1) at 10 ms", 12 * (1 - exp(-0.5))),
        ("V(C1) at 20 ms", FIRST),
        ("V(C1) at 0.1 s", SECOND),
        ("V(C1) at 0.12 s", 12 + (SECOND - 12) * exp(-1)),
    ],
)
def test_times_count_from_the_first_move(asked: str, volts: float) -> None:
    assert told(asked, circuit_of(TWICE)).number == pytest.approx(volts, rel=1e-12)


def test_a_later_stage_is_exact_in_what_it_begins_with() -> None:
    second = stages(circuit_of(TWICE))[1]
    e, r1, r2, v = (second.circuit.field.symbol(n) for n in ("E", "R1", "R2", "VC1"))
    assert second.currents["I2"].just_after == v / r2
    assert second.across("C1").end == e * r2 / (r1 + r2)
    assert float(second.circuit.numbers["VC1"]) == pytest.approx(FIRST, rel=1e-15)


def test_a_stage_in_which_nothing_changes_hands_its_values_on_as_they_are() -> None:
    first, second = stages(circuit_of(ALONE))
    assert first.across("C1").stays
    assert second.held["C1"] == second.circuit.field.symbol("V0")
    assert second.carried == {}


def test_moments_without_a_move_are_those_of_the_first_and_the_last() -> None:
    circuit = circuit_of(TWICE)
    assert told("I1 just after", circuit).exact == told("I1 just after move 1", circuit).exact
    assert told("I2 long after", circuit).exact == told("I2 long after move 3", circuit).exact
    assert told("I2 long after move 2", circuit).exact != told("I2 long after", circuit).exact


def test_a_value_is_sought_stage_by_stage() -> None:
    circuit = circuit_of(TWICE)
    early = told("t when V(C1) = 6 V", circuit).number
    late = told("t when V(C1) = 10 V", circuit).number
    assert early == pytest.approx(0.02 * log(2), rel=1e-12)
    assert late == pytest.approx(0.1 + 0.02 * log((12 - SECOND) / 2), rel=1e-12)
    assert told("t when V(C1) = 13 V", circuit).number is None


def test_heat_is_that_of_all_stages() -> None:
    found = told("heat(R2)", circuit_of(TWICE)).number
    a, b, tau = 8.0, FIRST - 8, 0.04 / 3  # volts across R2 while S2 is closed: a + b e^(-t/tau), for 80 ms
    area = a * a * 0.08 + 2 * a * b * tau * (1 - exp(-6)) + b * b * tau / 2 * (1 - exp(-12))
    assert found == pytest.approx(area / 4000, rel=1e-9)


def test_every_stage_is_checked_and_what_it_begins_with() -> None:
    found = stages(circuit_of(TWICE))
    ledger = examine_stages(found)
    assert ledger.passed
    assert ledger.entry("time/carried").passed
    assert "after move 2: " in ledger.entry("time/junctions").told[0].__str__()


def test_a_wrong_value_carried_over_is_found() -> None:
    found = stages(circuit_of(TWICE))
    numbers = {**found[1].circuit.numbers, "VC1": Fraction(9)}
    wrong = replace(found[1], circuit=replace(found[1].circuit, numbers=numbers))
    assert not examine_stages((found[0], wrong, found[2])).entry("time/carried").passed


def test_a_time_in_symbols_leaves_the_next_stage_in_symbols() -> None:
    bare = TWICE.partition("[numbers]")[0].replace(
        '["open -> closed at 20 ms", "closed -> open at t = 0.1 s"]', '"open -> closed at t1"'
    )
    circuit = circuit_of(bare)
    assert circuit.switching[-1].at == "t1"
    assert told("I2 just after move 2", circuit).exact is not None
    assert told("I2 at 3 ms", circuit).words == "needs a number for every symbol"


def test_a_file_with_several_moves_is_written_and_read_back() -> None:
    circuit = circuit_of(TWICE)
    again, findings = read_text(written(circuit))
    assert (again, findings) == (circuit, ())


@pytest.mark.parametrize("asked", ["I1 just after move 4", "I1 at 3 ms move 2", "heat(R1) after move 2"])
def test_a_move_that_cannot_be_meant_is_told(asked: str) -> None:
    with pytest.raises(FaultyMaterial) as found:
        timed_question(asked, circuit_of(TWICE))
    assert found.value.findings[0].code == "file/unreadable-target"
