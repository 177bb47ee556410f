"""Ways through the circuit and senses of currents told in words, names of currents by their resistors, and
signs as people type them.

The circuit: 12 V with 1 Ω inside and 5 Ω, 24 V and 2 Ω, side by side on 9 Ω: −1, 3 and 2 A, 18 V.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

CIRCUIT = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "Y, +E1, R1, X"
I2 = "Y, +E2, R2, X"
I3 = "X, R3, Y"
[elements]
E1 = { value = "E1", internal = "r1" }
[numbers]
E1 = "12 V"
E2 = "24 V"
r1 = "1 ohm"
R1 = "5 ohm"
R2 = "2 ohm"
R3 = "9 ohm"
"""


def read(text: str, *, decimal_comma: bool = False) -> Reading:
    return read_working(circuit_of(CIRCUIT), text, decimal_comma=decimal_comma)


def untrue(text: str) -> list[int]:
    return [v.line for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


def all_right(text: str, claims: int, *, decimal_comma: bool = False) -> bool:
    """Whether a text is read whole, holds so many claims, and all of them are right."""
    reading = read(text, decimal_comma=decimal_comma)
    troubles = [line.trouble for line in reading.working.lines if line.trouble]
    return not troubles and len(reading.verdicts) == claims and all(v.holds for v in reading.verdicts)


# -- ways ----------------------------------------------------------------------------------------------

LOOPS = """mesh current p: Y → E1 → r1 → R1 → X → R3 → Y
q goes round Y -> E2 -> R2 -> X -> R3 -> Y
12 = p + 5p + 9(p + q)
24 - 2q - 9(p + q) = 0
"""


def test_way_walked_round_a_loop_is_no_limit_and_says_what_its_current_is() -> None:
    assert all_right(LOOPS, 2)
    assert all_right(LOOPS + "I1 = p = -1 A\nI2 = q = 3 A\nI3 = p + q = 2 A", 8)


def test_loop_equation_with_the_sense_that_was_not_walked_is_untrue() -> None:
    assert untrue(LOOPS.replace("9(p + q) = 0", "9(q - p) = 0")) == [4]
    assert untrue(LOOPS + "I1 = -p") == [5]


def test_way_alone_in_a_line_claims_nothing() -> None:
    assert read("Loop I: Y –> E1 –> r1 –> R1 –> X –> R3 –> Y").verdicts == ()


def test_limits_stay_limits() -> None:
    assert all_right("as R3 → ∞, I3 → 0", 1)
    assert untrue("as R3 → 0, I3 → 0") == [1]


# -- senses --------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "line",
    [
        "current in R1 = 1 A from X to Y",
        "current in r1 = 1 A from X to Y",
        "R2: 3 A, Y to X",
        "Answer: R3: 2.0 A (X to Y)",
        "2 A flows through R3 from X to Y",
        "R1: -1 A from Y to X",
        "2 A durch R3",
    ],
)
def test_size_and_way_of_a_current_are_its_value(line: str) -> None:
    assert not untrue(line)
    assert not read(line).working.lines[0].trouble


@pytest.mark.parametrize(
    "line",
    [
        "current in R1 = 1 A from Y to X",
        "R2: 3 A, X to Y",
        "2 A through R3 from Y to X",
        "R3: 3 A, X to Y",
        "So the currents are R1: 1 A, X to Y; 3 A through R2 from X to Y",
    ],
)
def test_wrong_way_or_size_of_a_current_is_untrue(line: str) -> None:
    assert untrue(line) == [1]


def test_way_is_held_to_the_arrow_that_the_working_declares() -> None:
    own = "u: X -> Y through R1\nv: X -> Y through R2\nu + v + I3 = 0\n"
    assert all_right(own + "u = 1 A\nR1: 1 A, X to Y\nR2: 3 A from Y to X", 4)
    assert untrue(own + "R2: 3 A from X to Y") == [4]


# -- names and signs -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "claims"),
    [
        ("V_q = I_R3 R3 = 18 V", 2),
        ("Vp = E1 - I_R1 r1 - I_R1 R1", 1),
        ("IR2 = 3 A", 1),
        ("I_R3 = \\frac{18}{R3} = 2 A", 2),
        ("P(R3) = 2² x 9 = 36 W", 2),
        ("U_XY = 2·\\frac{18}{2} = 18 V", 2),
        ("3 x 4 – (–3) x (–3) = 3", 1),
        ("Reqa = R2 R3/(R2 + R3) = 1.636", 2),
        ("I1 + I2 = I3   (1); 12 = 6 I1 + 9 I3   (2)", 2),
        ("current in r1 = -1 A", 1),
    ],
)
def test_written_as_people_write(line: str, claims: int) -> None:
    assert all_right(line, claims)


