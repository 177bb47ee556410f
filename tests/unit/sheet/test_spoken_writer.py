"""The spoken writer: one sentence a line, and no sign that a reader would stumble over."""

from __future__ import annotations

import re
import unicodedata

import pytest

from loopwright.errors import BrokenPromise
from loopwright.expressions.nodes import Equation
from loopwright.sheet import spoken
from loopwright.sheet.document import DisplayedLine, Document, Paragraph, Table
from tests.unit.sheet.sample_sheet import I1, I2, I3, SAMPLE, hostile, one


@pytest.mark.parametrize("document", [SAMPLE, hostile()], ids=["sample", "hostile"])
def test_only_letters_digits_and_plain_marks_are_left(document: Document) -> None:
    left = {
        c
        for c in spoken.write(document)
        if not (unicodedata.category(c)[0] == "L" or c in "0123456789 .,:;?!'-\n")
    }
    assert left == set()


def test_every_line_is_one_sentence() -> None:
    lines = [line for line in spoken.write(SAMPLE).splitlines() if line]
    assert all(re.match(r"[A-Z].*[.?!:]$", line) for line in lines)
    assert not any(re.search(r"[.?!] [A-Z]", line) for line in lines)


def test_a_line_is_called_by_its_number_in_words() -> None:
    text = spoken.write(one(DisplayedLine((I1, I2), 21, ("Put (3) into (21).",))))
    assert "\nEquation twenty-one: " in text
    assert "Put , 3, into equation twenty-one" not in text
    assert "into equation twenty-one." in text


def test_a_result_is_called_one() -> None:
    assert "\nResult, equation two: " in spoken.write(one(DisplayedLine((I1, I2), 2, result=True)))


def test_a_chain_of_sides_is_told_side_by_side() -> None:
    told = spoken.write(one(DisplayedLine((I1, I2, I3), 1)))
    assert told.count("equals") == 2


def test_rows_of_a_table_are_told_with_their_heads() -> None:
    table = Table(
        "Ledger", (("Check",), ("Result",)), ((("Outer loop",), ("holds",)), (("Power",), ("agrees",)))
    )
    text = spoken.write(one(table))
    assert "Table: Ledger, two rows.\nRow one; Check: Outer loop; Result: holds.\nRow two;" in text


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("a current of 2 parts in 10⁹ is left", "2 parts in 10 to the power 9 is left"),
        ("rise + drop = 0", "Rise plus drop equals 0"),
        ("nothing (or little) flows.", "Nothing, or little, flows."),
        ("loop rail → bus by E1, 4.7 kΩ", "Loop rail to bus by e m f sub one, four point seven kilo-ohms"),
        ("50 % of it", "50 per cent of it"),
        ("a ☃ melts", "A snowman melts"),
    ],
)
def test_signs_among_words_are_said(words: str, told: str) -> None:
    assert told in spoken.write(one(Paragraph((words,))))


def test_a_quantity_named_among_words_is_said_as_in_an_equation() -> None:
    named, written = (spoken.write(one(Paragraph(("Through ", name, " it flows.")))) for name in ("R1", I1))
    assert "R1" not in named
    assert "I1" not in written


def test_an_expression_that_would_be_heard_wrongly_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    def mumble(item: object, roles: object) -> str:
        raise BrokenPromise("heard as something else")

    monkeypatch.setattr(spoken, "speak", mumble)
    with pytest.raises(BrokenPromise, match="heard as something else"):
        spoken.write(one(Paragraph((Equation(I1, I2),))))


@pytest.mark.parametrize(
    ("number", "words"),
    [(0, "zero"), (13, "thirteen"), (40, "forty"), (99, "ninety-nine"), (100, "one hundred"),
     (314, "three hundred and fourteen"), (1000, "1000")],
)  # fmt: skip
def test_numbers_of_lines_are_said_in_words(number: int, words: str) -> None:
    assert spoken.cardinal(number) == words
