"""Stages: each changes exactly one thing, everything is said, what is missed least is left out first."""

from __future__ import annotations

from fractions import Fraction
from functools import cache
from itertools import pairwise

import pytest

from loopwright.board.plan import board
from loopwright.board.room import ROOM, height_of, in_sight
from loopwright.board.stage import (
    Became,
    BoardLine,
    Cut,
    LectureAct,
    MarkKind,
    Plan,
    Scene,
    SceneChange,
    changes,
)
from loopwright.board.staging import spoken_words
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.heard import heard
from loopwright.expressions.nodes import Equation, Symbol
from loopwright.expressions.writers import plain, spoken
from loopwright.methods.methods import METHODS
from loopwright.problem.problem_file import read_text
from loopwright.sheet.build import FullSheet
from loopwright.sheet.document import DisplayedLine
from loopwright.sheet.editions import Edition, Page
from loopwright.solve.exact import solve
from tests.lectures import is_plain, more_than_one, worth
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS

SERVES = [method.name for method in METHODS if method.name != "series and parallel"]


def circuit(text: str = CHARGE_OR_HELP_IN_NUMBERS) -> Circuit:
    found, findings = read_text(text)
    assert found is not None, findings
    return found


@cache
def lecture(*methods: str, minutes: float = 0) -> Plan:
    return board(circuit(), methods=methods, minutes=minutes)


@pytest.mark.parametrize("method", SERVES)
def test_every_stage_changes_one_thing(method: str) -> None:
    plan = lecture(method)
    assert len(plan.stages) > 30
    assert more_than_one(plan) == []


def test_changes_counts_everything_that_differs() -> None:
    plan = lecture(minutes=10)
    bare, last = plan.stages[0].scene, plan.stages[-1].scene
    kinds = [kind for kind, _ in changes(bare, last)]
    assert kinds.count(SceneChange.ARROW) == 3
    assert kinds.count(SceneChange.LOOP) == 2
    assert kinds.count(SceneChange.WRITTEN) == len(last.lines)


def test_two_methods_follow_one_another_and_agree() -> None:
    plan = lecture("branch currents", "node potentials")
    assert more_than_one(plan) == []
    assert "Branch currents and node potentials give the same currents." in [s.words for s in plan.stages]
    wiped = [s for b, s in pairwise(plan.stages) if changes(b.scene, s.scene) == ((SceneChange.WIPED, ""),)]
    assert [s.words for s in wiped] == ["Now the same by node potentials."]


def test_the_acts_come_in_the_order_of_a_lecture() -> None:
    acts = list(dict.fromkeys(stage.act for stage in lecture().stages))
    assert acts == list(LectureAct)


def test_a_loop_equation_grows_term_by_term_with_the_reason_of_each_sign() -> None:
    stages = lecture(minutes=10).stages
    states = [
        (plain.render(line.sides[0]), stage)
        for before, stage in pairwise(stages)
        for kind, key in changes(before.scene, stage.scene)
        if kind in (SceneChange.WRITTEN, SceneChange.GROWN) and stage.act is LectureAct.EQUATIONS
        for line in [stage.scene.line(int(key))]
        if line.sides
    ]
    assert [text for text, _ in states][1:5] == [
        "E1",
        "E1 − Ic R1",
        "E1 − Ic R1 − Ih Rh",
        "E1 − Ic R1 − Ih Rh",
    ]
    assert ("element", "R1") in states[2][1].light.parts
    assert "along the arrow of I sub c: a drop" in states[2][1].words


def test_what_cancels_is_struck_and_what_came_in_is_marked() -> None:
    stages = board(circuit(CHARGE_OR_HELP), minutes=0).stages
    collect = next(s for s in stages if s.words.startswith("Multiply by R sub one"))
    struck = [m for m in collect.light.marks if m.kind is MarkKind.STRUCK]
    line = collect.scene.line(struck[0].line)
    assert plain.render(line.sides[0]) == "E2 + R2 (E1 − Ih (R1 + Rh))/R1 − Ih Rh"
    assert struck[0].path == (1, 1)  # below the line of the second term
    put_in = next(s for s in stages if s.words.startswith("Put equation one into equation two"))
    changed = {(m.line, m.path) for m in put_in.light.marks if m.kind is MarkKind.CHANGED}
    assert len(changed) == 2  # Ic in the loop equation, Ib + Ih in the new line