@pytest.mark.parametrize(
    "line",
    [
        "V_q = I_R3 R3 = 16 V",
        "IR2 = 2 A",
        "P(R3) = 2² x 9 = 35 W",
        "3 x 4 – (–3) x (–3) = 21",
        "I1 + I2 = I3   (1); 12 = 6 I1 - 9 I3   (2)",
        "I3 = 1   (2); I1 = -1",
    ],
)
def test_what_is_wrong_in_them_is_still_found(line: str) -> None:
    assert untrue(line) == [1]


def test_determinant_with_decimal_commas() -> None:
    assert all_right("D = |8,5 6; 6 18| = 8,5·18 - 6·6 = 117", 3, decimal_comma=True)


# -- headings ------------------------------------------------------------------------------------------

PARTS = """{first}
I1' = 12/(6 + 2·9/11) = 1.571 A
I2' = -1.571·9/11 = -1.286 A
{second}
I2'' = 24/(2 + 6·9/15) = 4.286 A
I1'' = -4.286·9/15 = -2.571 A
{both}
I2 = -1.286 + 4.286 = 3.00 A
I1 = I1' + I1'' = -1.00 A"""


@pytest.mark.parametrize(
    ("first", "second", "both"),
    [
        ("E1 on, E2 shorted:", "E2 on, E1 shorted:", "Both together:"),
        ("nur E1:", "E2 allein:", "Überlagerung:"),
        ("E1 seule :", "E2 seule :", "Somme :"),
        ("solo E1:", "sólo E2:", "Suma:"),
    ],
)
def test_headings_of_parts(first: str, second: str, both: str) -> None:
    text = PARTS.format(first=first, second=second, both=both)
    assert not untrue(text)
    assert untrue(text.replace("-4.286·9/15 = -2.571", "-4.286·6/15 = -1.714")) == [6]


BY_RESISTORS = """E1 alone:
I_{R1a} = 12/(6 + 2·9/11) = 1.571 A
I_{R2a} = -I_{R1a} R3/(R2 + R3) = -1.286 A
E2 alone:
I_{R2b} = 24/(2 + 6·9/15) = 4.286 A
together:
I_R2 = -1.286 + 4.286 = 3.00 A"""


def test_parts_are_called_by_the_resistors_they_pass() -> None:
    assert not untrue(BY_RESISTORS)
    wrong = BY_RESISTORS.replace("= 12/(6 + 2·9/11) = 1.571", "= -12/(6 + 2·9/11) = -1.571")
    assert untrue(wrong.replace("-1.286", "1.286").replace("3.00", "5.57")) == [2]


# -- several in a line, and names that look like products ----------------------------------------------


def test_several_arrows_are_declared_in_one_line() -> None:
    own = "u: X -> Y through R1; v: X -> Y through R2; let w be the current in R3, from X to Y\n"
    assert all_right(own + "u + v + w = 0\nu = 1 A\nv = -3 A\nw = 2 A", 4)
    assert untrue(own + "u = v + w") == [2]


def test_current_in_an_internal_resistance_is_that_of_its_branch() -> None:
    assert all_right("I_r1 = -1 A", 1)
    assert untrue("I_r1 = 1 A") == [1]


DETERMINANTS = """p: Y → E1 → r1 → R1 → X → R3 → Y
q: Y → E2 → R2 → X → R3 → Y
15 p + 9 q = 12
9 p + 11 q = 24
D = 15·11 - 9·9 = 84
D_q2 = 15·24 - 9·12 = 252
q2 = D_q2/D = 3 A"""


def test_determinant_with_the_name_of_its_unknown_is_no_product() -> None:
    text = DETERMINANTS.replace("q", "q2").replace("q22", "q2")
    assert not untrue(text)
    assert untrue(text.replace("D_q2/D = 3", "D/D_q2 = 0.333")) == [7]


def test_determinant_between_bars_takes_any_minus() -> None:
    assert all_right("D = |–8 12; –30 –14| = 472", 2)
    assert untrue("D = |–8 12; –30 –14| = 372") == [1]


def test_size_and_way_stand_behind_a_word_too() -> None:
    assert all_right("which gives 2 A through R3 from X to Y", 1)
    assert untrue("which gives 2 A through R3 from Y to X") == [1]
