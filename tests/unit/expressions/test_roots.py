"""Square roots in every notation: a lid over what stands under it, said to its end, read back where asked."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.algebra.ratios import Field
from loopwright.algebra.surds import Surd, without_squares
from loopwright.algebra.surds import root as square_root
from loopwright.expressions.heard import heard, speak
from loopwright.expressions.nodes import Expr, Number, Symbol, numbers_in, put, root, written_symbols
from loopwright.expressions.parse import Unreadable, expression
from loopwright.expressions.surd_form import surd_form
from loopwright.expressions.writers import latex, mathml, plain, typst
from loopwright.problem.problem_file import read_text

SAMPLES = [
    "√5",
    "√R1",
    "R (1 + √5)/2",
    "(√(R1 (R1 + 4 R2)) − R1)/2",
    "2 √(a/b)",
    "(√R)²",
    "1/√(a + b)",
    "−√a",
]


def rooted(text: str) -> Expr:
    return expression(text, roots=True)


@pytest.mark.parametrize("text", SAMPLES)
def test_plain_text_with_a_root_is_read_back(text: str) -> None:
    assert plain.render(rooted(text)) == text


@pytest.mark.parametrize("text", SAMPLES)
def test_spoken_roots_are_heard_back(text: str) -> None:
    assert heard(speak(rooted(text))) == rooted(text)


def test_each_writer_sets_a_lid_over_the_body() -> None:
    lid = rooted("√(a b)")
    assert latex.render(lid) == r"\sqrt{a \, b}"
    assert typst.render(lid) == "sqrt(a thin b)"
    assert mathml.render(lid).startswith("<math><msqrt><mrow><mi>a</mi>")
    assert speak(lid) == "the square root of small a times small b, end root"


def test_a_root_counts_moves_and_shows_what_stands_under_it() -> None:
    lid = rooted("√(a + 2)")
    assert written_symbols(lid) == 2
    assert put(lid, {"a": Symbol("b")}) == root(rooted("b + 2"))
    assert list(numbers_in(lid)) == [Number(Fraction(2))]


@pytest.mark.parametrize("text", ["√R", "2 √5 R"])
def test_values_of_elements_hold_no_roots(text: str) -> None:
    with pytest.raises(Unreadable, match="no square root"):
        expression(text)
    _, findings = read_text(f'[branches]\nI1 = "a, +E1, R1, a"\n[elements]\nR1 = "{text}"\n')
    assert [finding.code for finding in findings] == ["file/unreadable-value"]


@pytest.mark.parametrize("text", ["√", "√√2", "√+2", "2/√"])
def test_a_root_of_nothing_is_refused(text: str) -> None:
    with pytest.raises(Unreadable):
        rooted(text)


FIELD = Field(("a", "b"))
A, B = FIELD.symbol("a"), FIELD.symbol("b")


@pytest.mark.parametrize(
    ("surd", "shown"),
    [
        (Surd(A / 2, FIELD.one / 2, A * A + A * B * 4), "(a + √(a (a + 4 b)))/2"),
        (Surd(-A / 2, FIELD.one / 2, B), "(√b − a)/2"),
        (Surd(A, A, FIELD.number(3)), "a (1 + √3)"),
        (Surd(FIELD.zero, A / B, FIELD.number(2)), "a √2/b"),
        (Surd(A, -FIELD.one, B), "a − √b"),
        (Surd(A / B, FIELD.zero, FIELD.one), "a/b"),
        (Surd(A / 3, B / 2, FIELD.number(5)), "(2 a + 3 b √5)/6"),
    ],
)
def test_a_surd_is_written_in_few_symbols(surd: Surd, shown: str) -> None:
    assert plain.render(surd_form(surd)) == shown


def test_surds_multiply_by_the_square_of_their_root() -> None:
    one = Surd(A, FIELD.one, B)
    assert one * one.conjugate() == Surd(A * A - B, FIELD.zero, B)
    assert not one + Surd(-A, -FIELD.one, B)


def test_squares_come_out_from_under_the_root_only_where_they_are_positive() -> None:
    assert without_squares((A + B) ** 2 * B * 12) == ((A + B) * 2, B * 3)
    assert without_squares((A - B) ** 2) == (FIELD.one, (A - B) ** 2)


def test_a_root_is_worked_to_forty_figures_and_exactly_where_it_is_one() -> None:
    assert square_root(Fraction(9, 16)) == Fraction(3, 4)
    assert abs(square_root(Fraction(2)) ** 2 - 2) < Fraction(1, 10**39)
