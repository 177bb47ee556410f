"""The PDF writer: tagged, without a clock, words and figures in their place."""

from __future__ import annotations

import re
import shutil
import subprocess

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.sheet import pdf
from loopwright.sheet.document import Block, Document, Paragraph, Table
from tests.unit.sheet.sample_sheet import HOSTILE_WORDS, SAMPLE, hostile

with_poppler = pytest.mark.skipif(
    shutil.which("pdftotext") is None, reason="poppler's programs are not installed"
)


@pytest.fixture(scope="module")
def page() -> bytes:
    return pdf.write(SAMPLE)


def seen(program: list[str], page: bytes) -> str:
    return subprocess.run([*program, "-", "-"], input=page, capture_output=True, check=True).stdout.decode()


def test_two_runs_give_the_same_bytes(page: bytes) -> None:
    assert page.startswith(b"%PDF-1.7")
    assert pdf.write(SAMPLE) == page


def test_no_date_is_written(page: bytes) -> None:
    assert b"CreationDate" not in page
    assert b"ModDate" not in page


def test_the_file_claims_the_standard_for_accessible_pdf(page: bytes) -> None:
    """ISO 14289-1 (PDF/UA-1): the metadata carry the part, and the structure is tagged."""
    assert b"pdfuaid" in page
    assert b"/MarkInfo" in page


@with_poppler
def test_words_of_every_block_are_found(page: bytes) -> None:
    text = seen(["pdftotext", "-layout"], page)
    for words in (
        "Charge or help",
        "Junction bus",
        "one loop is left",
        "Node potentials",
        "CAUTION",
        "(12)",
    ):
        assert words in text
    assert re.search(r"\b1\s*/\s*\d\b", text)


@with_poppler
def test_hostile_words_are_set_and_do_not_act() -> None:
    text = " ".join(seen(["pdftotext", "-layout"], pdf.write(hostile())).split())
    assert text.count("#let & \\input{x} _a_ *b* `c` {d} %e ^f ~g [h](i)") >= 4


def test_hostile_words_stand_in_string_literals_alone() -> None:
    source = pdf.typst_source(hostile())
    literal = pdf.quoted(HOSTILE_WORDS)
    outside = re.sub(r'"(?:[^"\\]|\\.)*"', "", source.replace(literal, ""))
    assert source.count(literal) >= 8
    assert "alert" not in outside


@pytest.mark.parametrize("words", ['a "b" c', "back\\slash", "two\nlines", 'end\\"'])
def test_a_string_literal_ends_where_it_should(words: str) -> None:
    literal = pdf.quoted(words)
    assert re.fullmatch(r'"(?:[^"\\\n]|\\.)*"', literal)


def test_every_expression_has_words_for_those_who_cannot_see_it() -> None:
    source = pdf.typst_source(SAMPLE)
    assert not re.findall(r'#(?:maths|tall)\(\$[^$]*\$, ""\)', source)
    assert "over" in source


@with_poppler
@pytest.mark.parametrize("lines", [31, 33, 35, 37])
def test_a_short_table_stays_on_one_page_with_the_words_that_lead_to_it(lines: int) -> None:
    before = [Paragraph((f"Line {n}.",)) for n in range(lines)]
    rows = tuple(((f"Row {n}",), ("held",)) for n in range(6))
    blocks: tuple[Block, ...] = (
        *before,
        Paragraph(("It leads on:",)),
        Table("Held", (("What",), ("How",)), rows),
    )
    text = seen(["pdftotext", "-layout"], pdf.write(Document("A page", blocks)))
    held = [page for page in text.split("\f") if "Row " in page]
    assert len(held) == 1
    assert "It leads on:" in held[0]


def test_a_space_that_must_not_break_stays_one() -> None:
    assert pdf.quoted("from −\u00a0to\u00a0+\n") == '"from −\u00a0to\u00a0+ "'


def test_a_script_that_the_fonts_lack_is_told_in_words() -> None:
    for words in ("Müller, Лодка, Ναύτης", "דנה", "علی\u200cزاده"):
        assert pdf.write(Document("Harbour", (Paragraph((words,)),))).startswith(b"%PDF")
    with pytest.raises(FaultyMaterial, match="A PDF cannot show 张") as trouble:
        pdf.write(Document("Harbour", (Paragraph(("张伟",)),)))
    assert trouble.value.findings[0].code == "sheet/no-letter"
