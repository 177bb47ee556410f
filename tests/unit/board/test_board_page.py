"""The page of a lecture: one file under a strict policy, small, with marks where they belong."""

from __future__ import annotations

import re
from base64 import b64encode
from functools import cache
from hashlib import sha256
from xml.etree import ElementTree

import pytest

from loopwright.board import html
from loopwright.board.figures import bridges
from loopwright.board.marked_parts import marked
from loopwright.board.parts import outweighed, part_at, places_of
from loopwright.board.plan import board
from loopwright.board.script import clock, script
from loopwright.board.stage import Plan
from loopwright.expressions.nodes import Expr
from loopwright.expressions.notation import notation
from loopwright.expressions.parse import expression
from loopwright.expressions.writers import mathml, plain
from loopwright.figure.drawing import Stroke
from loopwright.problem.problem_file import read_text
from loopwright.sheet.forms import FORMS
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@cache
def lecture() -> Plan:
    found, _ = read_text('title = "A bus & <b>more</b>"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    assert found is not None
    return board(found)


@cache
def page() -> str:
    return html.write(lecture())


def digest(text: str) -> str:
    return "sha256-" + b64encode(sha256(text.encode()).digest()).decode()


def test_the_policy_allows_one_style_and_one_script_and_nothing_else() -> None:
    policy = re.search(r'Content-Security-Policy" content="([^"]+)"', page())
    style, script_text = (
        re.findall(r"<style>(.*?)</style>", page(), re.DOTALL),
        re.findall(r"<script>(.*?)</script>", page(), re.DOTALL),
    )
    assert policy is not None
    allowed = policy[1].replace("&#x27;", "'")
    assert allowed.startswith("default-src 'none'; ")
    assert [digest(style[0])] == re.findall(r"style-src '([^']+)'", allowed)
    assert [digest(script_text[0])] == re.findall(r"script-src '([^']+)'", allowed)
    assert (len(style), len(script_text)) == (1, 1)


def test_no_element_has_a_style_or_a_handler_of_its_own_and_nothing_is_fetched() -> None:
    assert re.findall(r"<[^>]+\s(?:style|on\w+)=", page()) == []
    assert re.findall(r'(?:src|href)="|url\(|@import|https?://(?!www\.w3\.org)', page()) == []


def test_a_ten_minute_board_is_far_below_a_megabyte_and_a_half() -> None:
    assert len(page().encode()) < 300_000


def test_what_a_person_wrote_is_no_markup() -> None:
    assert "<b>more" not in page()
    assert "A bus &amp; &lt;b&gt;more&lt;/b&gt;" in page()


def test_the_same_lecture_gives_the_same_page() -> None:
    assert html.write(lecture()) == page()


def in_mathml(expr: Expr, marks: list[tuple[tuple[int, ...], str]]) -> str:
    return marked(
        expr,
        {},
        marks,
        lambda e, roles: mathml.write(notation(e, roles)),
        lambda markup, kind: f'<mrow class="{kind}">{markup}</mrow>',
    )


@pytest.mark.parametrize(
    ("text", "part", "which"),
    [
        ("(E1 - I1 R1) / R1", "R1", 1),
        ("E1 - (I2 + I3) R1 - I3 R3", "I2 + I3", 0),
        ("E1 R2 - E2 R1", "E2 R1", 0),
        ("E R1 + E1 R", "E1", 0),
    ],
)
def test_a_part_is_marked_where_it_stands(text: str, part: str, which: int) -> None:
    whole, wanted = expression(text), expression(part)
    path = list(places_of(whole, wanted))[which]
    bare = in_mathml(whole, [])
    with_mark = in_mathml(whole, [(path, "struck")])
    inside = ElementTree.fromstring(f"<r>{with_mark}</r>").findall(".//mrow[@class='struck']")
    assert len(inside) == 1
    assert "".join(inside[0].itertext()) == "".join(
        ElementTree.fromstring(f"<r>{in_mathml(wanted, [])}</r>").itertext()
    )
    plain_again = with_mark.replace('<mrow class="struck">', "<mrow>", 1)
    assert "".join(ElementTree.fromstring(f"<r>{plain_again}</r>").itertext()) == "".join(
        ElementTree.fromstring(f"<r>{bare}</r>").itertext()
    )


def test_what_no_longer_counts_at_a_limit_is_found_at_any_depth() -> None:
    form = expression("(E1 (R2 + R3) - E2 R3) / (R1 R3 + R2 (R1 + R3))")
    struck = [plain.render(part_at(form, path)) for path in outweighed(form, "R3", at_zero=False)]
    assert struck == ["R2", "R1"]
    struck = [plain.render(part_at(form, path)) for path in outweighed(form, "R3", at_zero=True)]
    assert struck == ["R3", "−E2 R3", "R1 R3", "R3"]


def test_a_wire_that_takes_an_elements_place_joins_the_wires_beside_it() -> None:
    drawing = lecture().figures["figure-1"].drawing
    wires = {
        point
        for mark, (kind, _) in zip(drawing.marks, drawing.whose, strict=True)
        if kind == "wire" and isinstance(mark, Stroke)
        for point in (mark.points[0], mark.points[-1])
    }
    found = bridges(drawing)
    assert set(found) == {"E1", "E2", "R1", "R2", "Rh"}
    for stroke in found.values():
        assert {*stroke.points} <= wires
        (x1, y1), (x2, y2) = stroke.points
        assert x1 == x2 or y1 == y2


def test_the_script_holds_the_words_of_every_stage_in_every_form() -> None:
    document = script(lecture())
    text = FORMS["md"].write(document)
    assert isinstance(text, str)
    bare = re.sub(r"\\", "", text)
    for stage in lecture().stages:
        assert stage.words in bare
    assert clock(185) == "3:05"
    said = FORMS["say"].write(document)
    assert isinstance(said, str)
    assert "I sub h equals start fraction" in said
