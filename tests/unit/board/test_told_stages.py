"""A lecture for those who cannot see it, and the page of its recording: every move told, every word there."""

from __future__ import annotations

from functools import cache

from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.board.timeline import mark_of, recorded
from loopwright.board.told_stages import description, recording
from loopwright.problem.problem_file import read_text
from loopwright.sheet.document import DisplayedLine, Listing, Picture, Table
from loopwright.sheet.forms import FORMS
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@cache
def lecture() -> Plan:
    found, _ = read_text(CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def aloud(plan: Plan) -> str:
    made = FORMS["say"].write(description(plan))
    assert isinstance(made, str)
    return " ".join(made.split())


def test_every_move_of_the_board_is_told() -> None:
    told = aloud(lecture())
    assert told.count("An arrow is drawn for") == 3
    assert told.count("is drawn with its sense of travel") == 2
    assert "The figure is drawn. Circuit of two batteries" in told
    assert "R sub h fades to a gap" in told
    assert "R sub h is back" in told
    assert "The line grows to" in told
    assert "Struck out: one part." in told


def test_no_stage_that_changes_anything_goes_untold() -> None:
    items = [item for b in description(lecture()).blocks if isinstance(b, Listing) for item in b.items]
    moving = [s for k, s in enumerate(lecture().stages) if k == 0 or s.scene != lecture().stages[k - 1].scene]
    assert len(items) >= len(moving)


def test_the_page_of_a_recording_holds_chapters_figures_formulas_and_words() -> None:
    plan = lecture()
    page = recording(plan)
    table = page.blocks[0]
    assert isinstance(table, Table)
    assert [row[1] for row in table.rows] == [(title,) for title, _ in plan.chapters]
    last = {line.key: line.sides for stage in plan.stages for line in stage.scene.lines}
    shown = {b.sides for b in page.blocks if isinstance(b, DisplayedLine)}
    assert shown == {sides for sides in last.values() if sides}
    assert sum(isinstance(b, Picture) for b in page.blocks) == len(plan.figures)
    text = FORMS["html"].write(page)
    assert isinstance(text, str)
    assert text.count("Which way do you expect I sub b to run?") == 1


def test_the_times_are_those_of_a_run() -> None:
    plan = lecture()
    run = f'{{"mark": "{mark_of(plan)}", "shown": [[0, 1], [65, 2]], "seconds": 70}}'
    told = FORMS["md"].write(description(plan, recorded(plan, run)))
    assert isinstance(told, str)
    assert "1:05 A line is written: To find:" in told
