"""A lecture in a notebook: its figure and every stage, and nothing that a strict content policy refuses."""

from __future__ import annotations

import re
from functools import cache

from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.problem.problem_file import read_text
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@cache
def lecture() -> Plan:
    found, _ = read_text('title = "A <script>alert(1)</script>"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


def test_it_shows_its_figure_and_what_is_said_at_every_stage() -> None:
    page = lecture()._repr_html_()
    assert page.startswith("<svg ")
    assert page.count("<tr>") == len(lecture().stages) + 1
    assert "<td>Which way do you expect I sub b to run?</td>" in page


def test_there_is_no_script_no_handler_no_style_attribute_and_no_address_in_it() -> None:
    page = lecture()._repr_html_()
    assert "<script" not in page
    assert "&lt;script&gt;" in page
    assert re.findall(r"<[^>]+\s(?:style|on\w+|href|src)\s*=", page) == []
    assert page.count("<style") == 1


def test_as_text_it_is_a_stage_a_line() -> None:
    lines = str(lecture()).splitlines()
    assert len(lines) == len(lecture().stages) + 1
    assert any(line.endswith("Which way do you expect I sub b to run?") for line in lines)