def test_a_limit_is_predicted_before_the_element_fades_and_the_formula_follows() -> None:
    stages = [s for s in lecture().stages if s.act is LectureAct.LIMITS]
    assert stages[0].pause > 0
    became = [s.scene.figure.became for s in stages]
    assert became[:2] == [(), (("Rh", Became.GAP),)]
    words = [s.words for s in stages]
    formula = next(k for k, text in enumerate(words) if text.startswith("The formula"))
    agreed = words.index("Both ways agree.")
    assert 1 < formula < agreed
    assert became[agreed + 1] == ()


def test_a_negative_current_is_told_where_it_comes_out() -> None:
    words = [s.words for s in lecture(minutes=10).stages]
    at = next(k for k, text in enumerate(words) if text.startswith("I sub b is negative"))
    assert words[at - 1] == "This equals negative one ampere."


@pytest.mark.parametrize("method", ["branch currents", "superposition"])
def test_every_formula_of_the_sheet_is_said(method: str) -> None:
    found = circuit()
    sections = ("equations", "symbols", "results", "limits", "expectations")
    page = Page(Edition.SOLUTION, sections, "a4", "british", "iec", method)
    sheet = FullSheet(found, solve(found), page)
    plan = lecture(method)
    said = " ".join(s.words for s in plan.stages).lower()
    lines = [block for block in sheet.document.blocks if isinstance(block, DisplayedLine)]
    assert len(lines) > 8
    for line in lines:
        for side in line.sides:
            assert spoken.render(side, plan.roles).lower() in said


@pytest.mark.parametrize("method", ["branch currents", "determinants"])
def test_what_is_said_is_heard_as_the_same_algebra(method: str) -> None:
    """By an evaluation of our own here, at values that tell every symbol from every other."""
    plan = lecture(method)
    heard_again = 0
    for stage in plan.stages:
        for piece in stage.said:
            if not isinstance(piece, Equation) or not (is_plain(piece.left) and is_plain(piece.right)):
                continue
            again = heard(spoken.render(piece, plan.roles))
            assert isinstance(again, Equation)
            values: dict[str, Fraction] = {"∞": Fraction(0)}
            for one, other in ((piece.left, again.left), (piece.right, again.right)):
                assert worth(one, values) == worth(other, values)
            heard_again += 1
    assert heard_again > 15


def test_a_lecture_on_two_loops_fits_ten_minutes_and_says_what_it_leaves_out() -> None:
    plan = lecture(minutes=10)
    assert plan.seconds <= 600
    whole = lecture()
    assert whole.seconds > 600
    assert (whole.left_out, plan.left_out[0]) == ((), Cut.RESTATED)


def test_a_stage_takes_its_words_at_130_a_minute_and_its_pause() -> None:
    stage = next(s for s in lecture(minutes=10).stages if s.pause)
    assert spoken_words("one-way, twenty-three point zero volts") == 5
    assert stage.seconds == pytest.approx(spoken_words(stage.words) / 130 * 60 + 0.5 + stage.pause, abs=0.06)


def test_lines_in_sight_fit_the_room_and_hold_the_newest_and_what_is_used() -> None:
    for stage in lecture().stages:
        if not stage.scene.lines:
            continue
        keys = in_sight(stage.scene, stage.light)
        assert stage.scene.lines[-1].key in keys
        assert {mark.line for mark in stage.light.marks} <= {*keys}
        assert sum(height_of(stage.scene.line(key)) for key in keys) <= ROOM


def test_a_rate_of_change_takes_the_room_of_a_fraction() -> None:
    low, high = (BoardLine(1, (Symbol("I3"), Symbol(name))) for name in ("V", "dV(C1)/dt"))
    assert height_of(high) > height_of(low) + 2


def test_lines_scroll_off_oldest_first() -> None:
    lines = tuple(BoardLine(key, words=(f"Line {key}.",)) for key in range(1, 60))
    keys = in_sight(Scene(lines=lines), lecture(minutes=10).stages[0].light)
    assert keys == tuple(range(60 - len(keys), 60))
    assert len(keys) > 8


def test_the_same_circuit_gives_the_same_lecture() -> None:
    assert board(circuit()) == lecture(minutes=10)
