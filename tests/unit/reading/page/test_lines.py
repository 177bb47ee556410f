"""A line of a working in each notation that people type is read as what it says."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.expressions.nodes import Number, Quotient
from loopwright.expressions.parse import expression
from loopwright.reading.page.decimal_commas import has_decimal_commas
from loopwright.reading.page.lines import working
from loopwright.reading.working import ArrowSaid
from tests.sample_circuits import circuit_of
from tests.unit.reading.reading_samples import CIRCUIT, line_of, relation, says

JUNCTION = "I5 + I6 = I4"
LOOP = "5 − 3 I5 − 4 I4 = 0"
SAME_JUNCTION = [
    "I5 + I6 = I4", "I_5+I_6=I_4", "I₅ + I₆ = I₄", "I_{5} + I_{6} = I_{4}", "i5 + i6 = i4", "i_5 + i_6 = i_4",
    "Junction at bus: I5 + I6 = I4", "At a junction, I5 + I6 = I4.", "so I5 + I6 = I4 (junction rule)",
    "- junction: I5 + I6 = I4", "* I5 + I6 = I4", "## Bus: I5 + I6 = I4", "**I5 + I6 = I4**",
    "*I5 + I6 = I4*",
    "`I5 + I6 = I4`",
    "> I5 + I6 = I4", "$I_5 + I_6 = I_4$", r"\(I_5+I_6=I_4\)", r"\[ I_{5} + I_{6} = I_{4} \]",
    r"I_5 + I_6 &= I_4 \\", r"$\mathrm{I}_5+I_{6}=I_4$", "I<sub>5</sub> + I<sub>6</sub> = I<sub>4</sub>",
    "therefore: I5+I6 == I4", "[I5 + I6 = I4]", "(since I5 + I6 = I4)", "KCL: I5 + I6 = I4",
    "1. I5 + I6 = I4",
    "Loop 2 and junction 1: I5 + I6 = I4", "where I used I5 + I6 = I4", "I\\_5 + I\\_6 = I\\_4",
    "𝐼5 + 𝐼6 = 𝐼4",
]  # fmt: skip
SAME_LOOP = [
    "5 - 3 I5 - 4 I4 = 0", "5 − 3I5 − 4I4 = 0", "5 – 3·I5 – 4·I4 = 0", "5 - 3*I5 - 4*I4 = 0",
    "Loop 1 (clockwise): 5 - 3 I5 - 4 I4 = 0", "Loop 1: 5 - 3(I5) - (4)I4 = 0",
    r"$5 - 3 I_5 - 4 I_4 = 0$", r"5 - 3\cdot I_5 - 4\,I_4 &= 0", r"5 - 3 \times I_5 - 4 \times I_4 = 0",
    "round the left loop we get 5 - 3 I5 - 4 I4 = 0", "Loop 1 – 5 – 3 I5 – 4 I4 = 0",
    "5 - (1·3)I5 - 4 i4 = 0", "eq. 2: 5 - 3I5 - 4I4 = 0", "[5] - 3 I5 - 4 I4 = 0",
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
    line = line_of("I4 = 6/R5 = 2.0 A ≈ 2 A")
    assert says(line.claims, "I4 = 6/R5", "6/R5 = 2.0 A", "2.0 A ≈ 2 A")


def test_a_line_that_begins_with_its_sign_goes_on_from_the_line_above() -> None:
    lines = working("I4 = E5/R5\n  = 18/3\n\n  = 6 A", CIRCUIT).lines
    assert [line.number for line in lines] == [1, 2, 4]
    assert says(lines[1].claims, "E5/R5 = 18/3")
    assert says(lines[2].claims, "18/3 = 6 A")


@pytest.mark.parametrize("text", ["I5 = -1 A, I6 = 3 A and I4 = 2 A", "I5=-1A; I6=3A; so I4=2A"])
def test_several_claims_stand_in_one_line(text: str) -> None:
    assert says(line_of(text).claims, "I5 = −1 A", "I6 = 3 A", "I4 = 2 A")


def test_a_claim_knows_its_place_in_the_line() -> None:
    line = line_of(r"so $I_4 = \frac{6}{3}\,\mathrm{A}$ at last")
    (claim,) = line.claims
    assert line.text[claim.start : claim.end] == r"I_4 = \frac{6}{3}\,\mathrm{A}"


@pytest.mark.parametrize(
    "text",
    [
        "We go round the loop from a to b and add all rises.",
        "R = resistance of the lamp",
        "I is the current in a branch",
        "I5 = ?",
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
        ("(1) I5 + I6 = I4", "1"), ("I5 + I6 = I4   (1)", "1"), ("I5 + I6 = I4 ... (2)", "2"),
        (r"I_5 + I_6 &= I_4 \tag{3} \\", "3"), ("[2] I5 + I6 = I4", "2"), ("1. I5 + I6 = I4", "1"),
        ("(i) I5 + I6 = I4", "i"), ("I5 + I6 = I4 (eq. 4)", "4"), ("eq. 3: I5 + I6 = I4", "3"),
    ],
)  # fmt: skip
def test_a_label_is_told_from_the_equation(text: str, label: str) -> None:
    line = line_of(text)
    assert line.label == label
    assert says(line.claims, JUNCTION)


def test_a_number_in_brackets_may_be_a_factor() -> None:
    line = line_of("(3) I5 + (4) I4 = (5)")
    assert line.label == ""
    assert says(line.claims, "3 I5 + 4 I4 = 5")


@pytest.mark.parametrize(
    ("text", "labels", "combination"),
    [
        ("(1) - (2): 3 I5 = 3", ("1", "2"), "x1 − x2"),
        ("(1) + (2) gives 3 I5 = 3", ("1", "2"), "x1 + x2"),
        ("R6*(1) - R5*(2): 3 I5 = 3", ("1", "2"), "R6 x1 − R5 x2"),
        ("2(1) + 3·(2) ⇒ 3 I5 = 3", ("1", "2"), "2 x1 + 3 x2"),
        ("subtract (1) from (2): 3 I5 = 3", ("1", "2"), "x2 − x1"),
        ("from (3) 3 I5 = 3", ("3",), None),
        ("put (1) into (2): 3 I5 = 3", ("1", "2"), None),
        ("from 3, 3 I5 = 3", ("3",), None),
        ("using eq. 2 and eq. 1, we get 3 I5 = 3", ("2", "1"), None),
        ("3 I5 = 3 (from (1) and (2))", ("1", "2"), None),
    ],
)
def test_a_line_says_what_it_rests_on(text: str, labels: tuple[str, ...], combination: str | None) -> None:
    line = working(f"(1) I5 + I6 = I4\n{text}", CIRCUIT).lines[1]
    assert line.source is not None
    assert says(line.claims, "3 I5 = 3")
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
        "I5: rail -> bus through R5",
        "I5 from rail to bus through R5",
        "let I5 flow from rail to bus through R5",
        "Let $I_5$ flow from rail to bus via R5.",
        "I_5: rail → R5 → bus",
        "I5 = current from rail to bus through R5",
    ],
)
def test_an_arrow_is_declared(text: str) -> None:
    line = line_of(text)
    assert line.arrows == (ArrowSaid("I5", "rail", "bus", ("R5",)),)
    assert (line.claims, line.trouble) == ((), None)


@pytest.mark.parametrize(
    ("text", "claim", "case"),
    [
        ("as R4 -> oo, I4 -> 0", "I4 → 0", "R4 → ∞"),
        ("I4 -> 0 as R4 -> oo", "I4 → 0", "R4 → ∞"),
        ("if R4 = 0 then I5 = E5/R5", "I5 = E5/R5", "R4 → 0"),
        ("R4 → ∞ ⇒ I4 → 0", "I4 → 0", "R4 → ∞"),
        (r"$R_4 \to \infty \Rightarrow I_4 \to 0$", "I4 → 0", "R4 → ∞"),
        (r"$\lim_{R_4 \to \infty} I_4 = 0$", "I4 = 0", "R4 → ∞"),
        ("When R5 = 0, I5 → oo", "I5 → ∞", "R5 → 0"),
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
        ("5 - 3 I5 - = 0", 9, "nothing after"),
        ("current = 2 A", 0, "a word, not a name"),
        ("voltage across R9 = 3 V", 0, "said in words"),
        ("I5 = ±1 A", 5, "two values"),
        ("I5 = 2,500 A", 6, "comma"),
        ("3 (I5 + I6 = 3", 2, "never closed"),
        ("I5 < 2 A", 3, "compares"),
        ("4 A < 2 A", 4, "compares"),
        (r"$I_5 = \foo$", 7, "not read"),
        ("I5 = R5 plus R6", 8, "sign"),
    ],
)
def test_what_cannot_be_read_says_where_and_why(text: str, at: int, word: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None
    assert (line.trouble.position, word in line.trouble.why) == (at, True)


def test_a_decimal_comma_shows_itself() -> None:
    assert says(line_of("I5 = 2,50 A, I6 = 1,5 A").claims, "I5 = 2.50 A", "I6 = 1.5 A")
    assert says(line_of("$I_5 = 2{,}5$").claims, "I5 = 2.5")


@pytest.mark.parametrize("text", ["from 1,2: I5 = 2 A", "I5 = 1,500 mA", "I5 = 2,50 A, I6 = 1.5 A"])
def test_a_comma_that_may_be_something_else_is_none(text: str) -> None:
    assert not has_decimal_commas(text)


def test_a_decimal_comma_can_be_told() -> None:
    assert says(line_of("I5 = 1,500 A", decimal_comma=True).claims, "I5 = 1.500 A")


@pytest.mark.parametrize(
    ("text", "read", "otherwise"),
    [
        ("I5 = E5/2R5", "I5 = (E5/2) R5", "I5 = E5/(2 R5)"),
        ("I5 = E5/R5 R6", "I5 = (E5/R5) R6", "I5 = E5/(R5 R6)"),
        ("- 3 I5 - 4 I4 + 5 = 0", "−3 I5 − 4 I4 + 5 = 0", "3 I5 − 4 I4 + 5 = 0"),
        ("- I5 = 1 A", "I5 = 1 A", "−I5 = 1 A"),
        ("Junction bus – I5 + I6 = I4", "I5 + I6 = I4", "−I5 + I6 = I4"),
        ("I5 = 1 A, opposite to the arrow", "I5 = 1 A", "I5 = −1 A"),
    ],
)
def test_what_can_be_meant_in_two_ways_is_kept_in_both(text: str, read: str, otherwise: str) -> None:
    line = line_of(text)
    assert says(line.claims, read)
    assert line.claims[0].otherwise == (relation(otherwise),)
    assert line.notes


@pytest.mark.parametrize("text", ["I5 = 1/2 R5", "I5 = (6/3) A", "I5 = 6 V/3 Ω", "I5 = E5/R5", "I5 = -1 A"])
def test_what_has_one_meaning_has_no_other(text: str) -> None:
    assert line_of(text).claims[0].otherwise == ()


def test_dashes_before_words_make_the_whole_block_bullets() -> None:
    lines = working("- the currents:\n- I5 = -1 A\n- 3 I5 + 4 I4 = 5", CIRCUIT).lines
    assert says(lines[1].claims, "I5 = −1 A")
    assert says(lines[2].claims, "3 I5 + 4 I4 = 5")
    assert lines[2].claims[0].otherwise == ()


@pytest.mark.parametrize(
    "text", ["I5, I6, I4 = -1, 3, 2", "[I5, I6, I4] = [-1, 3, 2]", "so I5, I6 and I4 = -1, 3, 2"]
)
def test_a_list_of_names_takes_a_list_of_values(text: str) -> None:
    assert says(line_of(text).claims, "I5 = −1", "I6 = 3", "I4 = 2")


def test_a_list_of_names_does_not_take_one_value() -> None:
    line = line_of("I5, I6 = 2 A")
    assert line.claims == ()
    assert line.trouble is not None
    assert line.trouble.why == "2 names stand before the sign and 1 values after it"


def test_a_formula_goes_on_in_the_next_line_after_its_sign() -> None:
    lines = working("I4 =\n  6/3\n$$\\frac{6\n}{3} = I4$$", CIRCUIT).lines
    assert [line.number for line in lines] == [1, 3]
    assert says(lines[0].claims, "I4 = 6/3")
    assert says(lines[1].claims, "6/3 = I4")


def test_a_formula_alone_on_its_line_is_what_the_next_goes_on_from() -> None:
    lines = working("I5 = 3\n\\frac{E5}{R5}\n= 2", CIRCUIT).lines
    assert says(lines[2].claims, "E5/R5 = 2")


def test_nothing_goes_on_from_a_line_in_trouble() -> None:
    lines = working("I5 = 3\nI6 = ±2\n= 2", CIRCUIT).lines
    assert lines[2].claims == ()
    assert lines[2].trouble is not None


@pytest.mark.parametrize(
    ("text", "read", "note"),
    [
        ("V4 = 18 V", "E4 = 18 V", "V4 is read as E4"),
        ("P_R4 = 16 W", "P(R4) = 16 W", "PR4 is read as P(R4)"),
        ("VBUSRAIL = 15", "V(bus, rail) = 15", "VBUSRAIL is read as V(bus, rail)"),
        ("I_R6 = 3 A", "I6 = 3 A", "I_R6 is read as I6"),
        ("R5 = 6k", "R5 = 6 kΩ", '"k" after a number is read as kΩ'),
        ("I5 = 1.5m", "I5 = 1.5 mA", '"m" after a number is read as mA'),
        ("P(R4) = 7m", "P(R4) = 7 mW", '"m" after a number is read as mW'),
        ("most heat at R4 = Rth, Rth = 2", "Rth = 2", "a condition is not weighed"),
    ],
)
def test_a_name_with_one_plausible_meaning_is_read_so_and_said_so(text: str, read: str, note: str) -> None:
    line = line_of(text)
    assert says(line.claims, read)
    assert line.notes == (note,)


def test_voltages_used_as_drops_are_not_taken_for_emfs() -> None:
    lines = working("V5 = I5 R5\nE5 - V5 - V6 = 0", CIRCUIT).lines
    assert says(lines[0].claims, "V5 = I5 R5")
    assert says(lines[1].claims, "E5 − V5 − V6 = 0")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("16/4 = 4 W > 3 W", "16/4 = 4 W"),
        ("E5 = 4 I5 + 2 I6 -> *3: 3 E5 = 12 I5 + 6 I6", "3 E5 = 12 I5 + 6 I6"),
        ("I5 = 22.0 mA (21.98)", "I5 = 22.0 mA"),
        ("I5 = 22.0 mA (23.98)", "I5 = (22.0 mA) × 23.98"),
        ("P(R4) = 3^2·10^4", "P(R4) = 3² × 10⁴"),
        ("R4 6*2 = 12", "6 × 2 = 12"),
        ("25 % of I5 through R6", "I6 = 0.25 I5"),
    ],
)
def test_what_stands_beside_a_claim_leaves_it_whole(text: str, read: str) -> None:
    assert says(line_of(text).claims[-1:], read)


def test_a_primed_current_is_a_name_of_its_own() -> None:
    line = line_of("I5' + I5'' = I5")
    assert says(line.claims, "I5′ + I5′′ = I5")
    assert line.notes == ()


def test_declared_names_are_in_use() -> None:
    lines = working("Ia: bus -> rail through R5\nIaR5 = 3", CIRCUIT).lines
    assert says(lines[1].claims, "Ia R5 = 3")


@pytest.mark.parametrize("text", ["Rbcd = Rb Rc\nIa Rbcd = 3", "Rp = Rb Rc\nIaRp = 3"])
def test_a_resistance_named_alone_before_its_sign_is_in_use(text: str) -> None:
    circuit = circuit_of('[branches]\nIa = "a, +E, Ra, b"\nIb = "b, Rb, a"\nIc = "b, Rc, Rd, a"\n')
    lines = working(text, circuit).lines
    name = text.split()[0]
    assert says(lines[1].claims, f"Ia {name} = 3")


def test_given_names_are_in_use() -> None:
    (line,) = working("xR5 = 3", CIRCUIT, names=("x",)).lines
    assert says(line.claims, "x R5 = 3")


def test_a_symbol_that_is_also_a_unit_is_the_unit_among_numbers() -> None:
    circuit = circuit_of('[branches]\nI = "a, +V, R, a"\n')
    first, second = working("I = 5 V/(6 Ω)\nI = 2 V/R", circuit).lines
    assert isinstance(first.claims[0].written.right, Quotient)
    assert first.claims[0].written.right.above == Number(Fraction(5), "V")
    assert second.claims[0].written.right == expression("2 V/R", ("V", "R"))


def test_a_case_alone_holds_for_the_limits_below() -> None:
    lines = working("Limit R4 -> oo:\nI4 -> 0\nI5 -> 1\n\nI6 -> 2", CIRCUIT).lines
    case = (relation("R4 → ∞"),)
    assert [claim.case for line in lines for claim in line.claims] == [case, case, ()]


@pytest.mark.parametrize(
    "text",
    [
        "I4 = 2 A // the answer",
        "I4 = 2 A # good",
        "I4 = 2 A <- answer",
        "I4 = 2 A – as it should",
        "I4 = 2 A ✓",
    ],
)
def test_a_remark_after_a_result_is_prose(text: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, "I4 = 2 A")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("5 − 3I5 = 4I4 → I5 = 2 − 1.5 I4", ["5 − 3 I5 = 4 I4", "I5 = 2 − 1.5 I4"]),
        ("→ I5 = 2", ["I5 = 2"]),
        ("I5 + I6 = I4 -> the junction rule", ["I5 + I6 = I4"]),
    ],
)
def test_an_arrow_between_equations_is_no_limit(text: str, read: list[str]) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, *read)


@pytest.mark.parametrize("text", ["as R4 → 0 I5 → 2", "R4 → 0 I5 → 2", "if R4 is very small I5 → 2"])
def test_a_claim_follows_its_case_without_a_stop(text: str) -> None:
    line = line_of(text)
    assert says(line.claims, "I5 → 2")
    assert line.claims[0].case == (relation("R4 → 0"),)


def test_names_side_by_side_are_two_names() -> None:
    lines = working("I5 = i5, I4 = i5 + i6\n3 i5 + 4 i6 = 5", CIRCUIT).lines
    assert says(lines[0].claims, "I5 = i5", "I4 = i5 + i6")
    assert says(lines[1].claims, "3 i5 + 4 i6 = 5")


def test_a_letter_of_ones_own_may_touch_a_known_name() -> None:
    lines = working("I5 = x\nxR5 + I4R4 = 5", CIRCUIT).lines
    assert says(lines[1].claims, "x R5 + I4 R4 = 5")


def test_the_sides_of_a_check_are_no_names() -> None:
    assert says(line_of("LHS = 5 - 3(-1) - 4(2) = 0 = RHS").claims, "5 − 3 (−1) − 4 (2) = 0")


def test_a_point_is_not_part_of_the_equation_at_it() -> None:
    circuit = circuit_of('[branches]\nI5 = "b, +E5, R5, a"\nI6 = "b, R6, a"\nI4 = "a, R4, b"\n')
    (line,) = working("At a I5 + I6 = I4 and at b I4 - I5 = I6", circuit).lines
    assert says(line.claims, "I5 + I6 = I4", "I4 − I5 = I6")


def test_a_label_next_in_turn_may_stand_before_references() -> None:
    lines = working("(a) I5 + I6 = I4\n(b) I4 = 2\n(c) from (a) and (b): I5 + I6 = 2", CIRCUIT).lines
    assert lines[2].label == "c"
    assert lines[2].source is not None
    assert lines[2].source.labels == ("a", "b")


def test_a_line_may_begin_with_the_letters_of_the_line_it_rests_on() -> None:
    lines = working("(KA) I5 + I6 = I4\n(KA) I5 = I4 - I6", CIRCUIT).lines
    assert lines[0].label == "KA"
    assert lines[1].source is not None
    assert lines[1].source.labels == ("KA",)


def test_the_potential_of_a_point_is_a_name() -> None:
    assert says(line_of("V(bus) = 15 V").claims, "Vbus = 15 V")


def test_nothing_is_claimed_by_half_a_formula() -> None:
    line = line_of(r"$I_5 = 2, I_4 = \frac{1}{2} \foo 3$")
    assert says(line.claims, "I5 = 2")
    assert line.trouble is not None


@pytest.mark.parametrize("text", ["Loop rule 5 - 3 I5 = 4 I4", "the emf of loop 1 5 - 3 I5 = 4 I4"])
def test_a_number_after_words_counts_only_what_is_counted(text: str) -> None:
    assert says(line_of(text).claims, "5 − 3 I5 = 4 I4")


def test_an_emf_named_in_words_is_no_factor() -> None:
    assert says(line_of("The emf E5 = 18 V").claims, "E5 = 18 V")


@pytest.mark.parametrize("rest", ["a result to check", "I think", "I also found it so"])
def test_an_article_or_a_pronoun_after_a_result_is_prose(rest: str) -> None:
    assert says(line_of(f"I4 = 2 A {rest}").claims, "I4 = 2 A")


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Vbus - Vrail = 15 V", "V(bus, rail) = 15 V"),
        ("I4 = (V_BUS − V_RAIL)/R4", "I4 = V(bus, rail)/R4"),
        ("E5 + Vrail - Vbus = 3 I5", "E5 + V(rail, bus) = 3 I5"),
        ("Vbus = 15 V", "Vbus = 15 V"),
        ("Vbus + Vrail = 15 V", "Vbus + Vrail = 15 V"),
    ],
)
def test_the_difference_of_two_potentials_is_one_quantity(text: str, read: str) -> None:
    assert says(line_of(text).claims, read)


@pytest.mark.parametrize("text", ["E5 + something - I4R4 = 3 I5", "3 I5 = E5 * gain - I4R4"])
def test_a_word_amid_an_equation_is_a_trouble_and_no_end(text: str) -> None:
    line = line_of(text)
    assert line.claims == ()
    assert line.trouble is not None


@pytest.mark.parametrize(
    "text",
    [
        "I5 + I6 = I4 (what flows in at the bus)",
        "I5 + I6 (both arrows out) = I4",
        "I5 + I6 = I4, a sum",
        "a junction says I5 + I6 = I4",
    ],
)
def test_a_remark_in_brackets_or_behind_a_letter_of_prose_is_no_part_of_the_claim(text: str) -> None:
    line = line_of(text)
    assert line.trouble is None
    assert says(line.claims, JUNCTION)
