"""Every kind of block goes through every writer and leaves its words there."""

from __future__ import annotations

from collections.abc import Callable
from typing import get_args

import pytest

from loopwright.sheet import html, latex, markdown, pdf, spoken
from loopwright.sheet.document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Gap,
    Heading,
    Listing,
    Paragraph,
    Picture,
    Table,
    Written,
)
from tests.unit.sheet.sample_sheet import I1, SAMPLE, drawing, one

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
