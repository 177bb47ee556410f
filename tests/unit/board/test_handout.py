"""The handout: what is chosen is nowhere to be read, what is not chosen is; the key holds all of it."""

from __future__ import annotations

from functools import cache

import pytest

from loopwright.board.handout import handout
from loopwright.board.plan import board
from loopwright.board.stage import LectureAct, Plan
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from loopwright.sheet.document import DisplayedLine, Gap, Heading
from loopwright.sheet.forms import FORMS
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@cache
def lecture() -> Plan:
    found, _ = read_text(CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def test_the_lines_chosen_are_empty_in_the_handout_and_framed_in_the_key() -> None:
    empty, key = handout(lecture(), ("equations", 4)), handout(lecture(), ("equations", 4), filled=True)
    gaps = [block.number for block in empty.blocks if isinstance(block, Gap) and block.number]
    framed = [b.number for b in key.blocks if isinstance(b, DisplayedLine) and b.result]
    assert gaps == framed == [1, 2, 3, 4]
    shown = [b for b in empty.blocks if isinstance(b, DisplayedLine)]
    assert shown == [b for b in key.blocks if isinstance(b, DisplayedLine) and not b.result]
    assert not any(isinstance(b, Gap) for b in key.blocks)


@pytest.mark.parametrize("form", ["html", "md", "tex", "say"])
def test_what_is_to_be_filled_in_is_nowhere_in_the_handout(form: str) -> None:
    loop = {
        "html": "<mo>\u2062</mo>",
        "md": r"R_{1} - I_{\mathrm{h}}",
        "tex": r"R_{1} - I_{\mathrm{h}}",
        "say": "times R sub one minus I sub h",
    }[form]
    whole = FORMS[form].write(handout(lecture(), ("equations", "working", "results", "limits"), filled=True))
    empty = FORMS[form].write(handout(lecture(), ("equations", "working", "results", "limits", "numbers")))
    assert isinstance(whole, str)
    assert isinstance(empty, str)
    if form != "html":
        assert loop in whole
        assert loop not in empty
    assert "filled in" in empty or "\\_\\_" in empty or "\\gap{" in empty
    assert len(FORMS["pdf"].write(handout(lecture()))) > 10_000


def test_by_default_equations_results_and_numbers_are_left_empty() -> None:
    shown = {
        tuple(line.sides)
        for stage in lecture().stages
        if stage.act in (LectureAct.EQUATIONS, LectureAct.RESULTS, LectureAct.NUMBERS)
        for line in stage.scene.lines
        if line.key not in {old.key for s in lecture().stages[: stage.number - 1] for old in s.scene.lines}
    }
    blocks = handout(lecture()).blocks
    assert not shown & {tuple(b.sides) for b in blocks if isinstance(b, DisplayedLine)}
    assert any(isinstance(b, DisplayedLine) for b in blocks)


def test_no_head_stands_over_nothing() -> None:
    blocks = handout(lecture()).blocks
    assert not any(
        isinstance(one, Heading) and (k + 1 == len(blocks) or isinstance(blocks[k + 1], Heading))
        for k, one in enumerate(blocks)
    )


def test_a_line_that_there_is_not_is_told_with_those_that_there_are() -> None:
    with pytest.raises(FaultyMaterial) as caught:
        handout(lecture(), (99,))
    finding = caught.value.findings[0]
    assert (finding.code, "from 1 to" in finding.mend) == ("board/no-line", True)
