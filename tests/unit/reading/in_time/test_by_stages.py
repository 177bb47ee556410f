"""Workings of circuits whose switches move again: each line in the stage that it speaks of."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.problem.problem_file import read
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.verdicts import ClaimKind, Verdict

EXAMPLES = Path(__file__).parents[4] / "examples"
LAMP = read(EXAMPLES / "night-lamp.toml")  # 12 V, 2 kohm and 10 uF; at 30 ms 4 kohm beside the capacitor
RIGHT = (EXAMPLES / "workings/in-time/night-lamp.txt").read_text("utf-8")


def verdicts(text: str) -> tuple[Verdict, ...]:
    return read_working(LAMP, text).verdicts


def test_a_right_working_of_two_stages_is_right_in_every_line() -> None:
    reading = read_working(LAMP, RIGHT)
    assert [v.claim.written for v in reading.verdicts if not v.holds] == []
    mark = propose(reading, BUILT_IN["ten"])
    assert {a.part for a in mark.awards if a.points < a.of} <= {"check"}


@pytest.mark.parametrize(
    "line",
    [
        "V_C(t) = 8.00 V + 1.32 V e^(-(t - 30 ms)/(13.3 ms))",
        "V_C(t) = 8.00 V + 1.32 V e^(-t/(13.3 ms))",
        "V_C(t) = 8.00 V + 1.32 V e^(-(t - t1)/(13.3 ms))",
    ],
)
def test_the_time_may_count_from_the_first_move_or_from_the_stage(line: str) -> None:
    (found,) = verdicts(f"S2 closes: {line}")
    assert found.holds


def test_the_first_time_constant_carried_into_the_second_stage_is_no_truth() -> None:
    found = verdicts("After S2 closes: V_C(t) = 8.00 V + 1.32 V e^(-(t - 30 ms)/(20 ms))")
    assert [v.kind for v in found] == [ClaimKind.UNTRUE]


def test_a_second_stage_on_the_first_clock_is_named() -> None:
    found = verdicts("S2 closes. V_C(t) = 12.0 V (1 - e^(-t/(20 ms)))")
    assert found[0].kind is ClaimKind.UNTRUE


def test_a_time_constant_belongs_to_its_stage() -> None:
    first, _, second, _ = verdicts("tau = R1 C1 = 20 ms\nS2 closes: tau2 = C1 R1 R2/(R1 + R2) = 13.3 ms")
    assert first.holds
    assert second.holds
    (wrong, _) = verdicts("S2 closes: tau2 = R1 C1 = 20 ms")
    assert wrong.kind is ClaimKind.UNTRUE
