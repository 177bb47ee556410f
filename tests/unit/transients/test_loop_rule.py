"""From the loop rule to the function of time: the lines, and that none is given which does not hold."""

from __future__ import annotations

import pytest

from loopwright.errors import BrokenPromise
from loopwright.expressions.writers import plain
from loopwright.transients.loop_rule import loop_rule_lines
from loopwright.transients.transient import Transient
from tests.unit.transients.sample_transients import LAMP, MAGNET, RELAY, stage_of
from tests.unit.transients.test_entries import FAULTS, faulty_stage


def written(stage: Transient) -> list[str]:
    return [" = ".join(map(plain.render, line.sides)) for line in loop_rule_lines(stage)]


def test_a_capacitor_takes_five_lines() -> None:
    assert written(stage_of(LAMP)) == [
        "V∞ = Rseen I3 + V(C1)",
        "I3 = C1 dV(C1)/dt",
        "V∞ = τ dV(C1)/dt + V(C1)",
        "t/τ = ln((V∞ − V0)/(V∞ − V(C1)))",
        "V(C1) = V∞ + (V0 − V∞) e^(−t/τ)",
    ]


def test_a_coil_takes_four_lines() -> None:
    assert written(stage_of(MAGNET)) == [
        "Rseen I∞ = Rseen IL + L1 dIL/dt",
        "I∞ = τ dIL/dt + IL",
        "t/τ = ln((I∞ − I0)/(I∞ − IL))",
        "IL = I∞ + (I0 − I∞) e^(−t/τ)",
    ]


def test_two_storages_are_left_to_their_quadratic() -> None:
    assert loop_rule_lines(stage_of(RELAY)) == ()


@pytest.mark.parametrize("text", [LAMP, MAGNET])
@pytest.mark.parametrize("fault", FAULTS)
def test_a_course_with_a_fault_breaks_the_promise(text: str, fault: str) -> None:
    true = stage_of(text)
    faulty = faulty_stage(text, FAULTS[fault])
    object.__setattr__(faulty, "rates", true.rates)
    with pytest.raises(BrokenPromise):
        loop_rule_lines(faulty)
