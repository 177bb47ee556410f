"""What is made of wrong results follows from them: put back into a line far above, added as fractions, and
with the unit behind a fraction.

The circuits: a ladder of two batteries, 4 V behind 10 Ω on 4 Ω, 8 Ω on, 20 Ω beside 3 V behind 3 Ω; three
batteries side by side, 18, 6 and 6 V behind 5, 15 and 12 kΩ; 8 V behind 3 Ω on 9 Ω beside 4 Ω and 5 Ω.
"""

from __future__ import annotations

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

LADDER = """
find = ["I1", "I2", "I3", "I4", "I5"]
[branches]
I1 = "Z, +E1, R1, X"
I2 = "Z, R2, X"
I3 = "X, R3, Y"
I4 = "Y, R4, Z"
I5 = "Z, +E2, R5, Y"
[numbers]
R1 = "10 ohm"
E1 = "4 V"
R2 = "4 ohm"
R3 = "8 ohm"
R4 = "20 ohm"
R5 = "3 ohm"
E2 = "3 V"
"""
THREE = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, -E2, R2, a"
I3 = "a, -E3, R3, b"
[numbers]
R1 = "5 kohm"
E1 = "18 V"
R2 = "15 kohm"
E2 = "6 V"
R3 = "12 kohm"
E3 = "6 V"
"""
TWO_PATHS = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "c, +E, R1, a"
I2 = "a, R2, c"
I3 = "a, R3, R4, c"
[numbers]
E = "8 V"
R1 = "3 ohm"
R2 = "9 ohm"
R3 = "4 ohm"
R4 = "5 ohm"
"""
SOLVED = """m1: Z → E1 → R1 → X → R2 → Z
m2: Z → R2 → X → R3 → Y → R4 → Z
m3: Y → R4 → Z → E2 → R5 → Y
E1 - m1 R1 + R2 (m2 - m1) = 0
R2 (m2 - m1) + m2 R3 + R4 (m2 + m3) = 0
-R4 (m3 + m2) + E2 - m3 R5 = 0
14 m1 - 4 m2 = 4
-4 m1 + 32 m2 + 20 m3 = 0
20 m2 + 23 m3 = 3
28 m1 - 8 m2 = 4
216 m2 + 140 m3 = 4
92 = 4968 m2 + 3220 m3
-2168 m2 = 328
m2 = 328/(-2168) = -0.151 A
m3 = (3 - 20·(-0.151))/23 = 0.262 A
m1 = 0.242 A"""


def slips(text: str, source: str) -> list[int]:
    verdicts = read_working(circuit_of(source), text).verdicts
    return [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


def test_wrong_result_is_put_back_unrounded_into_an_equation_far_above() -> None:
    assert slips(SOLVED, LADDER) == [10]


def test_what_putting_back_does_not_give_is_a_slip_of_its_own() -> None:
    assert slips(SOLVED.replace("m1 = 0.242", "m1 = 0.224"), LADDER) == [10, 16]


def test_wrong_part_that_is_a_fraction_is_added_to_the_others() -> None:
    text = """E1 alone:
Req = R2 + R3 = 15 + 12 = 27 kohm
I1' = 18/(5 + 27) = 9/16 mA
E2 alone:
I1'' = -8/35 mA
E3 alone:
I1''' = 2/7 mA
Sum:
I1 = 9/16 - 8/35 + 2/7 = 347/560 mA"""
    assert slips(text, THREE) == [2]
    assert slips(text.replace("I1 = 9/16 - 8/35", "I1 = 9/16 + 8/35").replace("347", "603"), THREE) == [2, 9]


def test_fraction_with_its_unit_behind_it_is_gone_on_with() -> None:
    text = r"""R34 = R3 + R4 = 9 ohm
R234 = 9*9/(9 + 9) = 4.5 ohm
Rt = R_1 + R_{234} = \frac{17}{2} Ω
I_1 = E/Rt = \frac{16}{17} A"""
    assert slips(text, TWO_PATHS) == [3]
    assert slips(text.replace(r"\frac{16}{17}", r"\frac{17}{16}"), TWO_PATHS) == [3, 4]


# -- held in the calculator ----------------------------------------------------------------------------

RECIPROCAL = """R34 = R3 + R4 = 9
R234 = 1/R2 + 1/R34 = 1/9 + 1/9 = 0.22
Rt = 3 + 0.22 = 3.22
I1 = E/Rt = 2.483 A"""
DIVIDED = """R34 = 4 + 5 = 9
R234 = 9·9/18 = 4.5
I1 = 8/7.5 = 1.07 A
I2 = 1.07·4/9 = 0.474 A
I3 = I1 - I2 = 0.593 A"""


def test_wrong_result_may_be_gone_on_with_as_it_was_before_rounding() -> None:
    assert slips(RECIPROCAL, TWO_PATHS) == [2]
    assert slips(DIVIDED, TWO_PATHS) == [4]


def test_what_no_rounding_of_a_wrong_result_gives_is_a_slip_of_its_own() -> None:
    assert slips(RECIPROCAL.replace("2.483", "2.433"), TWO_PATHS) == [2, 4]
    assert slips(DIVIDED.replace("0.593", "0.539"), TWO_PATHS) == [4, 5]


def test_determinant_may_have_the_whole_name_of_its_unknown() -> None:
    text = """mesh current I_m1: c → E → R1 → a → R2 → c
mesh current I_m2: c → R2 → a → R3 → R4 → c
12 I_m1 - 9 I_m2 = 8
-9 I_m1 + 18 I_m2 = 0
D = 12·18 + 9·9 = 297
D_I_m1 = 8·18 = 144
I_m1 = D_I_m1/D = 0.485 A"""
    assert slips(text, TWO_PATHS) == [5]
    assert slips(text.replace("0.485", "0.845"), TWO_PATHS) == [5, 7]


NEAR_ONE_ANOTHER = """take Z as zero
19 V_X - 5 V_Y = 16
61 V_Y - 15 V_X = 120
V_Y = 3.8 V_X - 3.2
61 (3.8 V_X - 3.2) - 15 V_X = 120
216.8 V_X = 315.2
V_X = 315.2/216.8 = 1.15 V
V_Y = 3.8·1.15 - 3.2 = 1.19 V
I3 = (V_X - V_Y)/R3 = (1.15 - 1.19)/8 = -0.00390 A"""


def test_small_rest_of_wrong_results_may_have_been_held() -> None:
    assert slips(NEAR_ONE_ANOTHER, LADDER) == [7]
    assert slips(NEAR_ONE_ANOTHER.replace("0.00390", "0.0190"), LADDER) == [7, 9]
