"""What stands in the margin of a working: the lines for a terminal, from readings made by hand."""

from __future__ import annotations

from dataclasses import replace

from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.reading.working import Working, WrittenLine
from loopwright.show.margin import in_margin
from tests.unit.reading.made_readings import CARRIED, JUNCTION, LEFT, WRONG_SIGN, reading

WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)


def test_every_line_stands_in_its_place_with_a_sign_and_words() -> None:
    rows = str(WRONG).splitlines()
    assert rows[0].split() == ["✓", "1", "Ic", "=", "Ib", "+", "Ih", "junction", "equation"]
    assert rows[2].startswith("✗  3  -E2 + Ib R2 - Ih Rh = 0")
    assert "NOT TRUE." in rows[2]
    assert rows[7].startswith("   7  One current runs against")


def test_the_mend_and_the_numbers_are_told() -> None:
    text = " ".join(str(WRONG).split())
    assert "Source signed by an arrow: a slip. It should read E2 + Ib R2 − Ih Rh = 0." in text


def test_signs_that_a_terminal_would_act_on_are_left_out() -> None:
    lines = (*WRONG.working.lines, WrittenLine(8, "\x1b[2J\x07gone\u202e"))
    text = str(replace(WRONG, working=Working(lines)))
    assert "\x1b" not in text
    assert "[2J gone" in text


def test_no_row_is_wider_than_asked() -> None:
    text = in_margin(WRONG.remarks, WRONG.closing, propose(WRONG, BUILT_IN["ten"]), width=72)
    assert max(map(len, text.splitlines())) <= 72


def test_the_mark_is_called_a_proposal() -> None:
    text = in_margin(WRONG.remarks, WRONG.closing, propose(WRONG, BUILT_IN["ten"]))
    assert "Proposed mark, Ten points: 9 of 10" in text
    assert text.endswith("This mark is a proposal; the instructor decides.\n")
