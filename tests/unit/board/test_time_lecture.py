"""Lectures on circuits in time: the ends redrawn after a question, the loop rule term by term, limits."""

from __future__ import annotations

from functools import cache
from itertools import pairwise
from pathlib import Path

from loopwright.board.plan import board
from loopwright.board.stage import Became, LectureAct, MarkKind, Plan, SceneChange, changes
from loopwright.board.time_limit_stages import fading
from loopwright.expressions.nodes import Exponential, Symbol, parts_of
from loopwright.expressions.writers import plain
from loopwright.problem.problem_file import read
from tests.lectures import misheard, more_than_one, unsaid

EXAMPLES = Path(__file__).parents[3] / "examples"


@cache
def lecture(name: str, minutes: float | None = 0) -> Plan:
    return board(read(EXAMPLES / f"{name}.toml"), minutes=minutes)


def test_every_stage_changes_one_thing_and_all_is_said() -> None:
    for name in ("harbour-light", "lifting-magnet"):
        plan = lecture(name)
        assert more_than_one(plan) == []
        assert unsaid(plan) == []
        assert misheard(plan)[0] == []


def test_the_acts_come_in_the_order_of_a_lecture() -> None:
    assert list(dict.fromkeys(stage.act for stage in lecture("harbour-light").stages)) == list(LectureAct)
    arrows = [s for s in lecture("harbour-light").stages if s.act is LectureAct.ARROWS]
    assert [len(s.scene.figure.arrows) for s in arrows] == [1, 2, 3, 3]
    assert arrows[-1].pause > 0


def test_the_ends_are_asked_for_before_the_circuit_is_redrawn() -> None:
    plan = lecture("harbour-light")
    for caption in ("Just after", "Long after"):
        first = next(s for s in plan.stages if plan.figures[s.scene.figure.name].caption == caption)
        assert plan.stages[first.number - 2].pause > 0
    words = [s.words for s in plan.stages]
    assert "Just after: C sub one stands as a source of two point zero zero volts." in words
    jump = "it jumps from four hundred microamperes."
    assert f"Just after: I sub two equals one point one four milliamperes; {jump}" in words


def test_the_loop_rule_grows_term_by_term_and_goes_on_move_by_move() -> None:
    stages = lecture("harbour-light").stages
    states = [
        "=".join(plain.render(side) for side in stage.scene.line(int(key)).sides)
        for before, stage in pairwise(stages)
        for kind, key in changes(before.scene, stage.scene)
        if kind in (SceneChange.WRITTEN, SceneChange.GROWN) and stage.chapter == "From the loop rule"
    ]
    assert states[:3] == ["V∞", "V∞=Rseen I3", "V∞=Rseen I3 + V(C1)"]
    put_in = next(s for s in stages if s.words.startswith("Put in"))
    assert sum(m.kind is MarkKind.USED for m in put_in.light.marks) == 2
    assert any(m.kind is MarkKind.CHANGED for m in put_in.light.marks)


def test_sources_fade_before_the_resistance_is_seen() -> None:
    stages = [s for s in lecture("harbour-light").stages if s.chapter == "Time constant"]
    became = [dict(s.scene.figure.became) for s in stages]
    assert {"E": Became.WIRE, "C1": Became.GAP} in became
    assert became[-1] == {}


def test_a_curve_is_put_down_piece_by_piece() -> None:
    plan = lecture("harbour-light")
    drawn = dict.fromkeys(s.scene.figure.name for s in plan.stages if s.chapter == "The curves")
    counts = [len(plan.figures[name].drawing.marks) for name in drawn]
    assert counts[:4] == sorted(set(counts[:4]))
    assert len(counts) == 8


def test_what_fades_is_struck_in_the_formula() -> None:
    plan = lecture("harbour-light")
    stage = next(s for s in plan.stages if "every exponential fades" in s.words)
    struck = [m for m in stage.light.marks if m.kind is MarkKind.STRUCK]
    assert struck
    side = stage.scene.line(struck[0].line).sides[struck[0].side]
    term = side
    for step in struck[0].path:
        term = parts_of(term)[step]
    assert "e^" in plain.render(term) or any(isinstance(p, Exponential) for p in parts_of(term))
    assert list(fading(Symbol("E"))) == []


def test_a_prediction_of_ones_own_takes_the_place_of_the_question() -> None:
    words = [s.words for s in lecture("winch-brake").stages]
    at = next(k for k, text in enumerate(words) if text.startswith("A prediction: I sub capital L"))
    assert words[at + 1].startswith("Long after")
    assert "Both ways agree, and so does the prediction." in words[at:]


def test_two_moves_fit_ten_minutes_and_nothing_is_left_out_that_has_room() -> None:
    plan = lecture("night-lamp", None)
    assert plan.seconds <= 600
    for cut in plan.left_out:
        assert cut not in lecture("night-lamp").left_out
    assert {s.act for s in plan.stages} >= {LectureAct.EQUATIONS, LectureAct.WORKING, LectureAct.LIMITS}
