"""Equations with rounded coefficients follow from those above, coefficient by coefficient; a slip in one does
not, however little the currents are off by it."""

from __future__ import annotations

import pytest

from loopwright import read_working
from tests.sample_circuits import circuit_of

TWO_MESHES = circuit_of("""
find = ["I1", "I2", "I3", "I4", "I5"]
[branches]
I1 = "q, R1, +V1, p"
I2 = "p, +V2, R2, q"
I3 = "p, R3, r"
I4 = "r, R4, q"
I5 = "r, R5, q"
[elements]
V2 = { kind = "battery", value = "V2", internal = "r2" }
[numbers]
V1 = "18 V"
V2 = "9 V"
R1 = "12 ohm"
r2 = "0.3 ohm"
R2 = "15 ohm"
R3 = "4 ohm"
R4 = "3 ohm"
R5 = "25 ohm"
""")
# worked by hand, four figures carried
LINES = [
    "27.3 x - 15.3 y = 27",
    "-9 = 44.3 y - 25 z - 15.3 x",
    "28 z - 25 y = 0",
    "x = (27 + 15.3 y)/27.3 = 0.9890 + 0.5604 y",
    "6.1317 - 35.73 y + 25 z = 0",
    "y = (6.1317 + 25 z)/35.73",
    "28 z - 25(0.1716 + 0.6997 z) = 0",
    "4.29 = 10.51 z",
    "z = 4.29/10.51 = 0.408",
    "y = 0.1716 + 0.6997*0.408 = 0.457",
    "x = 0.9890 + 0.5604*0.457 = 1.25",
]


def wrong_lines(lines: list[str]) -> list[int]:
    reading = read_working(TWO_MESHES, "\n".join(lines))
    assert not [line.text for line in reading.working.lines if line.trouble]
    return list(dict.fromkeys(v.line for v in reading.verdicts if not v.holds))


def test_rounded_coefficients_are_carried_from_line_to_line() -> None:
    assert wrong_lines(LINES) == []


@pytest.mark.parametrize(
    ("line", "slip"),
    [
        (5, "6.1317 - 35.37 y + 25 z = 0"),
        (5, "6.3117 - 35.73 y + 25 z = 0"),
        (7, "28 z - 25(0.1761 + 0.6997 z) = 0"),
        (7, "28 z - 25(0.1716 + 0.6979 z) = 0"),
        (8, "4.29 = 10.15 z"),
        (8, "4.92 = 10.51 z"),
        (8, "4.29 = 45.49 z"),
    ],
)
def test_a_slip_in_a_coefficient_is_told(line: int, slip: str) -> None:
    lines = [*LINES[: line - 1], slip]
    assert wrong_lines(lines) == [line]


SERIES = circuit_of("""
[branches]
I1 = "L, +V1, K"
I2 = "K, R1, R2, L"
I3 = "K, R3, R4, L"
[elements]
V1 = { kind = "battery", value = "V1", internal = "r1" }
[numbers]
V1 = "12 V"
r1 = "0.3 ohm"
R1 = "8 ohm"
R2 = "6 ohm"
R3 = "18 ohm"
R4 = "25 ohm"
""")


@pytest.mark.parametrize(("said", "right"), [("8 ohm + 6 ohm", True), ("0.3 ohm + 6 ohm", False)])
def test_a_name_counts_resistances_with_its_own_letter(said: str, right: bool) -> None:
    """R12 is of R1 and R2, also where a battery has an r1 inside."""
    assert read_working(SERIES, f"R12 = {said}").right is right


def test_the_numbers_put_into_a_true_formula_may_be_rounded_to_two_figures() -> None:
    """I2 = 12·43/(57·10.861) = 0.8335 A; 6·0.83² = 4.13, and not 4.17 W."""
    begun = "I2 = 0.83 A\nP2 = R2 I2^2\n"
    assert read_working(SERIES, f"{begun}P2 = 6*0.83^2\nP2 = 4.1 W").right
    assert not read_working(SERIES, f"{begun}P2 = 6*0.84^2").right


