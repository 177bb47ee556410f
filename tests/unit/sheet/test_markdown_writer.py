"""The Markdown writer: plain to read, and nothing in the words acts as markup."""

from __future__ import annotations

import re

import pytest

from loopwright.sheet import markdown
from loopwright.sheet.document import DisplayedLine, Listing, Paragraph, Table
from loopwright.sheet.forms import with_figures_beside
from tests.unit.sheet.sample_sheet import HOSTILE_WORDS, I1, I2, SAMPLE, hostile, one


def shown(source: str) -> str:
    """The source with its backslash escapes undone, as CommonMark 0.31 (section 2.4) has it."""
    return re.sub(r"\\([!-/:-@\[-`{-~])", r"\1", source)


def test_hostile_words_are_escaped_wherever_they_stand() -> None:
    source = markdown.write(hostile())
    assert not re.search(r"(?<!\\)<script", source)
    assert shown(source).count(HOSTILE_WORDS) == 17


@pytest.mark.parametrize("sign", list("\\`*_{}[]<>#|~$&^"))
def test_a_sign_with_a_meaning_is_escaped(sign: str) -> None:
    assert markdown.escaped(f"a{sign}b") == f"a\\{sign}b"


@pytest.mark.parametrize(
    ("words", "expected"), [("- x", "\\- x"), ("1. x", "1\\. x"), ("+ x", "\\+ x"), ("1.5", "1.5")]
)
def test_a_paragraph_never_opens_a_list(words: str, expected: str) -> None:
    assert expected + "\n" in markdown.write(one(Paragraph((words,))))


def test_a_displayed_line_has_its_number_and_its_frame() -> None:
    source = markdown.write(one(DisplayedLine((I1, I2), 7, ("So it is.",), result=True)))
    assert re.search(r"\$\$\n\\boxed\{.*\} \\tag\{7\}\n\$\$\n\nSo it is\.", source)


def test_rows_of_a_table_have_as_many_cells_as_its_head() -> None:
    table = Table("C", (("a|b",), ("c",)), ((("d",), (I1,)), (("e|f",), ("g",))))
    rows = [line for line in markdown.write(one(table)).splitlines() if line.startswith("|")]
    assert [len(re.findall(r"(?<!\\)\|", row)) for row in rows] == [3, 3, 3, 3]


def test_items_of_a_listing_follow_line_by_line() -> None:
    assert "\n- one\n- two\n" in markdown.write(one(Listing((("one",), ("two",)))))


def test_the_figure_is_given_in_words() -> None:
    assert "> Branch Ib runs from bus to rail" in markdown.write(SAMPLE)


def test_the_same_document_gives_the_same_text() -> None:
    assert markdown.write(SAMPLE) == markdown.write(SAMPLE)


def test_a_figure_in_a_file_beside_is_linked_and_its_words_stand_for_it() -> None:
    linked, beside = with_figures_beside(SAMPLE, "night buoy")
    ((name, drawn),) = beside.items()
    assert name == "night buoy-figure.svg"
    assert drawn.startswith("<svg ")
    source = markdown.write(linked)
    assert re.search(r"^!\[.*Branch Ib runs.*\]\(<night buoy-figure\.svg>\)$", source, re.MULTILINE)
    assert "> Branch" not in source
