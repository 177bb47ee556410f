"""The HTML writer: one well-formed file, nothing from outside, readable by everyone."""

from __future__ import annotations

import re
from html.parser import HTMLParser
from xml.etree import ElementTree

import pytest

from loopwright.expressions.nodes import Equation, Negative
from loopwright.figure.drawing import Drawing
from loopwright.sheet import html
from loopwright.sheet.document import DisplayedLine, Document, Heading, Paragraph, Picture, Table
from loopwright.sheet.width import width_of
from tests.unit.sheet.sample_sheet import (
    E1,
    HOSTILE_WORDS,
    I1,
    I2,
    LONG_SUM,
    R1,
    SAMPLE,
    D,
    hostile,
    one,
    plus,
)

VOID = {"meta", "br", "hr", "img", "link", "input"}


class Reading(HTMLParser):
    """What a browser would make of the page: elements with attributes, text, unbalanced tags."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.text = ""
        self.unbalanced: list[str] = []
        self.feed(page)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))
        if tag not in VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.elements.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        if not self.open or self.open.pop() != tag:
            self.unbalanced.append(tag)

    def handle_data(self, data: str) -> None:
        if "style" not in self.open:
            self.text += data

    def tags(self) -> list[str]:
        return [tag for tag, _ in self.elements]

    def values(self, attribute: str) -> list[str]:
        return [value for _, attrs in self.elements if (value := attrs.get(attribute))]


@pytest.fixture(scope="module")
def page() -> str:
    return html.write(SAMPLE)


@pytest.mark.parametrize("document", [SAMPLE, hostile()], ids=["sample", "hostile"])
def test_every_element_is_closed_in_turn(document: Document) -> None:
    reading = Reading(html.write(document))
    assert (reading.unbalanced, reading.open) == ([], [])


@pytest.mark.parametrize("name", ["math", "svg"])
def test_maths_and_figure_are_well_formed_xml(page: str, name: str) -> None:
    found = re.findall(rf"<{name}\b.*?</{name}>", page, re.DOTALL)
    assert found
    for markup in found:
        ElementTree.fromstring(markup)


def test_hostile_words_are_shown_and_do_not_act() -> None:
    reading = Reading(html.write(hostile()))
    assert "script" not in reading.tags()
    assert reading.text.count(HOSTILE_WORDS) >= 8


def test_nothing_is_fetched_from_elsewhere(page: str) -> None:
    without_namespaces = re.sub(r'xmlns(:\w+)?="[^"]*"', "", page)
    assert not re.search(
        r"https?:|//\w|url\((?!#)|@import|<script|<link|<iframe|srcset|\bsrc=", without_namespaces
    )


def test_names_are_unique_and_every_reference_leads_somewhere(page: str) -> None:
    reading = Reading(page)
    names = reading.values("id")
    assert len(names) == len(set(names))
    led = [link.removeprefix("#") for link in reading.values("href")]
    told = [name for attribute in ("aria-labelledby", "aria-describedby") for v in reading.values(attribute)
            for name in v.split()]  # fmt: skip
    assert led
    assert told
    assert set(led + told) <= set(names)


def test_a_number_in_brackets_leads_to_its_line_and_only_there() -> None:
    page = html.write(one(DisplayedLine((I1, I2), 1), Paragraph(("See (1), not (2).",))))
    assert '<a href="#line-1">(1)</a>, not (2).' in page


def test_the_language_is_told(page: str) -> None:
    assert '<html lang="en-GB">' in page


def test_headings_are_one_title_and_sections_below(page: str) -> None:
    tags = [tag for tag in Reading(page).tags() if re.fullmatch("h[1-6]", tag)]
    before, part = (s.blocks for s in SAMPLE.stretches)
    sections = [sum(isinstance(b, Heading) for b in blocks) for blocks in (before, part)]
    assert tags == ["h1", *["h2"] * sections[0], "h2", *["h3"] * sections[1]]


def test_every_table_has_heads_for_columns_and_rows(page: str) -> None:
    scopes = Reading(page).values("scope")
    tables = [block for block in SAMPLE.blocks if isinstance(block, Table)]
    assert scopes.count("col") == sum(len(table.head) for table in tables)
    assert scopes.count("row") == sum(len(table.rows) for table in tables)


def test_the_figure_has_its_alternative_for_everybody(page: str) -> None:
    figure = re.search(r"<figure.*?</figure>", page, re.DOTALL)
    assert figure
    assert 'role="img"' in figure[0]
    words = re.search(r"<details>.*</details>", figure[0], re.DOTALL)
    assert words
    assert "Branch Ih runs from bus to rail through Rh." in words[0]


def test_a_result_and_a_caution_are_named_in_words_not_by_looks_alone(page: str) -> None:
    results = sum(isinstance(block, DisplayedLine) and block.result for block in SAMPLE.blocks)
    assert page.count("Result: ") == results
    assert "<strong>Caution</strong>" in page


def test_a_long_sum_breaks_between_its_terms() -> None:
    page = html.write(one(DisplayedLine((I1, LONG_SUM))))
    assert page.count("<math") == 1 + len(LONG_SUM.terms)
    assert html.write(one(DisplayedLine((I1, D)))).count("<math") == 1


def test_the_sign_of_a_term_goes_with_it_to_the_next_line() -> None:
    """A wide sum broken between its terms keeps every plus and every minus."""
    turned = plus(*(term if at % 2 else Negative(term) for at, term in enumerate(LONG_SUM.terms[:-1])))
    page = html.write(one(DisplayedLine((I1, turned))))
    pieces = ["".join(ElementTree.fromstring(m).itertext()) for m in re.findall(r"<math.*?</math>", page)]
    assert "".join(piece[0] for piece in pieces) == "I=" + "+−" * (len(turned.terms) // 2)


def test_a_wide_line_can_be_reached_by_keyboard_and_a_short_one_is_no_stop() -> None:
    assert 'tabindex="0" role="group" aria-label="Equation 3"' in html.write(
        one(DisplayedLine((I1, LONG_SUM), 3))
    )
    assert "tabindex" not in html.write(one(DisplayedLine((E1, R1), 3)))


@pytest.mark.parametrize(("width", "stops"), [(60, 0), (140, 1)])
def test_a_drawing_wider_than_a_narrow_screen_can_be_reached_by_keyboard(width: int, stops: int) -> None:
    page = html.write(one(Picture(Drawing(width, 40, ()), "Nothing is drawn.")))
    assert page.count('<div class="drawing" tabindex="0"') == stops


def test_the_same_document_gives_the_same_page() -> None:
    assert html.write(SAMPLE) == html.write(SAMPLE)


def luminance(colour: str) -> float:
    """WCAG 2.2, definition of relative luminance (https://www.w3.org/TR/WCAG22/#dfn-relative-luminance)."""
    digits = colour if len(colour) == 6 else "".join(2 * c for c in colour)
    parts = [int(digits[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("ink", ["ink", "quiet", "link"])
def test_every_ink_has_enough_contrast_on_every_ground(ink: str) -> None:
    """At least 4.5 : 1, WCAG 2.2 success criterion 1.4.3."""
    colours = dict(re.findall(r"--(\w+): #([0-9a-f]{3,6})", html.STYLE.split("}")[0]))
    for ground in ("ffffff", colours["wash"], "fdf3c4"):
        lighter, darker = sorted((luminance(ground), luminance(colours[ink])), reverse=True)
        assert (lighter + 0.05) / (darker + 0.05) >= 4.5


def test_every_width_that_an_element_asks_for_has_its_rule() -> None:
    page = html.write(SAMPLE)
    asked = re.findall(r'<(div|figure) class="(?:formula |room )?(width-[\d-]+)"', page)
    rules = dict(re.findall(r"^\.(width-[\d-]+) \{ --width: ([\d.]+); \}$", page, re.MULTILINE))
    assert {tag for tag, _ in asked} == {"div", "figure"}
    assert rules == {name: name[len("width-") :].replace("-", ".") for _, name in asked}


def test_a_formula_asks_for_its_own_width() -> None:
    page = html.write(one(DisplayedLine((I1, R1))))
    assert f"--width: {width_of(Equation(I1, R1)):.1f};" in page


def test_every_property_that_the_style_reads_is_set_somewhere() -> None:
    style = re.findall(r"<style>(.*?)</style>", html.write(SAMPLE), re.DOTALL)[0]
    assert set(re.findall(r"var\((--[\w-]+)", style)) == set(re.findall(r"(--[\w-]+):", style))


def test_a_head_with_a_formula_has_words_to_be_called_by_and_one_of_words_alone_has_none() -> None:
    page = html.write(one(Table("T", (("Quantity",), (I1,)), (((R1,), ("1",)),))))
    assert '<th scope="col">Quantity</th>' in page
    assert '<th scope="col"><span class="unseen">I sub one</span>' in page
