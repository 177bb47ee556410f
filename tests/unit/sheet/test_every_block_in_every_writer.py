"""Every kind of block goes through every writer and leaves its words there."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

import pytest

from loopwright.expressions.nodes import Symbol
from loopwright.sheet import html, latex, markdown, pdf, spoken
from loopwright.sheet.document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Gap,
    Heading,
    Listing,
    Masthead,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    WorkingRoom,
    Written,
)
from tests.unit.sheet.sample_sheet import I1, I2, SAMPLE, box_alone, drawing, one

WORDS = "Zinc anchor"
ONE_OF_EACH: dict[type[Block], Block] = {
    Heading: Heading(WORDS),
    Paragraph: Paragraph((WORDS, I1)),
    DisplayedLine: DisplayedLine((I1,), 1, (WORDS,)),
    Gap: Gap(2, 3, (WORDS,)),
    Written: Written(4, "I1 = I2", (), "right", ((WORDS,),)),
    Listing: Listing(((WORDS,),)),
    Table: Table("Held", (("What",),), (((WORDS,),),)),
    Picture: Picture(drawing(), WORDS),
    CautionBox: CautionBox((WORDS,)),
    ProblemHead: ProblemHead(WORDS),
    Masthead: Masthead(((WORDS,),), "K7-2Q4-X", box_alone()),
    WorkingRoom: WorkingRoom(WORDS, 30.0),
}
WRITERS: dict[str, Callable[[Document], str]] = {
    "html": html.write,
    "latex": latex.write,
    "markdown": markdown.write,
    "spoken": spoken.write,
    "typst": pdf.typst_source,
}


def test_there_is_one_of_each_kind_of_block() -> None:
    assert set(ONE_OF_EACH) == set(get_args(Block)) == {type(block) for block in SAMPLE.blocks}


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize("kind", get_args(Block), ids=lambda kind: kind.__name__)
def test_no_writer_drops_a_block(kind: type[Block], writer: str) -> None:
    assert WORDS in WRITERS[writer](one(ONE_OF_EACH[kind]))


@pytest.mark.parametrize("kind", get_args(Block), ids=lambda kind: kind.__name__)
def test_every_block_alone_makes_a_pdf(kind: type[Block]) -> None:
    assert pdf.write(one(ONE_OF_EACH[kind])).startswith(b"%PDF")


@pytest.mark.parametrize("writer", WRITERS)
def test_a_document_without_blocks_is_still_a_page(writer: str) -> None:
    assert "A page" in WRITERS[writer](one())


def several() -> Document:
    """Two parts, each with a line (1) and a sentence that refers to it; in the second, X is an emf."""
    line, told = DisplayedLine((Symbol("E"), I2), 1), Paragraph(("By (1) it is so.",))
    return Document(
        "Two", (ProblemHead("First"), line, told, ProblemHead("Second", {"E": "emf"}), line, told)
    )


def test_lines_of_two_parts_are_told_apart() -> None:
    page = html.write(several())
    for number in (1, 2):
        assert page.count(f'id="part-{number}-line-1"') == page.count(f'href="#part-{number}-line-1"') == 1
    assert pdf.write(several()).startswith(b"%PDF")


def test_symbols_stand_for_what_their_part_says() -> None:
    first, second = (text.split("Second")[0:2] for text in (latex.write(several()), spoken.write(several())))
    assert [r"\mathcal" in part for part in first] == [False, True]
    assert first != second
