"""Matrices drawn over several lines are read as one, equations of matrices as the equations of their rows."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.page.lines import working
from tests.sample_circuits import circuit_of

TWO_LOOPS = """
[branches]
I1 = "o, +E1, R1, p"
I2 = "p, R2, -E2, o"
I3 = "p, R3, o"
"""


def read(text: str) -> list[tuple[int, str]]:
    """Every claim with the number of its line."""
    lines = working(text, circuit_of(TWO_LOOPS), names=["J1", "J2"]).lines
    assert [line.trouble for line in lines if line.trouble] == []
    return [(line.number, as_text((claim.written,))) for line in lines for claim in line.claims]


ROWS = ["9 J1 − 6 J2 = 9", "−6 J1 + 8 J2 = −4"]


@pytest.mark.parametrize(
    "text",
    [
        "[9 -6; -6 8][J1; J2] = [9; -4]",
        "[ 9 -6 ] [J1]   [ 9 ]\n[ -6 8 ] [J2] = [ -4 ]",
        "⎡ 9 -6⎤ ⎡J1⎤   ⎡ 9⎤\n⎢     ⎥ ⎢  ⎥ = ⎢  ⎥\n⎣-6  8⎦ ⎣J2⎦   ⎣-4⎦",
        r"\[ \begin{pmatrix} 9 & -6 \\ -6 & 8 \end{pmatrix} \cdot \begin{pmatrix} J_1 \\ J_2 \end{pmatrix}"
        "\n"
        r"= \begin{pmatrix} 9 \\ -4 \end{pmatrix} \]",
        "\\begin{bmatrix}\n9 & -6 \\\\\n-6 & 8\n\\end{bmatrix}\n"
        "\\begin{bmatrix} J_1 \\\\ J_2 \\end{bmatrix}\n"
        "=\n"
        "\\begin{bmatrix} 9 \\\\ -4 \\end{bmatrix}",
    ],
)
def test_an_equation_of_matrices_is_that_of_its_rows(text: str) -> None:
    assert read(text) == [(1, row) for row in ROWS]


def test_letters_and_a_column_of_results_are_read_too() -> None:
    text = "[R1 + R3, -R3; -R3, R2 + R3] [J1; J2] = [E1; -E2]\n[J1; J2] = [1.33; 0.5] A"
    assert read(text) == [
        (1, "(R1 + R3) J1 − R3 J2 = E1"),
        (1, "−R3 J1 + (R2 + R3) J2 = −E2"),
        (2, "J1 = 1.33 A"),
        (2, "J2 = 0.5 A"),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "D = | 9 -6 |\n    | -6 8 | = 36",
        "    | 9 -6 |\nD = |      | = 36\n    | -6 8 |",
        "\\[ D = \\begin{vmatrix}\n9 & -6 \\\\\n-6 & 8\n\\end{vmatrix} = 36 \\]",
    ],
)
def test_a_determinant_may_be_drawn_over_several_lines(text: str) -> None:
    assert read(text) == [(1, "D = 9 × 8 − (−6) (−6)"), (1, "9 × 8 − (−6) (−6) = 36")]


def test_two_determinants_side_by_side_stay_apart() -> None:
    assert read("D = |9 -6|, D1 = | 9 -6|\n    |-6 8|       |-4  8|\nJ1 = D1/D") == [
        (1, "D = 9 × 8 − (−6) (−6)"),
        (1, "D1 = 9 × 8 − (−6) (−4)"),
        (3, "J1 = D1/D"),
    ]


@pytest.mark.parametrize("text", ["|I1| = 2 A\n|I2| = 3 A", "[1] I1 = 2 A\n[2] I2 = 3 A"])
def test_bars_and_brackets_of_other_kinds_stay_what_they_are(text: str) -> None:
    lines = working(text, circuit_of(TWO_LOOPS)).lines
    assert [line.text for line in lines] == text.split("\n")


def test_a_product_that_does_not_fit_is_not_made_up() -> None:
    (line,) = working("[9 -6; -6 8] [J1; J2; J3] = [9; -4]", circuit_of(TWO_LOOPS)).lines
    assert line.trouble is not None


def test_bars_round_the_matrices_of_an_equation_are_brackets() -> None:
    rows = "| 9 -6 | | J1 |   | 3 |\n| -6 8 | | J2 | = | 4 |"
    assert read(rows) == [(1, "9 J1 − 6 J2 = 3"), (1, "−6 J1 + 8 J2 = 4")]


def test_round_brackets_hold_matrices_too() -> None:
    assert read("(9 -6; -6 8) (J1; J2) = (9; -4)") == [(1, row) for row in ROWS]
    assert read("( 9 -6 ) (J1)   ( 9 )\n( -6 8 ) (J2) = ( -4 )") == [(1, row) for row in ROWS]
    assert read("5 (J1 + J2) = (9 + 4)\n(9 - 6) (J2) = (4 - 8)") == [
        (1, "5 (J1 + J2) = 9 + 4"),
        (2, "(9 − 6) J2 = 4 − 8"),
    ]
