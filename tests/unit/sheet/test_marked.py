"""A working that was read, published: lines as written, verdicts in words, in every form of output."""

from __future__ import annotations

import pytest

from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN
from loopwright.sheet import html, latex, markdown, pdf, spoken
from loopwright.sheet.document import Document, Heading, Paragraph, Picture, Table, Written
from loopwright.sheet.marked import marked
from tests.unit.reading.made_readings import CARRIED, GOOD, JUNCTION, LEFT, WRONG_SIGN, reading

WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)


@pytest.fixture(scope="module")
def document() -> Document:
    return marked(WRONG, propose(WRONG, BUILT_IN["ten"]), title="week five")


def test_every_line_is_there_as_written_and_the_untrue_one_stands_out(document: Document) -> None:
    lines = [block for block in document.blocks if isinstance(block, Written)]
    assert [line.text for line in lines] == [line.text for line in WRONG.working.lines]
    assert [line.number for line in lines if line.fault] == [3]
    assert [line.word for line in lines][2:4] == ["not true", "not true, but follows"]


def test_the_page_begins_with_what_the_working_comes_to(document: Document) -> None:
    first = document.blocks[0]
    assert isinstance(first, Paragraph)
    assert first.text == (
        "Six lines with something to judge. The first that is not true is line 3."
        " After it, three lines follow correctly from what was written.",
    )
    assert any(isinstance(block, Picture) for block in document.blocks)


def test_the_mark_comes_only_where_it_is_asked_for(document: Document) -> None:
    assert any(isinstance(block, Table) for block in document.blocks)
    assert Heading("Proposed mark") not in marked(WRONG).blocks


def test_a_right_working_is_said_to_be_right() -> None:
    first = marked(reading(*GOOD)).blocks[0]
    assert isinstance(first, Paragraph)
    assert first.text == ("Seven lines with something to judge. All are true of this circuit.",)


def test_every_form_says_the_verdict_and_the_proposal(document: Document) -> None:
    for text in (
        html.write(document),
        latex.write(document),
        markdown.write(document),
        spoken.write(document),
    ):
        assert "not true" in text.lower()
        assert "the instructor decides" in text
    assert pdf.write(document).startswith(b"%PDF")


def test_verdicts_are_not_told_by_colour_alone(document: Document) -> None:
    page = html.write(document)
    assert page.count('<strong class="word">') == 6
    assert '<strong class="word">not true</strong>' in page


def test_a_line_that_is_named_can_be_gone_to(document: Document) -> None:
    page = html.write(document)
    assert 'The first that is not true is line <a href="#written-3">3</a>.' in page
    assert 'id="written-3"' in page


def test_aloud_the_claim_is_said_as_it_was_read(document: Document) -> None:
    text = spoken.write(document)
    assert "Line one: I sub c equals I sub b plus I sub h.\nRight.\n" in text
