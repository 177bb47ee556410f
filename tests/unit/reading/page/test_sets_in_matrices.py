"""Matrices that stand for sets of equations are read as these; row operations say nothing of the circuit."""

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
ROWS = ["9 J1 − 6 J2 = 9", "−6 J1 + 8 J2 = −4"]


def read(text: str) -> list[tuple[int, str]]:
    """Every claim with the number of its line."""
    lines = working(text, circuit_of(TWO_LOOPS), names=["J1", "J2"]).lines
    assert [line.trouble for line in lines if line.trouble] == []
    return [(line.number, as_text((claim.written,))) for line in lines for claim in line.claims]


@pytest.mark.parametrize(
    "matrix",
    [
        "[9 -6 | 9; -6 8 | -4]",
        "[9 -6 9; -6 8 -4]",
        "(A|b) = [9, -6 | 9; -6, 8 | -4]",
        r"\left(\begin{array}{rr|r} 9 & -6 & 9 \\ -6 & 8 & -4 \end{array}\right)",
        r"\begin{bmatrix} 9 & -6 & 9 \\ -6 & 8 & -4 \end{bmatrix}",
    ],
)
def test_the_rows_of_an_augmented_matrix_are_equations_in_the_names_listed_above(matrix: str) -> None:
    assert read(f"unknowns J1, J2\n{matrix}") == [(2, row) for row in ROWS]


@pytest.mark.parametrize(
    "rows",
    ["[ 9 -6 | 9 ]\n[ -6 8 | -4 ]", "| 9 -6 | 9 |\n| -6 8 | -4 |", " 9  -6 | 9\n-6   8 | -4"],
)
def test_a_row_a_line_is_an_equation_a_line(rows: str) -> None:
    assert read(f"mesh currents J1 and J2\n{rows}") == [(2, ROWS[0]), (3, ROWS[1])]


def test_without_a_list_the_columns_are_of_what_gets_results_below_by_their_marks() -> None:
    text = "[9 -6 | 9; -6 8 | -4]\nJ2 = 18/36 = 0.5\nJ1 = (9 + 6*0.5)/9"
    assert read(text)[:2] == [(1, row) for row in ROWS]
    assert read("[9 -6 | 9; -6 8 | -4]\nJ2 = 0.5") == [(2, "J2 = 0.5")]


@pytest.mark.parametrize(
    "operation",
    [
        "R2 -> R2 + 2/3 R1:",
        r"R_2 \to R_2 + \frac{2}{3} R_1:",
        "L2 ← L2 + (2/3) L1",
        "Row 2 + 2/3*Row 1:",
        "II + 2/3 I:",
    ],
)
def test_a_row_operation_says_nothing_of_the_circuit(operation: str) -> None:
    text = f"unknowns J1, J2\n[9 -6 | 9; -6 8 | -4]\n{operation} [0 4 | 2]"
    assert read(text)[2:] == [(3, "4 J2 = 2")]


def test_what_matrices_become_one_after_another_is_read_too() -> None:
    text = "unknowns J1, J2\n[9 -6 | 9; -6 8 | -4] ~ [9 -6 | 9; 0 4 | 2] ~ [1 0 | 4/3; 0 1 | 0.5]"
    assert [said for _, said in read(text)] == [*ROWS, ROWS[0], "4 J2 = 2", "J1 = 4/3", "J2 = 0.5"]


@pytest.mark.parametrize(
    "text",
    [
        "A = [9 -6; -6 8], b = [9; -4]\nx = A^-1 b = [1.333; 0.5]\nJ1 = 1.333 A, J2 = 0.5 A",
        "A = np.array([[9, -6], [-6, 8]])\nb = np.array([9, -4])\nJ1 = 1.333 A, J2 = 0.5 A",
        "x = [J1; J2]\nR = [9 -6; -6 8]\nV = [9 -4]^T\nJ1 = 1.333 A",
    ],
)
def test_a_matrix_and_the_column_behind_it_are_a_set(text: str) -> None:
    said = [words for _, words in read(text)]
    assert said[:2] == ROWS
    assert "J1 = 1.333 A" in said


def test_determinants_alone_are_of_the_equations_that_they_show_where_the_constants_stand() -> None:
    text = "D = |9 -6; -6 8| = 36\nD1 = |9 -6; -4 8| = 48\nJ1 = D1/D = 1.33 A, J2 = 0.5 A"
    assert [said for at, said in read(text) if at == 2][:2] == ROWS
    above = "9 J1 - 6 J2 = 9\n-6 J1 + 8 J2 = -4\n"
    assert [said for at, said in read(above + text) if at == 4] == [
        "D1 = 9 × 8 − (−6) (−4)",
        "9 × 8 − (−6) (−4) = 48",
    ]


@pytest.mark.parametrize("text", ["I1 = 2 A [Ohm's law | loop 1]", "5 I1 = 10 | : 5"])
def test_brackets_and_bars_elsewhere_are_no_matrices(text: str) -> None:
    assert len(read(f"J1, J2\n{text}\nJ1 = 1 A, J2 = 2 A")) == 3


def test_what_a_matrix_is_turned_over_says_nothing_by_itself() -> None:
    text = "[9 -6; -6 8] [J1; J2] = [9; -4]\ninverse = 1/36 * [8 6; 6 9]\nJ1 = 48/36"
    assert [number for number, _ in read(text)] == [1, 1, 3]
