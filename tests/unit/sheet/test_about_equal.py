"""A number shown shorter than it is stands after ≈ in every form of output, and its exact value goes on."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.amounts import joint, shortened
from loopwright.expressions.nodes import Number, Product, Symbol
from loopwright.expressions.writers import latex
from loopwright.sheet import html, markdown, spoken
from loopwright.sheet import latex as latex_form
from loopwright.sheet.document import DisplayedLine, Document

THIRD = shortened(Fraction(1, 3), 3)
SIDES = (Symbol("I1"), Product((Number(Fraction(2)), Number(Fraction(1, 6)))), THIRD)


def test_only_a_number_shown_shorter_is_about_equal() -> None:
    assert DisplayedLine(SIDES).relations == ("=", "≈")
    assert joint(Symbol("I1"), shortened(Fraction(3, 4), 3)) == "="
    assert Number(Fraction(1, 3), "", "0.333") == THIRD


@pytest.mark.parametrize(
    ("write", "sign"),
    [
        (html.write, ">≈<"),
        (markdown.write, r"\approx"),
        (latex_form.write, r"\approx"),
        (spoken.write, "is about"),
    ],
)
def test_every_form_says_so_once(write: object, sign: str) -> None:
    assert callable(write)
    page = str(write(Document("Thirds", (DisplayedLine(SIDES),))))
    exact = str(write(Document("Thirds", (DisplayedLine(SIDES[:2]),))))
    assert sign in page
    assert sign not in exact


def test_a_fraction_after_a_number_is_no_mixed_number() -> None:
    assert r"\times" in latex.render(Product((Number(Fraction(11)), Number(Fraction(108, 439)))))


def test_a_number_is_shown_with_all_its_figures_before_the_point() -> None:
    assert shortened(Fraction(4985, 4), 2) == Number(Fraction(4985, 4), "", "1246")
