"""The lecture on a ladder without end: the rest made one resistor, the root, ladders that grow, limits."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from loopwright.board.plan import board
from loopwright.board.stage import Became, LectureAct, MarkKind, Plan
from loopwright.problem.problem_file import read
from tests.lectures import misheard, more_than_one, unsaid

EXAMPLE = Path(__file__).parents[3] / "examples" / "leaky-line.toml"


@cache
def lecture() -> Plan:
    return board(read(EXAMPLE), minutes=0)


def test_every_stage_changes_one_thing_and_all_is_said() -> None:
    assert more_than_one(lecture()) == []
    assert unsaid(lecture()) == []
    assert misheard(lecture())[0] == []


def test_the_rest_becomes_one_resistor_after_a_question() -> None:
    stages = lecture().stages
    at = next(k for k, s in enumerate(stages) if s.words.startswith("So all that follows"))
    assert stages[at - 1].words.startswith("The same ladder")
    assert stages[at - 2].pause > 0
    assert ("element", "R") in lecture().figures[stages[at].scene.figure.name].parts


def test_the_fraction_is_cleared_in_sight_and_the_root_is_asked_for() -> None:
    stages = [s for s in lecture().stages if s.act is LectureAct.WORKING]
    assert any(m.kind is MarkKind.STRUCK for m in stages[0].light.marks)
    asked = next(s for s in stages if s.pause)
    assert asked.words.endswith("Which of them is a resistance?")


def test_each_limit_is_a_prediction_then_the_section_changes_then_both_agree() -> None:
    stages = [s for s in lecture().stages if s.act is LectureAct.LIMITS]
    asked = [k for k, s in enumerate(stages) if s.pause]
    assert len(asked) == 4
    for k in asked:
        assert dict(stages[k].scene.figure.became) == {}
        assert dict(stages[k + 1].scene.figure.became)
    assert stages[asked[0] + 1].scene.figure.became == (("R1", Became.WIRE), ("R3", Became.WIRE))
    assert sum(s.words == "Both ways agree." for s in stages) == 4
