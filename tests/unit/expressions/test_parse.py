"""Written algebra is read into the tree as it stands, or refused at its place with a plain reason."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
)
from loopwright.expressions.parse import Unreadable, equation, expression
from loopwright.expressions.tokens import canonical_name

A, B, C, E, R, R1, R2, R3 = map(Symbol, ("a", "b", "c", "E", "R", "R1", "R2", "R3"))
TWO = Number(Fraction(2))


@pytest.mark.parametrize(
    ("text", "tree"),
    [
        ("2 R", Product((TWO, R))),
        ("2R", Product((TWO, R))),  # twice R, not a letter code
        ("2R3", Product((TWO, R3))),
        ("2E1", Product((TWO, Symbol("E1")))),  # twice an emf, not a power of ten
        ("R1*R2·R3", Product((R1, R2, R3))),
        ("R1 × R2 R3", Product((R1, R2, R3))),
        ("R1 (R2 + R3) + R2 R3", Sum((Product((R1, Sum((R2, R3)))), Product((R2, R3))))),
        ("a/b c", Product((Quotient(A, B), C))),
        ("a/b/c", Quotient(Quotient(A, B), C)),
        ("a b/c", Quotient(Product((A, B)), C)),
        ("E/(2 R)", Quotient(E, Product((TWO, R)))),
        ("R1^2 R2", Product((Power(R1, 2), R2))),
        ("R_1²", Power(R1, 2)),
        ("R_{1} + R₁", Sum((R1, R1))),
        ("−a - b", Sum((Negative(A), Negative(B)))),
        ("-a/b", Negative(Quotient(A, B))),
        ("a·−b", Product((A, Negative(B)))),
        ("R1 ∥ R2 + R", Sum((Parallel((R1, R2)), R))),
        ("R1 || R2 // R3", Parallel((R1, R2, R3))),
        ("2 R ∥ R1", Parallel((Product((TWO, R)), R1))),
        ("[a + {b}]", Sum((A, B))),
        ("V(a,b)", Symbol("V(a, b)")),
        ("2 V(a, b)", Product((TWO, Symbol("V(a, b)")))),  # not two volts
        ("P(R_1) + R( top , n_2 )", Sum((Symbol("P(R1)"), Symbol("R(top, n_2)")))),
        ("P(R_{1}) + P(R_1)", Sum((Symbol("P(R1)"), Symbol("P(R1)")))),
        ("R (a + b)", Product((R, Sum((A, B))))),
        ("r'", Symbol("r′")),
    ],
)
def test_an_expression_is_read_as_written(text: str, tree: Expr) -> None:
    assert expression(text) == tree


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("9.00 V", Number(Fraction(9), "V", "9.00")),
        ("4.7 kohm", Number(Fraction(4700), "kΩ")),
        ("4k7", Number(Fraction(4700), "kΩ")),
        ("1/6 Ω", Number(Fraction(1, 6), "Ω")),
        ("1.5e-3 A", Number(Fraction(3, 2000), "A", "1.5e-3")),
        ("1.5 × 10⁻³ A", Number(Fraction(3, 2000), "A", "1.5e-3")),
        ("84 Ω²", Number(Fraction(84), "Ω²")),
        ("5 kΩ^2", Number(Fraction(5_000_000), "kΩ²")),
    ],
)
def test_a_number_keeps_its_unit_and_its_digits(text: str, number: Number) -> None:
    assert expression(text) == number


@pytest.mark.parametrize(
    ("text", "position", "why"),
    [
        ("", 0, "nothing is written"),
        ("R + + )", 4, 'between "+" and "+" something is missing'),
        ("a +", 2, '"+" has nothing after it'),
        ("* a", 0, '"*" has nothing before it'),
        ("a b)", 3, "never opened"),
        ("a (b + c", 2, "never closed"),
        ("(a]", 2, '"]" does not close "("'),
        ("()", 0, "hold nothing"),
        ("a = b", 2, "where one expression is wanted"),
        ("R1 2", 3, "a number follows without a sign"),
        ("a^b", 2, "an exponent is a whole number"),
        ("a^99", 2, "between 1 and 20"),
        ("a^2^2", 3, "use brackets"),
        ("(a^5)^5", 6, "powers of powers"),
        ("4,7 R", 1, "decimals have a point"),
        ("1.2.3", 3, "two decimal points"),
        ("2e1", 0, "two ways"),
        ("2E-3", 0, "two ways"),
        ("3 + Ω", 4, "stands after a number"),
        ("R%", 1, 'the sign "%" is not understood'),
        ("_a", 0, "begins with a letter"),
        ("1e-31", 0, "goes beyond 30"),
    ],
)
def test_what_cannot_be_read_is_refused_at_its_place(text: str, position: int, why: str) -> None:
    with pytest.raises(Unreadable) as refused:
        expression(text)
    assert refused.value.position == position
    assert why in refused.value.why


@pytest.mark.parametrize(
    "text",
    [
        "(" * 100_000,
        "(" * 9_000 + "a" + ")" * 9_000,
        "-" * 10_000 + "a",
        "a/" * 9_000 + "a",
        "9" * 20_000,
        "1/" + "9" * 10_000 + " V",
        "a" * 20_000,
        "a^" + "9" * 10_000,
        "a" + "²" * 10_000,
        "a" + "^2" * 9_000,
        "4k" + "7" * 10_000,
        "1 × 10^" + "9" * 10_000,
    ],
    ids=lambda text: text[:6],
)
def test_hostile_input_is_refused_and_not_followed(text: str) -> None:
    with pytest.raises(Unreadable):
        expression(text, {"a", "aa"})


def test_long_honest_input_is_read() -> None:
    long_sum = expression(" + ".join(f"R{n}" for n in range(2000)))
    assert isinstance(long_sum, Sum)
    assert len(long_sum.terms) == 2000


def test_an_equation_has_two_sides() -> None:
    assert equation("I1 = I2 + I3") == Equation(Symbol("I1"), Sum((Symbol("I2"), Symbol("I3"))))
    assert equation("I ≈ 1.50 A").relation == "≈"


@pytest.mark.parametrize(
    ("text", "position", "why"),
    [
        ("a", 1, "not an equation"),
        ("a = b = c", 6, "one equation at a time"),
        ("= b", 0, "nothing before it"),
    ],
)
def test_what_is_no_equation_is_refused(text: str, position: int, why: str) -> None:
    with pytest.raises(Unreadable) as refused:
        equation(text)
    assert refused.value.position == position
    assert why in refused.value.why


def test_known_names_run_together_are_a_product() -> None:
    known = {"R1", "R3", "I1", "V"}
    assert expression("I1R1R3", known) == Product((Symbol("I1"), R1, R3))
    assert expression("I1R9", known) == Symbol("I1R9")
    assert expression("2 V", known) == Product((TWO, Symbol("V")))


def test_names_that_run_together_in_two_ways_are_left_alone() -> None:
    assert expression("abc", {"a", "bc", "ab", "c"}) == Symbol("abc")


def test_the_place_is_shown_under_the_text() -> None:
    with pytest.raises(Unreadable) as refused:
        expression("R1 + % R2")
    assert refused.value.shown() == 'R1 + % R2\n     ^ the sign "%" is not understood here'


def test_names_are_kept_in_one_form() -> None:
    assert {canonical_name(text) for text in ("R_12", "R₁₂", "R_{12}", "R12")} == {"R12"}
