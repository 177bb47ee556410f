"""Rounded numbers carried on are right wherever they stand, and what is not rounding is not.

Batteries of 12 V behind 6 ohm and 7 V behind 4 ohm feed 9 ohm: I3 = 15/19 A, I1 = 31/38 A, I2 = -1/38 A
(0.7895, 0.8158 and -0.02632 A), worked by hand from 12 = 6 I1 + 9 I3, 7 = 4 I2 + 9 I3, I3 = I1 + I2. In
kilohms the same numbers are milliamperes.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

OHMS = """
[branches]
I1 = "c, +E1, R1, a"
I2 = "c, +E2, R2, a"
I3 = "a, R3, c"
[numbers]
E1 = "12 V"
E2 = "7 V"
R1 = "6 ohm"
R2 = "4 ohm"
R3 = "9 ohm"
"""
KILOHMS = OHMS.replace(" ohm", " kohm")
HALVES = OHMS.replace("+E2, ", "").replace('E2 = "7 V"', "").replace("9 ohm", "2 ohm")  # 12 V, 6 + 4 || 2
ONE_SOURCE = OHMS.replace("c, +E2, R2, a", "c, R2, a").replace('E2 = "7 V"', "")
WITH_TWO = OHMS.replace('"7 V"', '"2 V"')
FOUR_FIGURES = "I1 + I2 = I3\n1.333 - 0.6667 I1 - I3 = 0\n0.7778 - 0.4444 I2 - I3 = 0\n"
THREE_FIGURES = "I1 + I2 = I3\n1.33 - 0.667 I1 - I3 = 0\n0.778 - 0.444 I2 - I3 = 0\n"


def read(source: str, text: str) -> Reading:
    return read_working(circuit_of(source), text)


def accused(source: str, text: str) -> list[str]:
    """What of a text is not right, as it is written."""
    return [as_text((v.claim.written,)) for v in read(source, text).verdicts if not v.holds]


RIGHT = [
    (OHMS, "I3 = I1 + I2 = 0.82 - 0.026 = 0.79 A"),
    (OHMS, "I1 = (12 - 9*0.79)/6 = 0.82 A"),
    (OHMS, "I1 = 0.82 A\nI2 = -0.026 A\nI3 = 0.79 A"),
    (OHMS, "I1 = 0.82 A\nI2 = -0.026 A\nI3 = 0.794 A"),  # what the two above give
    (OHMS, "I1 = 0.82 A\nI1 = 820 mA"),
    (OHMS, "I1 = 0.82 A\nI2 = (7 - 9*0.789)/4 = -0.025 A\nI3 = I1 + I2 = 0.795 A"),  # the end of a chain
    (OHMS, "I1 = 0.82 A\nP(R1) = 4.03 W"),
    (OHMS, "I1 = 0.82 A\nP(R1) = I1^2 R1 = 0.82^2*6 = 4.03 W"),
    (OHMS, "I3 = 0.7895 A\nV(a, c) = 9*0.79 = 7.11 V\nI1 = (12 - 7.11)/6 = 0.815 A"),
    (OHMS, "I1 + I2 = 0.816 - 0.0263 = 0.790 A"),  # fewer figures in the middle than asked at the end
    (OHMS, "6 I1 = 12 - 9*0.789 = 4.90"),
    (OHMS, "14.67/7.333 = 2.00"),
    # 36/13 = 2.77 and 12/(6 + 2.77) = 1.37, but 1.4·2.8 = 3.92, and not 3.79 V
    (ONE_SOURCE, "Rp = R2 R3/(R2 + R3)\nRp = 2.8 ohm\nI1 = E1/(R1 + Rp) = 1.4 A\nU = I1 Rp\nU = 3.9 V"),
    (
        ONE_SOURCE,
        "Rp = 2.8 ohm\nI1 = E1/(R1 + Rp) = 12/8.8 = 1.4 A\nU = I1 Rp = 1.4*2.8 = 3.9 V\nU/R2 = 3.9/4",
    ),
    (ONE_SOURCE, "Rp = 2.77 ohm\nRt = R1 + Rp = 6 + 2.77 = 8.77 ohm"),
    (WITH_TWO, "14.67/7.333 = 2.00"),  # though 2 is given, in volts
    (OHMS, "12/7.636 = 1.571"),  # from 84/11, not rounded
    (KILOHMS, "I1 = 93/114 = 0.816 mA"),
    (KILOHMS, "10/7 = 1.43 mA"),
    (KILOHMS, "I1 = (12 - 7.11)/6 = 0.815 mA"),
    (KILOHMS, "I1 = 12/6000 - 7.105/6000 = 0.000816 A"),  # one line in amperes amid milliamperes
    (KILOHMS, "I1 = 0.816 mA\nI2 = -0.0263 mA\nI3 = 0.816 - 0.0263 = 0.790 mA"),
    (HALVES, "I1 = 1.64 A\nI2 = -1.64*2/6 = -0.547 A\nI3 = 2 (0.547 A) = 1.09 A"),
    (HALVES, "R23 = 8/6 = 1.33 ohm\nI1 = 12/(6 + 1.33) = 12/7.33 = 1.64 A"),
    (OHMS, f"{FOUR_FIGURES}I3 = 18515741/23456358 A"),  # three rounded equations solved exactly
    (OHMS, f"{THREE_FIGURES}I2 = -0.0235 A"),  # and rounded again, where a small difference shows it
]


@pytest.mark.parametrize(("source", "text"), RIGHT)
def test_what_is_right_as_rounded_is_not_accused(source: str, text: str) -> None:
    assert not accused(source, text)


@pytest.mark.parametrize(
    ("source", "text", "wrong"),
    [
        (OHMS, "I3 = 0.82 - 0.026 = 0.80 A", ["0.82 − 0.026 = 0.80 A"]),
        (OHMS, "I1 = (12 - 9*0.82)/6 = 0.77 A", ["I1 = (12 − 9 × 0.82)/6"]),  # the current of another branch
        (OHMS, "I1 = 0.82 A\nI2 = -0.026 A\nI3 = 0.82 + 0.026 = 0.85 A", ["I3 = 0.82 + 0.026"]),
        (OHMS, "I1 = 0.81 A", ["I1 = 0.81 A"]),  # cut off, not rounded
        (
            OHMS,
            "I1 = I2 + I3 = -0.026 + 0.79 = 0.764 A\n-I1 = -0.764 A",
            ["I1 = I2 + I3", "−I1 = −0.764 A"],
        ),  # the end of a chain that began wrong
        (OHMS, "I1 = 0.82 A\nI1 = 82 mA", ["I1 = 82 mA"]),
        (OHMS, "12/7.636 = 1.58", ["12/7.636 = 1.58"]),
        (OHMS, f"{FOUR_FIGURES}I3 = 18515747/23456358 A", ["I3 = 18515747/23456358 A"]),
        (OHMS, f"{THREE_FIGURES}I2 = -0.0228 A", ["I2 = −0.0228 A"]),
        (OHMS, "1.1*1.2 = 1.4", ["1.1 × 1.2 = 1.4"]),
        (ONE_SOURCE, "Rp = 2.8 ohm\nI1 = 1.4 A\nU = I1 Rp\nU = 4.1 V", ["U = 4.1 V"]),
        (KILOHMS, "I1 = 0.816 mA\nI2 = -3/114 = -0.0263 A", ["−3/114 = −0.0263 A"]),  # a unit slip at the end
        (KILOHMS, "I1 = 0.816 mA\nI3 = 15/19 = 0.789 A", ["15/19 = 0.789 A"]),
    ],
)
def test_what_rounding_does_not_explain_is_not_true(source: str, text: str, wrong: list[str]) -> None:
    assert accused(source, text) == wrong


def test_after_a_slip_rounded_results_are_carried_on() -> None:
    after = (
        "I3 = I1 + I2\n12 = 6 I1 + 9 I3\n7 = 4 I2 + 9 I3\n12 = 15 I1 + 9 I2\n7 = 9 I1 + 15 I2\n"
        "144 I1 = 117\nI1 = 117/144 = 0.813 A\nI2 = (7 - 9*0.813)/15 = -0.0211 A\n"
        "I3 = 0.813 - 0.0211 = 0.792 A"
    )
    wrong = [v for v in read(OHMS, after).verdicts if v.kind is ClaimKind.UNTRUE]
    assert [v.line for v in wrong] == [5, 6, 7, 8, 9]  # the arithmetic of each is right
    assert [v.carried for v in wrong] == [False, True, True, True, True]
    assert {v.cause for v in wrong} == {5}


TWO_EMFS = """
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, +E2, R2, a"
I3 = "b, R3, a"
[numbers]
E1 = "13 V"
E2 = "0.7 V"
R1 = "28 ohm"
R2 = "19 ohm"
R3 = "0.4 ohm"
"""


@pytest.mark.parametrize(("ohms", "holds"), [("19", True), ("20", False)])
def test_a_sum_of_emfs_is_exact_and_leaves_no_room_for_a_wrong_resistance(ohms: str, holds: bool) -> None:
    """13 V and 0.7 V in a row are 13.7 V: taken for rounded, they made room for 20 in the place of 19, since
    little runs there."""
    reading = read_working(circuit_of(TWO_EMFS), f"13.7 - 28 I1 - {ohms} I2 = 0")
    assert reading.verdicts[0].holds is holds


TWO_LOOPS = """
[branches]
I2 = "top, R2, +E2, foot"
I3 = "foot, R3, +E3, top"
I4 = "top, R4, foot"
[numbers]
E2 = "15 V"
E3 = "7.5 V"
R2 = "1.5 ohm"
R3 = "2.2 ohm"
R4 = "6.8 ohm"
"""
LADDER_OF_FIVE = """
[branches]
I1 = "k, +E1, R1, g"
I2 = "g, R2, k"
I3 = "l, R3, k"
I4 = "g, R4, l"
[numbers]
E1 = "3 V"
R1 = "20 kohm"
R2 = "5 kohm"
R3 = "18 kohm"
R4 = "3.467 kohm"
"""
SAME_SIZES = """
[branches]
I2 = "g, R2, +E2, a"
I3 = "a, R3, g"
I4 = "a, R4, b"
I5 = "b, R5, g"
I6 = "b, R6, g"
[numbers]
E2 = "7.5 V"
R2 = "5 ohm"
R3 = "2.5 ohm"
R4 = "3 ohm"
R5 = "12 ohm"
R6 = "4 ohm"
"""


@pytest.mark.parametrize(("last", "right"), [("-6.54", True), ("-6.53", False)])
def test_a_factor_of_an_exact_equation_was_not_rounded(last: str, right: bool) -> None:
    equations = "1.5ia + 6.8(ia + ib) = -15\n2.2ib + 6.8(ib + ia) = 7.5\n28.46ia = -186\n"
    reading = read_working(circuit_of(TWO_LOOPS), f"{equations}ia = (-186)/28.46 = {last} A")
    assert reading.verdicts[-1].holds is right


@pytest.mark.parametrize(("last", "right"), [("24.06", True), ("24.05", False)])
def test_a_number_that_stands_twice_is_the_same_each_time(last: str, right: bool) -> None:
    text = "Rs = 18 + 3.467 = 21.47\nRp = 5·21.47/(5 + 21.47) = 4.056\nRq = 20 + 4.056 = "
    assert read_working(circuit_of(LADDER_OF_FIVE), text + last).verdicts[-1].holds is right


def test_a_sum_of_two_equal_numbers_may_be_of_two_things() -> None:
    text = "Rp = 12·4/(12 + 4) = 3\nRs = 3 + 3 = 6\nRq = 2.5·6/(2.5 + 6) = 1.76"
    assert read_working(circuit_of(SAME_SIZES), text).right


TWO_POTENTIALS = """
[branches]
I1 = "g, R1, -E1, a"
I2 = "a, R2, g"
I3 = "a, R3, b"
I4 = "b, R4, g"
I5 = "b, +E5, R5, g"
[numbers]
E1 = "20 V"
E5 = "12.5 V"
R1 = "3 ohm"
R2 = "6 ohm"
R3 = "18 ohm"
R4 = "2.5 ohm"
R5 = "3.3 ohm"
"""


@pytest.mark.parametrize(("last", "right"), [("(-6)/2.5 = -2.4", True), ("(-5)/2.5 = -2", False)])
def test_a_whole_number_worked_out_from_a_rounded_one_is_rounded_too(last: str, right: bool) -> None:
    """The potential of b is -5.91 V; one resistance is of 6 ohm."""
    lines = "Va = -12.6\nVb = 120 + 10·(-12.6) = -6\n(-Va - 20)/3 = Va/6 + (Va - Vb)/18\nI4 = "
    assert read_working(circuit_of(TWO_POTENTIALS), lines + last).right is right


CANCELLING = """
[branches]
I2 = "a, R2, +E2, g"
I3 = "g, -E3, R3, a"
I4 = "g, R4, a"
[numbers]
E2 = "15 V"
E3 = "24 V"
R2 = "2.2 kohm"
R3 = "10 kohm"
R4 = "18 kohm"
"""


@pytest.mark.parametrize(
    ("last", "right"), [("-0.0497", True), ("-0.0455", True), ("-0.0479", False), ("-0.0510", False)]
)
def test_a_chain_may_end_in_the_true_value_where_rounded_numbers_cancel(last: str, right: bool) -> None:
    """The potential of a is -15.1093 V, so that I2 is -0.04969 mA; -15.1 + 15 by itself leaves one figure."""
    text = (
        "I4 = 16.6/(1.80 + 18) = 0.839 mA\nV = -I4 R4 = -0.839*18 = -15.1 V\n"
        f"I2 = (V + E2)/R2 = (-15.1 + 15)/2.2 = {last} mA"
    )
    assert read_working(circuit_of(CANCELLING), text).verdicts[-1].holds is right


NEARLY_EQUAL = """
[branches]
I2 = "G, +E2, R2, K"
I3 = "K, R3, G"
I4 = "K, R4, L"
I5 = "L, -E5, R5, G"
I6 = "L, R6, G"
[numbers]
E2 = "20 V"
E5 = "18 V"
R2 = "4 kohm"
R3 = "10 kohm"
R4 = "3.3 kohm"
R5 = "2.2 kohm"
R6 = "18 kohm"
"""


@pytest.mark.parametrize(
    ("said", "right"),
    [
        ("(14.9 - 15.6)/3.3 = -0.212", True),
        ("(15.6 - 14.9)/3.3 = 0.212", False),
        ("(14.9 - 15.6)/2.2 = -0.318", False),
        ("(14.9 - 16.5)/3.3 = -0.485", False),
    ],
)
def test_the_difference_of_nearly_equal_potentials_is_as_rough_as_it_must_be(said: str, right: bool) -> None:
    """The potentials are 14.904 and 15.617 V, so that I4 is -0.2161 mA."""
    text = (
        "Potential of G is zero. Potentials V_K at K, V_L at L.\n-0.653 V_K + 0.303 V_L = -5\n"
        "V_K = 1295.86/86.953 = 14.9\nV_L = (-5 + 0.653·14.9)/0.303 = 15.6\nI4 = "
    )
    assert read_working(circuit_of(NEARLY_EQUAL), text + said).right is right


ONE_POTENTIAL = """
[branches]
I1 = "g, R1, +E1, a"
I2 = "a, R2, +E2, g"
I3 = "g, R3, a"
[numbers]
E1 = "20 V"
E2 = "5 V"
R1 = "20 ohm"
R2 = "18 ohm"
R3 = "15 ohm"
"""


@pytest.mark.parametrize(("last", "right"), [("0.5108", True), ("0.5107", False)])
def test_a_cut_off_number_is_told_where_nothing_that_rounds_to_those_above_gives_it(
    last: str, right: bool
) -> None:
    """4.194 stands for 4.1935 at the least, and (4.1935 + 5)/18 = 0.51075 rounds to 0.5108."""
    text = "V = 0.72222/0.17222 = 4.194 V\nI2 = (4.194 + 5)/18 = "
    assert accused(ONE_POTENTIAL, f"{text}{last} A") == ([] if right else ["(4.194 + 5)/18 = 0.5107 A"])


def test_numbers_whose_roundings_cancel_in_a_true_sum_may_be_rounded_all_the_same() -> None:
    """I4 = 1.25 A and I5 = 31/34 A: 0.91176 + 0.33824 is 1.25 to the last figure, and no 0.91176 is exact."""
    circuit = """
