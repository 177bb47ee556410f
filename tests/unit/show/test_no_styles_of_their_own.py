"""No HTML or SVG that we write has a style attribute, which a strict content policy would not let through.

Source: Content Security Policy Level 3 (W3C), `style-src`: without 'unsafe-inline' a style element may pass
by its hash; a style attribute may not.
"""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest

from loopwright.figure.figure import draw
from loopwright.figure.svg import svg
from loopwright.sheet.build import sheet
from loopwright.sheet.forms import HTML
from loopwright.sheet.marked import marked
from loopwright.show.slip_report import TABLE_FORMS
from loopwright.slips.slip_table import slip_table
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of
from tests.unit.sheet.sample_sheet import SAMPLE
from tests.unit.show.test_results import MARK, RESULTS, WRONG
from tests.wide_circuits import complete

NUMBERS = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
FORMS: dict[str, Callable[[], str]] = {
    "page of every block": lambda: HTML.write(SAMPLE),
    "sheet": lambda: sheet(NUMBERS).html(),
    "sheet by named quantities": lambda: sheet(circuit_of(complete(5))).html(),
    "marked working": lambda: HTML.write(marked(WRONG, MARK)),
    "figure": lambda: svg(draw(NUMBERS), "Figure", "words"),
    "table of slips": lambda: TABLE_FORMS["md"](slip_table(NUMBERS), ()),
    "sheet in Markdown": lambda: sheet(NUMBERS).markdown(),
    **{f"{name} in a notebook": result._repr_html_ for name, result in RESULTS.items()},
}


def own_styles(page: str) -> list[str]:
    """The tags with a style attribute."""
    return [tag for tag in re.findall(r"<[a-zA-Z][^>]*>", page) if re.search(r"[\s\"'/]style\s*=", tag)]


@pytest.mark.parametrize("form", FORMS)
def test_no_element_has_a_style_of_its_own(form: str) -> None:
    assert own_styles(FORMS[form]()) == []


@pytest.mark.parametrize("form", FORMS)
def test_one_hash_allows_all_styles_of_a_form(form: str) -> None:
    assert FORMS[form]().count("<style") == (form not in {"figure", "table of slips", "sheet in Markdown"})


@pytest.mark.parametrize("tag", ["<td style='a:b'>", '<p\nstyle = "a:b">', '<p class="x"style=a>'])
def test_a_style_attribute_would_be_seen(tag: str) -> None:
    assert own_styles(f"<p>{tag}</p>") == [tag]


@pytest.mark.parametrize("tag", ['<text font-style="italic">', "<style>", '<div class="style">'])
def test_what_is_no_style_attribute_is_let_through(tag: str) -> None:
    assert own_styles(tag) == []
