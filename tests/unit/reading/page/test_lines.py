"""A line of a working in each notation that people type is read as what it says."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.nodes import Number, Quotient
from loopwright.expressions.parse import expression
from loopwright.reading.page.lines import working
from loopwright.reading.working import ArrowSaid
from tests.sample_circuits import circuit_of
from tests.unit.reading.reading_samples import CIRCUIT, line_of, relation, says

JUNCTION = "I1 + I2 = I3"
LOOP = "12 − 6 I1 − 9 I3 = 0"
SAME_JUNCTION = [
    "I1 + I2 = I3", "I_1+I_2=I_3", "I₁ + I₂ = I₃", "I_{1} + I_{2} = I_{3}", "i1 + i2 = i3", "i_1 + i_2 = i_3",
    "Junction at top: I1 + I2 = I3", "At a junction, I1 + I2 = I3.", "so I1 + I2 = I3 (junction rule)",
    "- junction: I1 + I2 = I3", "* I1 + I2 = I3", "## Top: I1 + I2 = I3", "**I1 + I2 = I3**",
    "`I1 + I2 = I3`",
    "> I1 + I2 = I3", "$I_1 + I_2 = I_3$", r"\(I_1+I_2=I_3\)", r"\[ I_{1} + I_{2} = I_{3} \]",
    r"I_1 + I_2 &= I_3 \\", r"$\mathrm{I}_1+I_{2}=I_3$", "I<sub>1</sub> + I<sub>2</sub> = I<sub>3</sub>",
    "therefore: I1+I2 == I3", "[I1 + I2 = I3]", "(since I1 + I2 = I3)", "KCL: I1 + I2 = I3",
    "1. I1 + I2 = I3",
    "Loop 2 and junction 1: I1 + I2 = I3", "where I used I1 + I2 = I3", "I\\_1 + I\\_2 = I\\_3",
    "𝐼1 + 𝐼2 = 𝐼3",
]  # fmt: skip
SAME_LOOP = [
    "12 - 6 I1 - 9 I3 = 0", "12 − 6I1 − 9I3 = 0", "12 – 6·I1 – 9·I3 = 0", "12 - 6*I1 - 9*I3 = 0",
    "Loop 1 (clockwise): 12 - 6 I1 - 9 I3 = 0", "Loop 1: 12 - 6(I1) - (9)I3 = 0",
    r"$12 - 6 I_1 - 9 I_3 = 0$", r"12 - 6\cdot I_1 - 9\,I_3 &= 0", r"12 - 6 \times I_1 - 9 \times I_3 = 0",
    "round the left loop we get 12 - 6 I1 - 9 I3 = 0", "Loop 1 – 12 – 6 I1 – 9 I3 = 0",
    "12 - (2·3)I1 - 9 i3 = 0", "eq. 2: 12 - 6I1 - 9I3 = 0", "[12] - 6 I1 - 9 I3 = 0",
]  # fmt: skip


@pytest.mark.parametrize("text", SAME_JUNCTION)
def test_every_notation_of_a_junction_equation_is_the_same_claim(text: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, JUNCTION)


@pytest.mark.parametrize("text", SAME_LOOP)
def test_every_notation_of_a_loop_equation_is_the_same_claim(text: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, LOOP)


def test_a_chain_is_a_claim_for_each_of_its_signs() -> None:
    line = line_of("I3 = 12/R1 = 2.0 A ≈ 2 A")
    assert says(line.claims, "I3 = 12/R1", "12/R1 = 2.0 A", "2.0 A ≈ 2 A")


def test_a_line_that_begins_with_its_sign_goes_on_from_the_line_above() -> None:
    lines = working("I3 = E1/R1\n  = 12/6\n\n  = 2 A", CIRCUIT).lines
    assert [line.number for line in lines] == [1, 2, 4]
    assert says(lines[1].claims, "E1/R1 = 12/6")
    assert says(lines[2].claims, "12/6 = 2 A")


@pytest.mark.parametrize("text", ["I1 = -1 A, I2 = 3 A and I3 = 2 A", "I1=-1A; I2=3A; so I3=2A"])
def test_several_claims_stand_in_one_line(text: str) -> None:
    assert says(line_of(text).claims, "I1 = −1 A", "I2 = 3 A", "I3 = 2 A")


def test_a_claim_knows_its_place_in_the_line() -> None:
    line = line_of(r"so $I_3 = \frac{12}{6}\,\mathrm{A}$ at last")
    (claim,) = line.claims
    assert line.text[claim.start : claim.end] == r"I_3 = \frac{12}{6}\,\mathrm{A}"


@pytest.mark.parametrize(
    "text",
    [
        "We go round the loop from a to b and add all rises.",
        "R = resistance of the lamp",
        "I is the current in a branch",
        "I1 = ?",
        "The sum of drops = the sum of rises",
        "# Step 2",
    ],
)
def test_prose_is_neither_claim_nor_trouble(text: str) -> None:
    line = line_of(text)
    assert (line.claims, line.trouble) == ((), None)


@pytest.mark.parametrize(
    ("text", "label"),
    [
        ("(1) I1 + I2 = I3", "1"), ("I1 + I2 = I3   (1)", "1"), ("I1 + I2 = I3 ... (2)", "2"),
        (r"I_1 + I_2 &= I_3 \tag{3} \\", "3"), ("[2] I1 + I2 = I3", "2"), ("1. I1 + I2 = I3", "1"),
        ("(i) I1 + I2 = I3", "i"), ("I1 + I2 = I3 (eq. 4)", "4"), ("eq. 3: I1 + I2 = I3", "3"),
    ],
)  # fmt: skip
def test_a_label_is_told_from_the_equation(text: str, label: str) -> None:
    line = line_of(text)
    assert line.label == label
    assert says(line.claims, JUNCTION)


def test_a_number_in_brackets_may_be_a_factor() -> None:
    line = line_of("(6) I1 + (9) I3 = (12)")
    assert line.label == ""
    assert says(line.claims, "6 I1 + 9 I3 = 12")


@pytest.mark.parametrize(
    ("text", "labels", "combination"),
    [
        ("(1) - (2): 6 I1 = 3", ("1", "2"), "x1 − x2"),
        ("(1) + (2) gives 6 I1 = 3", ("1", "2"), "x1 + x2"),
        ("R2*(1) - R1*(2): 6 I1 = 3", ("1", "2"), "R2 x1 − R1 x2"),
        ("2(1) + 3·(2) ⇒ 6 I1 = 3", ("1", "2"), "2 x1 + 3 x2"),
        ("subtract (1) from (2): 6 I1 = 3", ("1", "2"), "x2 − x1"),
        ("from (3) 6 I1 = 3", ("3",), None),
        ("put (1) into (2): 6 I1 = 3", ("1", "2"), None),
        ("from 3, 6 I1 = 3", ("3",), None),
        ("using eq. 2 and eq. 1, we get 6 I1 = 3", ("2", "1"), None),
        ("6 I1 = 3 (from (1) and (2))", ("1", "2"), None),
    ],
)
def test_a_line_says_what_it_rests_on(text: str, labels: tuple[str, ...], combination: str | None) -> None:
    line = working(f"(1) I1 + I2 = I3\n{text}", CIRCUIT).lines[1]
    assert line.source is not None
    assert says(line.claims, "6 I1 = 3")
    assert line.source.labels == labels
    found = line.source.combination
    if combination is None:
        assert found is None
    else:
        wanted = relation(f"{combination} = 0").left
        assert str(found) == str(wanted).replace("'x1'", "'1'").replace("'x2'", "'2'")


@pytest.mark.parametrize(
    "text",
    [
        "I1: foot -> top through R1",
        "I1 from foot to top through R1",
        "let I1 flow from foot to top through R1",
        "Let $I_1$ flow from foot to top via R1.",
        "I_1: foot → R1 → top",
        "I1 = current from foot to top through R1",
    ],
)
def test_an_arrow_is_declared(text: str) -> None:
    line = line_of(text)
    assert line.arrows == (ArrowSaid("I1", "foot", "top", ("R1",)),)
    assert (line.claims, line.trouble) == ((), None)


@pytest.mark.parametrize(
    ("text", "claim", "case"),
    [
        ("as R3 -> oo, I3 -> 0", "I3 → 0", "R3 → ∞"),
        ("I3 -> 0 as R3 -> oo", "I3 → 0", "R3 → ∞"),
        ("if R3 = 0 then I1 = E1/R1", "I1 = E1/R1", "R3 → 0"),
        ("R3 → ∞ ⇒ I3 → 0", "I3 → 0", "R3 → ∞"),
        (r"$R_3 \to \infty \Rightarrow I_3 \to 0$", "I3 → 0", "R3 → ∞"),
        (r"$\lim_{R_3 \to \infty} I_3 = 0$", "I3 = 0", "R3 → ∞"),
        ("When R1 = 0, I1 → oo", "I1 → ∞", "R1 → 0"),
    ],
)
def test_a_limit_is_a_claim_with_its_case(text: str, claim: str, case: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, claim)
    assert line.claims[0].case == (relation(case),)


@pytest.mark.parametrize(
    ("text", "at", "word"),
    [
        ("12 - 6 I1 - = 0", 10, "nothing after"),
        ("current = 2 A", 0, "a word, not a name"),
        ("voltage across R1 = 6 V", 0, "said in words"),
        ("I1 = ±1 A", 5, "two values"),
        ("I1 = 2,5 A", 6, "comma"),
        ("6 (I1 + I2 = 3", 2, "never closed"),
        ("I1 < 2 A", 3, "compares"),
        (r"$I_1 = \foo$", 7, "not read"),
        ("I1 = R1 plus R2", 8, "sign"),
    ],
)
def test_what_cannot_be_read_says_where_and_why(text: str, at: int, word: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None
    assert (line.trouble.position, word in line.trouble.why) == (at, True)


def test_a_decimal_comma_is_an_option() -> None:
    line = line_of("I1 = 2,50 A, I2 = 1,5 A", decimal_comma=True)
    assert says(line.claims, "I1 = 2.50 A", "I2 = 1.5 A")


@pytest.mark.parametrize(
    ("text", "read", "otherwise"),
    [
        ("I1 = E1/2R1", "I1 = (E1/2) R1", "I1 = E1/(2 R1)"),
        ("I1 = E1/R1 R2", "I1 = (E1/R1) R2", "I1 = E1/(R1 R2)"),
        ("- 6 I1 - 9 I3 + 12 = 0", "−6 I1 − 9 I3 + 12 = 0", "6 I1 − 9 I3 + 12 = 0"),
        ("- I1 = 1 A", "I1 = 1 A", "−I1 = 1 A"),
        ("Junction top – I1 + I2 = I3", "I1 + I2 = I3", "−I1 + I2 = I3"),
        ("I1 = 1 A, opposite to the arrow", "I1 = 1 A", "I1 = −1 A"),
    ],
)
def test_what_can_be_meant_in_two_ways_is_kept_in_both(text: str, read: str, otherwise: str) -> None:
    line = line_of(text)
    assert says(line.claims, read)
    assert line.claims[0].otherwise == (relation(otherwise),)
    assert line.notes


@pytest.mark.parametrize("text", ["I1 = 1/2 R1", "I1 = (12/6) A", "I1 = 12 V/6 Ω", "I1 = E1/R1", "I1 = -1 A"])
def test_what_has_one_meaning_has_no_other(text: str) -> None:
    assert line_of(text).claims[0].otherwise == ()


def test_dashes_before_words_make_the_whole_block_bullets() -> None:
    lines = working("- the currents:\n- I1 = -1 A\n- 6 I1 + 9 I3 = 12", CIRCUIT).lines
    assert says(lines[1].claims, "I1 = −1 A")
    assert says(lines[2].claims, "6 I1 + 9 I3 = 12")
    assert lines[2].claims[0].otherwise == ()


@pytest.mark.parametrize(
    "text", ["I1, I2, I3 = -1, 3, 2", "[I1, I2, I3] = [-1, 3, 2]", "so I1, I2 and I3 = -1, 3, 2"]
)
def test_a_list_of_names_takes_a_list_of_values(text: str) -> None:
    assert says(line_of(text).claims, "I1 = −1", "I2 = 3", "I3 = 2")


def test_a_list_of_names_does_not_take_one_value() -> None:
    line = line_of("I1, I2 = 2 A")
    assert line.claims == ()
    assert line.trouble is not None
    assert line.trouble.why == "2 names stand before the sign and 1 values after it"


def test_a_formula_goes_on_in_the_next_line_after_its_sign() -> None:
    lines = working("I3 =\n  12/6\n$$\\frac{12\n}{6} = I3$$", CIRCUIT).lines
    assert [line.number for line in lines] == [1, 3]
    assert says(lines[0].claims, "I3 = 12/6")
    assert says(lines[1].claims, "12/6 = I3")


def test_a_formula_alone_on_its_line_is_what_the_next_goes_on_from() -> None:
    lines = working("I1 = 3\n\\frac{E1}{R1}\n= 2", CIRCUIT).lines
    assert says(lines[2].claims, "E1/R1 = 2")


def test_nothing_goes_on_from_a_line_in_trouble() -> None:
    lines = working("I1 = 3\nI2 = ±2\n= 2", CIRCUIT).lines
    assert lines[2].claims == ()
    assert lines[2].trouble is not None


@pytest.mark.parametrize(
    ("text", "read", "note"),
    [
        ("V2 = 24 V", "E2 = 24 V", "V2 is read as E2"),
        ("P_R3 = 36 W", "P(R3) = 36 W", "PR3 is read as P(R3)"),
        ("VTOPFOOT = 18", "V(top, foot) = 18", "VTOPFOOT is read as V(top, foot)"),
        ("I_R2 = 3 A", "I2 = 3 A", "I_R2 is read as I2"),
        ("R1 = 6k", "R1 = 6 kΩ", '"k" after a number is read as kΩ'),
    ],
)
def test_a_name_with_one_plausible_meaning_is_read_so_and_said_so(text: str, read: str, note: str) -> None:
    line = line_of(text)
    assert says(line.claims, read)
    assert line.notes == (note,)


def test_voltages_used_as_drops_are_not_taken_for_emfs() -> None:
    lines = working("V1 = I1 R1\nE1 - V1 - V3 = 0", CIRCUIT).lines
    assert says(lines[0].claims, "V1 = I1 R1")
    assert says(lines[1].claims, "E1 − V1 − V3 = 0")


def test_a_primed_current_is_a_name_of_its_own() -> None:
    line = line_of("I1' + I1'' = I1")
    assert says(line.claims, "I1′ + I1′′ = I1")
    assert line.notes == ()


def test_declared_names_are_in_use() -> None:
    lines = working("Ia: top -> foot through R1\nIaR1 = 6", CIRCUIT).lines
    assert says(lines[1].claims, "Ia R1 = 6")


def test_given_names_are_in_use() -> None:
    (line,) = working("xR1 = 6", CIRCUIT, names=("x",)).lines
    assert says(line.claims, "x R1 = 6")


def test_a_symbol_that_is_also_a_unit_is_the_unit_among_numbers() -> None:
    circuit = circuit_of('[branches]\nI = "a, +V, R, a"\n')
    first, second = working("I = 12 V/(6 Ω)\nI = 2 V/R", circuit).lines
    assert isinstance(first.claims[0].written.right, Quotient)
    assert first.claims[0].written.right.above == Number(Fraction(12), "V")
    assert second.claims[0].written.right == expression("2 V/R", ("V", "R"))


def test_a_case_alone_holds_for_the_limits_below() -> None:
    lines = working("Limit R3 -> oo:\nI3 -> 0\nI1 -> 1\n\nI2 -> 2", CIRCUIT).lines
    case = (relation("R3 → ∞"),)
    assert [claim.case for line in lines for claim in line.claims] == [case, case, ()]


@pytest.mark.parametrize(
    "text",
    [
        "I3 = 2 A // the answer",
        "I3 = 2 A # good",
        "I3 = 2 A <- answer",
        "I3 = 2 A – as it should",
        "I3 = 2 A ✓",
    ],
)
def test_a_remark_after_a_result_is_prose(text: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, "I3 = 2 A")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("12 − 6I1 = 9I3 → I1 = 2 − 1.5 I3", ["12 − 6 I1 = 9 I3", "I1 = 2 − 1.5 I3"]),
        ("→ I1 = 2", ["I1 = 2"]),
        ("I1 + I2 = I3 -> the junction rule", ["I1 + I2 = I3"]),
    ],
)
def test_an_arrow_between_equations_is_no_limit(text: str, read: list[str]) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, *read)


@pytest.mark.parametrize("text", ["as R3 → 0 I1 → 2", "R3 → 0 I1 → 2", "if R3 is very small I1 → 2"])
def test_a_claim_follows_its_case_without_a_stop(text: str) -> None:
    line = line_of(text)
    assert says(line.claims, "I1 → 2")
    assert line.claims[0].case == (relation("R3 → 0"),)


def test_names_side_by_side_are_two_names() -> None:
    lines = working("I1 = i1, I3 = i1 + i2\n6 i1 + 9 i2 = 12", CIRCUIT).lines
    assert says(lines[0].claims, "I1 = i1", "I3 = i1 + i2")
    assert says(lines[1].claims, "6 i1 + 9 i2 = 12")


def test_a_letter_of_ones_own_may_touch_a_known_name() -> None:
    lines = working("I1 = x\nxR1 + I3R3 = 12", CIRCUIT).lines
    assert says(lines[1].claims, "x R1 + I3 R3 = 12")


def test_the_sides_of_a_check_are_no_names() -> None:
    assert says(line_of("LHS = 12 - 6(-1) - 9(2) = 0 = RHS").claims, "12 − 6 (−1) − 9 (2) = 0")


def test_a_point_is_not_part_of_the_equation_at_it() -> None:
    circuit = circuit_of('[branches]\nI1 = "b, +E1, R1, a"\nI2 = "b, R2, a"\nI3 = "a, R3, b"\n')
    (line,) = working("At a I1 + I2 = I3 and at b I3 - I1 = I2", circuit).lines
    assert says(line.claims, "I1 + I2 = I3", "I3 − I1 = I2")


def test_a_label_next_in_turn_may_stand_before_references() -> None:
    lines = working("(a) I1 + I2 = I3\n(b) I3 = 2\n(c) from (a) and (b): I1 + I2 = 2", CIRCUIT).lines
    assert lines[2].label == "c"
    assert lines[2].source is not None
    assert lines[2].source.labels == ("a", "b")


def test_the_potential_of_a_point_is_a_name() -> None:
    assert says(line_of("V(top) = 18 V").claims, "Vtop = 18 V")


def test_nothing_is_claimed_by_half_a_formula() -> None:
    line = line_of(r"$I_1 = 2, I_3 = \frac{1}{2} \foo 3$")
    assert says(line.claims, "I1 = 2")
    assert line.trouble is not None


@pytest.mark.parametrize("text", ["Loop rule 12 - 6 I1 = 9 I3", "the emf of loop 1 12 - 6 I1 = 9 I3"])
def test_a_number_after_words_counts_only_what_is_counted(text: str) -> None:
    assert says(line_of(text).claims, "12 − 6 I1 = 9 I3")


def test_an_emf_named_in_words_is_no_factor() -> None:
    assert says(line_of("The emf E1 = 12 V").claims, "E1 = 12 V")


@pytest.mark.parametrize("rest", ["a result to check", "I think", "I also found it so"])
def test_an_article_or_a_pronoun_after_a_result_is_prose(rest: str) -> None:
    assert says(line_of(f"I3 = 2 A {rest}").claims, "I3 = 2 A")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Vtop - Vfoot = 18 V", "V(top, foot) = 18 V"),
        ("I3 = (V_TOP − V_FOOT)/R3", "I3 = V(top, foot)/R3"),
        ("E1 + Vfoot - Vtop = 6 I1", "E1 + V(foot, top) = 6 I1"),
        ("Vtop = 18 V", "Vtop = 18 V"),
        ("Vtop + Vfoot = 18 V", "Vtop + Vfoot = 18 V"),
    ],
)
def test_the_difference_of_two_potentials_is_one_quantity(text: str, read: str) -> None:
    assert says(line_of(text).claims, read)


@pytest.mark.parametrize("text", ["E1 + something - I3R3 = 6 I1", "6 I1 = E1 * gain - I3R3"])
def test_a_word_amid_an_equation_is_a_trouble_and_no_end(text: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None
