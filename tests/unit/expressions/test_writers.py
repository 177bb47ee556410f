"""What notation decides, and how each writer sets it.

ISO 80000-1 (from memory): quantities italic, units and descriptive subscripts upright, a space before
the unit. Thin spaces between factors and square brackets round round ones: common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction
from xml.etree import ElementTree

import pytest

from loopwright.expressions.heard import NotHeard, heard, speak
from loopwright.expressions.nodes import (
    ZERO,
    Determinant,
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
from loopwright.expressions.notation import (
    Bracketed,
    Call,
    Chain,
    Factors,
    Figure,
    Name,
    Sign,
    Signed,
    Style,
    notation,
    split_name,
)
from loopwright.expressions.parse import equation, expression
from loopwright.expressions.writers import latex, mathml, plain, typst

EMF = {"E1": "emf"}


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("R", ("R", "", 0)),
        ("R12", ("R", "12", 0)),
        ("RAB", ("R", "AB", 0)),
        ("Rx", ("R", "x", 0)),
        ("r2′", ("r", "2", 1)),
        ("V7", ("V", "7", 0)),
        ("ε1", ("ε", "1", 0)),
        ("Rtot", ("R", "tot", 0)),
        ("lamp2", ("lamp", "2", 0)),
    ],
)
def test_a_name_is_a_letter_and_a_subscript(name: str, parts: tuple[str, str, int]) -> None:
    assert split_name(name) == parts


def test_only_an_emf_named_e_is_set_in_script() -> None:
    assert notation(Symbol("E1"), EMF) == Name("E", "1", Style.SCRIPT)
    assert notation(Symbol("E1")) == Name("E", "1")
    assert notation(Symbol("V7"), {"V7": "emf"}) == Name("V", "7")


def test_points_of_one_letter_are_a_subscript() -> None:
    assert notation(Symbol("V(a, b)")) == Call("V", ("a", "b"), joined=True)
    assert notation(Symbol("V(top, b)")) == Call("V", ("top", "b"))
    assert notation(Symbol("P(R1)")) == Call("P", of=Name("R", "1"))


def test_a_minus_is_a_sign_of_a_number_or_an_operation() -> None:
    assert notation(expression("-2")) == Signed(Figure("2"), of_number=True)
    assert notation(expression("-a")) == Signed(Name("a"))
    assert notation(expression("a - b")) == Chain((Name("a"), Name("b")), (Sign.MINUS,))
    assert notation(Number(Fraction(-2))) == notation(expression("-2"))


def test_a_multiplication_sign_stands_where_factors_would_run_together() -> None:
    assert plain.render(expression("2·3 R")) == "2 × 3 R"
    assert plain.render(Product((Number(Fraction(2)), Symbol("V")))) == "2 × V"  # not two volts
    assert plain.render(expression("2·R1·V")) == "2 R1 V"


def test_brackets_grow_from_round_to_square() -> None:
    inner = Bracketed(Chain((Name("b"), Name("c")), (Sign.PLUS,)))
    outer = Bracketed(Chain((Name("a"), Factors((Figure("2"), inner), (False,))), (Sign.PLUS,)), depth=1)
    assert notation(expression("a (a + 2 (b + c))")) == Factors((Name("a"), outer), (False,))


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("E1*R2/(R1*(R2+Rh)+R2*Rh)", "E1 R2/(R1 (R2 + Rh) + R2 Rh)"),
        ("(a/b) c", "(a/b) c"),
        ("a/(b/c)", "a/(b/c)"),
        ("a/b/c", "(a/b)/c"),
        ("a/(b c)", "a/(b c)"),
        ("(a + b)/c", "(a + b)/c"),
        ("-(a + b)^2", "−(a + b)²"),
        ("a - (b - c)", "a − (b − c)"),
        ("a - -b", "a − (−b)"),
        ("a (b c)", "a (b c)"),
        ("(a || b) c", "(a ∥ b) c"),
        ("(2 A)^2 (3 ohm)", "(2 A)² (3 Ω)"),
        ("12 V/(6 ohm)", "12 V/(6 Ω)"),
        ("1/6 ohm", "1/6 Ω"),
        ("4k70", "4.70 kΩ"),
        ("1.5e-20 A", "1.5 × 10^-20 A"),
        ("V(a,b) + R_1'", "V(a, b) + R1′"),
    ],
)
def test_plain_text_puts_a_formula_on_one_line(written: str, shown: str) -> None:
    assert plain.render(expression(written)) == shown


def test_a_number_without_text_is_shown_exactly_in_its_unit() -> None:
    assert plain.render(Number(Fraction(4700), "kΩ")) == "4.7 kΩ"
    assert plain.render(Number(Fraction(1, 6000), "mA")) == "1/6 mA"
    assert plain.render(Equation(Symbol("I"), Number(Fraction(2), "A", "2.00"), "≈")) == "I ≈ 2.00 A"


def test_mathml_sets_letters_italic_and_labels_upright() -> None:
    assert mathml.render(Symbol("R12")) == "<math><msub><mi>R</mi><mn>12</mn></msub></math>"
    assert "<mi>ℰ</mi><mn>1</mn>" in mathml.render(Symbol("E1"), EMF)
    assert '<mi mathvariant="normal">V</mi>' in mathml.render(expression("9 V"))
    assert "<mi>kΩ</mi>" in mathml.render(expression("9 kohm"))
    assert mathml.render(Symbol("R"), block=True) == '<math display="block"><mi>R</mi></math>'


def test_mathml_tells_a_sign_from_an_operation() -> None:
    both = ElementTree.fromstring(mathml.render(expression("-a - b")))
    assert [mo.get("form") for mo in both.iter("mo")] == ["prefix", "infix"]


def test_latex_and_typst_set_the_same_formula() -> None:
    formula = equation("I1 = -E1/(R1 + 2 Rx)")
    assert latex.render(formula, EMF) == (r"I_{1} = -\frac{\mathcal{E}_{1}}{R_{1} + 2 \, R_{\mathrm{x}}}")
    assert typst.render(formula, EMF) == 'I_(1) = -frac(cal(E)_(1), R_(1) + 2 thin R_(upright("x")))'


@pytest.mark.parametrize("sign", ["<", "&", '"', "\\", "$", "#", "%", "{"])
def test_no_name_acts_as_markup(sign: str) -> None:
    strange = Symbol(f"R{sign}x")
    found = ElementTree.fromstring(mathml.render(strange))
    assert "".join(found.itertext()) == f"R{sign}x"
    shown = typst.render(strange)
    assert shown.startswith('R_(upright("')
    assert shown.endswith('x"))')


def test_a_value_at_the_end_has_the_sign_of_infinity_for_an_index() -> None:
    assert latex.render(Symbol("V∞")) == r"V_{\infty}"


@pytest.mark.parametrize(
    ("sign", "command"), [("\\", r"\textbackslash{}"), ("$", r"\$"), ("#", r"\#"), ("%", r"\%"), ("&", r"\&")]
)
def test_signs_that_latex_acts_on_are_written_by_command(sign: str, command: str) -> None:
    assert latex.render(Symbol(f"R{sign}x")) == rf"R_{{\mathrm{{\text{{{command}}}x}}}}"


def test_every_kind_of_node_is_known_to_every_writer() -> None:
    a, two = Symbol("a"), Number(Fraction(2))
    every: list[Expr] = [
        two,
        a,
        Sum((a, two)),
        Product((two, a)),
        Negative(a),
        Quotient(a, two),
        Power(a, 2),
        Parallel((a, two)),
    ]
    for node in every:
        for written in (plain.render(node), mathml.render(node), latex.render(node), typst.render(node)):
            assert "a" in written or node == two


def test_an_unknown_relation_is_refused() -> None:
    with pytest.raises(ValueError, match="~"):
        notation(Equation(Symbol("a"), Symbol("b"), "~"))


GRID = Determinant(((Sum((Symbol("R1"), Symbol("R3"))), Negative(Symbol("R3"))), (ZERO, Symbol("E"))))


def test_a_determinant_stands_between_two_upright_lines() -> None:
    assert latex.render(GRID) == r"\begin{vmatrix} R_{1} + R_{3} & -R_{3} \\ 0 & E \end{vmatrix}"
    assert plain.render(GRID) == "det(R1 + R3, −R3; 0, E)"
    assert mathml.render(GRID).count("<mtd>") == 4
    assert typst.render(GRID).startswith('mat(delim: "|"')


def test_a_determinant_is_said_row_by_row_and_heard_back() -> None:
    said = speak(GRID)
    assert said.startswith("the determinant with row R sub one plus R sub three, next minus R sub three")
    assert heard(said) == GRID


def test_a_determinant_with_a_row_too_short_is_not_heard() -> None:
    with pytest.raises(NotHeard, match="as many rows as entries"):
        heard("the determinant with row R sub one, next R sub two; end determinant")


def test_a_voltage_says_what_is_taken_out_and_nothing_where_nothing_is() -> None:
    assert "without" not in mathml.render(Symbol("V(b, c)"))
    assert "without" in mathml.render(Symbol("V(b, c) without R5"))