[branches]
I1 = "s, +E1, R1, n"
I2 = "n, R2, m"
I3 = "m, R3, +E3, s"
I4 = "n, R4, w"
I5 = "w, R5, s"
I6 = "w, R6, m"
[numbers]
E1 = "20 V"
E3 = "8 V"
R1 = "2 ohm"
R2 = "4 ohm"
R3 = "3 ohm"
R4 = "6 ohm"
R5 = "5 ohm"
R6 = "10 ohm"
"""
    text = "I4 = 0.91176 + 0.33824 = 1.25 A\nI1 = (20 - 6*1.25 - 5*0.91176)/2 = 3.97 A"
    assert not accused(circuit, text)
    assert accused(circuit, text.replace("3.97 A", "3.98 A")) == ["(20 − 6 × 1.25 − 5 × 0.91176)/2 = 3.98 A"]


@pytest.mark.parametrize(("last", "right"), [("2.727", True), ("2.726", False)])
def test_a_resistance_of_a_known_formula_was_rounded_from_what_that_gives(last: str, right: bool) -> None:
    """4.500 is 18·6/24 and exact, so that 10/16.50 is 0.60606 or 0.6061, and neither gives 2.726."""
    circuit = """
[branches]
I1 = "x, +E1, R1, o"
I2 = "o, R2, x"
I3 = "o, R3, R9, x"
[numbers]
E1 = "10 V"
R1 = "12 ohm"
R2 = "18 ohm"
R3 = "2 ohm"
R9 = "4 ohm"
"""
    text = (
        "Rp = R3 + R9 = 2 + 4 = 6.000 ohm\nRs = 1/(1/R2 + 1/Rp) = 1/(1/18 + 1/6.000) = 4.500 ohm\n"
        "Req = R1 + Rs = 12 + 4.500 = 16.50 ohm\nI1 = E1/Req = 10/16.50 = 0.6061 A\n"
        "U = E1 - I1 R1 = 10 - 0.6061*12 = "
    )
    assert accused(circuit, f"{text}{last} V") == ([] if right else ["10 − 0.6061 × 12 = 2.726 V"])
