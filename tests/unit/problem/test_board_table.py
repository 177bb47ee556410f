"""[board] in a problem file: read, written back, and what it comes to in the lecture."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.board.plan import board
from loopwright.board.stage import LectureAct
from loopwright.circuit.board_wishes import ACTS, NEEDS, BoardWishes
from loopwright.circuit.circuit import Circuit
from loopwright.problem.problem_file import read_text
from loopwright.problem.problem_text import written
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS

EXAMPLES = Path(__file__).parents[3] / "examples"
WISHED = """
[board]
acts = ["circuit", "question", "arrows", "equations"]
methods = ["loop currents"]
minutes = 7.5
words_a_minute = 100
look = "light"
shape = "4:3"
gaps = ["equations", 7]
[board.pauses]
arrows = 9
[board.say]
circuit = "Look at this"
arrows = "I choose these arrows."
"""


def circuit(more: str = "") -> Circuit:
    found, findings = read_text(CHARGE_OR_HELP_IN_NUMBERS + more)
    assert found is not None, findings
    return found


def test_every_wish_is_read_and_written_back() -> None:
    wishes = circuit(WISHED).board
    assert wishes == BoardWishes(
        ("circuit", "question", "arrows", "equations"),
        ("loop currents",),
        7.5,
        100,
        {"arrows": 9.0},
        {"circuit": "Look at this", "arrows": "I choose these arrows."},
        "light",
        "4:3",
        ("equations", 7),
    )
    again, findings = read_text(written(circuit(WISHED)))
    assert again is not None, findings
    assert again.board == wishes
    assert circuit().board == BoardWishes()


def test_the_lecture_follows_the_wishes() -> None:
    plan = board(circuit(WISHED))
    assert list(dict.fromkeys(str(stage.act) for stage in plan.stages)) == list(circuit(WISHED).board.acts)
    assert plan.methods == ("loop currents",)
    assert plan.stages[0].words.startswith("Look at this. Circuit of two batteries")
    arrows = [stage for stage in plan.stages if stage.act is LectureAct.ARROWS]
    assert arrows[0].words.startswith("I choose these arrows. An arrow shows")
    assert [stage.pause for stage in arrows if stage.pause] == [9.0]
    assert sum("I choose" in stage.words for stage in plan.stages) == 1


def test_slower_speech_takes_longer() -> None:
    usual = board(circuit("[board]\nminutes = 0"))
    slow = board(circuit("[board]\nminutes = 0\nwords_a_minute = 65"))
    assert [s.words for s in slow.stages] == [s.words for s in usual.stages]
    silence = sum(s.pause + 0.5 for s in usual.stages)
    assert slow.seconds - silence == pytest.approx(2 * (usual.seconds - silence), rel=0.01)


@pytest.mark.parametrize("name", ["harbour-light", "leaky-line"])
def test_a_circuit_in_time_and_a_ladder_follow_the_wishes_as_well(name: str) -> None:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8") + "\n[board]\nminutes = 0\n"
    wished = """words_a_minute = 65
    [board.pauses]
    limits = 9
    [board.say]
    circuit = "Look at this"
    working = "Now it gets long"
    limits = "I never leave these out"
    """
    plans = []
    for problem in (text, text + wished):
        found, findings = read_text(problem)
        assert found is not None, findings
        plans.append(board(found))
    usual, slow = plans
    said = ("Look at this. ", "Now it gets long. ", "I never leave these out. ")
    again = [stage.words for stage in slow.stages]
    for act, own in zip((LectureAct.CIRCUIT, LectureAct.WORKING, LectureAct.LIMITS), said, strict=True):
        at = next(k for k, stage in enumerate(slow.stages) if stage.act is act)
        assert again[at].startswith(own)
        again[at] = again[at].removeprefix(own)
    assert again == [stage.words for stage in usual.stages]
    longer = [(s.act, s.pause, w.pause) for s, w in zip(usual.stages, slow.stages, strict=True) if s.pause]
    assert {after for act, _, after in longer if act is LectureAct.LIMITS} == {9.0}
    assert all(after == before for act, before, after in longer if act is not LectureAct.LIMITS)
    before, after = (plan.seconds - sum(s.pause + 0.5 for s in plan.stages) for plan in plans)
    words = sum(len(own.split()) for own in said)
    assert after == pytest.approx(2 * before + 60 / 65 * words, rel=0.01)


def test_what_is_asked_for_by_hand_comes_before_the_file() -> None:
    plan = board(circuit(WISHED), methods=["branch currents"], acts=["circuit"])
    assert (plan.methods, len(plan.stages)) == (("branch currents",), 1)


def test_an_act_without_the_one_it_stands_on_is_told_with_line_and_mend() -> None:
    _, findings = read_text(CHARGE_OR_HELP_IN_NUMBERS + '[board]\nacts = ["circuit", "equations"]\n')
    (found,) = findings
    assert found.code == "board/order"
    assert found.place.line == len(CHARGE_OR_HELP_IN_NUMBERS.splitlines()) + 2
    assert found.message == '"equations" stands on "arrows", which is not among the acts.'
    assert found.mend == 'Name "arrows" before "equations".'


def test_the_acts_are_those_of_a_lecture_in_their_order() -> None:
    assert tuple(map(str, LectureAct)) == ACTS
    assert all(ACTS.index(needed) < ACTS.index(act) for act, needed in NEEDS.items())