def test_after_a_numerator_by_its_place_the_next_is_by_its_place_too() -> None:
    """Unknowns m1, m3, m4: D2 is of m3, so that D3 is of m4, although m3 ends in 3."""
    circuit = circuit_of("""
[branches]
I1 = "base, R1, +E1, top"
I2 = "top, +J1, base"
I3 = "top, R3, mid"
I4 = "top, R4, mid"
I5 = "base, R5, mid"
I6 = "base, R6, mid"
[numbers]
E1 = "1.5 V"
R1 = "3.9 ohm"
R3 = "18 ohm"
R4 = "1.5 ohm"
R5 = "2.2 ohm"
R6 = "4.7 ohm"
J1 = "1 A"
""")
    lines = [
        "Loop current m1 round R1, E1, R4, R5, through R1 from base to top",
        "Loop current J1 round J1, R5, R4, through J1 from top to base",
        "Loop current m3 round R3, R4, through R3 from top to mid",
        "Loop current m4 round R6, R5, through R6 from base to mid",
        "7.6 m1 - 1.5 m3 + 2.2 m4 = 5.2",
        "-1.5 = 19.5 m3 - 1.5 m1",
        "6.9 m4 + 2.2 m1 = 2.2",
        "D = 7.6*19.5*6.9 - 2.2*19.5*2.2 - (-1.5)(-1.5)*6.9 = 912.7",
        "D2 = 7.6(-1.5)*6.9 + 2.2(-1.5)*2.2 - 2.2(-1.5)*2.2 - 5.2(-1.5)*6.9 = -24.84",
        "m3 = D2/D = -24.84/912.7 = -0.0272 A",
        "D3 = 7.6*19.5*2.2 + (-1.5)(-1.5)*2.2 - 5.2*19.5*2.2 - (-1.5)(-1.5)*2.2 = 102.96",
        "m4 = D3/D = 102.96/912.7 = 0.113 A",
    ]
    assert read_working(circuit, "\n".join(lines)).right
    slip = [line.replace("(-1.5)(-1.5)*2.2 = 102.96", "(-1.5)(-1.5)*2.2 = 120.96") for line in lines]
    assert not read_working(circuit, "\n".join(slip)).right


YARD = circuit_of("""
[branches]
I1 = "g, +E1, R1, p"
I2 = "p, R2, q"
I3 = "p, R3, g"
I4 = "g, -E2, R4, q"
I5 = "q, R5, g"
[numbers]
E1 = "18 V"
E2 = "15 V"
R1 = "2 ohm"
R2 = "6 ohm"
R3 = "8 ohm"
R4 = "8 ohm"
R5 = "8 ohm"
""")
ILL_CONDITIONED = """ground at g
0.792 Vp - 0.167 Vq = 9
0.417 Vq - 0.167 Vp = -1.88
Vp = (9 + 0.167 Vq)/0.792 = 11.4 + 0.211 Vq
0.417 Vq - 0.167(11.4 + 0.211 Vq) = -1.88
"""


@pytest.mark.parametrize(
    ("left", "right"),  # exactly 0.381763 Vq = 0.0238 of the line above, 0.3819 Vq = 0.01975 without rounding
    [
        ("0.382 Vq = 0.0238", True), ("0.3818 Vq = 0.02380", True), ("0.382 Vq = 0.0283", False),
        ("0.382 Vq = 0.0328", False), ("0.452 Vq = 0.0238", False), ("0.382 Vq = -0.0238", False),
    ],
)  # fmt: skip
def test_what_is_left_of_rounded_terms_is_held_to_these_as_they_stand(left: str, right: bool) -> None:
    reading = read_working(YARD, ILL_CONDITIONED + left)
    assert [v.holds for v in reading.verdicts if v.line == 6] == [right]
    assert all(v.holds for v in reading.verdicts if v.line < 6)


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("(-4 + 10.4 I4)/34.7 = -0.115 + 0.300 I4", True),  # 0.2997, and R2 is 0.3 ohm
        ("(-4 + 10.4 I4)/34.7 = -0.115 + 0.310 I4", False),
    ],
)
def test_a_coefficient_brought_to_three_figures_is_no_value_of_the_problem(
    written: str, *, right: bool
) -> None:
    own = circuit_of("""
    [branches]
    I4 = "a, +E1, R1, b"
    I2 = "b, R2, a"
    [numbers]
    E1 = "4 V"
    R1 = "2 ohm"
    R2 = "0.3 ohm"
    """)
    assert [v.holds for v in read_working(own, written).verdicts] == [right]
