"""Ways of writing that people have and the reader must bear with, and slips that it must not let pass.

The circuits: 18 V behind 3 Ω and 12 V behind 6 Ω on 4 Ω, 2.444, 0.222 and 2.667 A; 24 V behind 2 Ω on 8 Ω
beside 4 Ω before 6 Ω beside 12 Ω, 4, 2, 2, 4/3 and 2/3 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, FED_IN_KILOHMS, TWO_ON_ONE, circuit_of

TWO = 'find = ["I3"]' + TWO_ON_ONE
OPPOSED = TWO.replace("+E2", "-E2")
BRIDGE = """
find = ["I5"]
[branches]
I = "d, +E, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
[numbers]
E = "10 V"
R1 = "100 ohm"
R2 = "200 ohm"
R3 = "300 ohm"
R4 = "200 ohm"
R5 = "125 ohm"
"""


def read(text: str, source: str = FAR_END) -> Reading:
    return read_working(circuit_of(source), text)


def slips(text: str, source: str = FAR_END) -> list[tuple[int, str]]:
    return [
        (v.line, v.repairs[0].entry if v.repairs else "")
        for v in read(text, source).verdicts
        if v.kind is ClaimKind.UNTRUE and not v.carried
    ]


# -- how it is written ---------------------------------------------------------------------------------


def test_row_of_a_table_is_a_result() -> None:
    rows = "| quantity | value |\n|---|---|\n| I1 | 4 A |\n| I3 | 2 | A |\n| V(c, g) | 8 V |"
    assert len([v for v in read(rows).verdicts if v.holds]) == 3
    assert slips(rows.replace("| 2 | A", "| 3 | A"))[0][0] == 4


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("I1 = 24 V : 6 Ω = 4 A", True),
        ("I1 = 24 V : 8 Ω = 3 A", False),
        ("I1 : I3 = 2 : 1", True),
    ],
)
def test_colon_divides_between_numbers_in_a_chain(text: str, right: bool) -> None:
    assert all(v.kind is not ClaimKind.UNTRUE for v in read(text).verdicts) is right


def test_arithmetic_behind_words_is_read_alone() -> None:
    assert read("Terminal voltage = 4*2 = 8 V").right
    assert slips("Terminal voltage = 4*2 = 9 V") != []


def test_number_that_counts_batteries_is_no_side_of_an_equation() -> None:
    assert read("Terminal voltage of battery 1 = 24 - 2*4 = 16 V, of branch 2 = 2*8 = 16 V").right
    assert slips("Terminal voltage of battery 1 = 24 - 2*4 = 14 V") != []
    assert slips("twice 2 = 5") != []


def test_conductance_in_a_sum_is_that_of_its_resistor() -> None:
    assert read("G4 + G5 = 1/6 + 1/12 = 0.25").right
    assert slips("G4 + G5 = 1/6 + 1/8 = 0.292") != []


@pytest.mark.parametrize(
    ("text", "right"),
    [
        ("R1 + R2 || R4 = 3.75 ohm", True),  # 10 Ω beside 6 Ω
        ("R1 + R2 || R4 = 5.43 ohm", True),  # 2 Ω before 8 Ω beside 6 Ω
        ("R4 || R2 + R1 = 3.75 ohm", True),
        ("R1 + R2 || R4 = 4.2 ohm", False),
        ("R1 + (R2 || R4) = 3.75 ohm", False),
        ("Rx = R1 + R2 || R4 = 3.75 ohm", False),  # what was said to be Rx binds what comes of it
    ],
)
def test_sum_beside_a_resistance_may_stand_without_brackets(text: str, right: bool) -> None:
    assert (slips(text) == []) is right


def test_word_between_a_name_and_its_sign_is_no_name() -> None:
    back = "let I5 = 1 A\nI3 = 3 A\nI1 = 6 A\n"
    assert read(f"{back}E needed = 24 + 2*6 = 36 V\nk = 24/36\nI5 = 24/36 = 0.667 A").right
    assert slips(f"{back}E1 would be 24 + 6 = 30 V")[0][0] == 4


def test_two_elements_turned_into_one_thing_are_not_each_that() -> None:
    text = "E1, R1 --> 18/3 = 6 A with 3 Ω in parallel\nE2 with R2 = 12/6 = 2 A"
    assert slips(text, TWO) == []
    assert slips("E1 = 17 V", TWO) != []


def test_what_is_taken_back_is_not_judged() -> None:
    text = "R45 = 18 Ω\nno, parallel: R45 = 4 Ω\nI1 = 24/4 = 6 A\nwrong, forgot R1: I1 = 24/6 = 4 A"
    assert read(text).right
    assert slips("R45 = 18 Ω\nR45 = 4 Ω")[0][0] == 1


def test_name_of_a_path_is_no_resistance_between_points() -> None:
    assert read(
        "Ra = 100*200/425 = 47.06\nRb = 100*125/425 = 29.41\nRbd = 29.41 + 300 = 329.41", BRIDGE
    ).right
    asked = BRIDGE.replace('["I5"]', '["R(b, d)"]')
    assert slips("Rbd = 29.41 + 300 = 329.41", asked) != []


# -- what is right -------------------------------------------------------------------------------------


def test_emf_of_sources_turned_and_put_together_is_an_open_voltage() -> None:
    text = "Source transformation:\n6 + 2 = 8 A\nBack again: U = 8*2 = 16 V\nI3 = 16/(2 + 4) = 2.67 A"
    assert read(text, TWO).right
    assert slips(text.replace("8*2 = 16", "8*2.5 = 20"), TWO)[0][0] == 3


def test_resistance_of_one_side_is_what_words_say() -> None:
    assert read(
        "left of R3: Voc = 12*2/(2+2) = 6, Rth = 2||2 = 1\nI3 = (6-12)/(1+3+4) = -0.75", FED_IN_KILOHMS
    ).right
    assert slips("R3 out: Rth = 2||2 = 1\nI3 = (6-12)/(1+3) = -1.5", FED_IN_KILOHMS) != []


def test_rounded_milliamperes_are_gone_on_with_in_amperes() -> None:
    text = (
        "I = 52.08 mA\nI3 = 22.92 mA\nI4 = 52.08 - 22.92 = 29.16 mA\nVb = 300*0.02292 = 6.876 V\n"
        "Vc = 200*0.02916 = 5.832 V\nI5 = (6.876 - 5.832)/125 = 8.35 mA"
    )
    assert read(text, BRIDGE).right
    assert slips(text.replace("0.02916 = 5.832", "0.02961 = 5.922"), BRIDGE)[0][0] == 5


def test_equal_currents_are_no_set_of_equations() -> None:
    alike = FAR_END.replace('R5 = "12 ohm"', 'R5 = "6 ohm"').replace('R2 = "8 ohm"', 'R2 = "7 ohm"')
    text = "R45 = 6/2 = 3\nR345 = 7\nRt = 2 + 3.5 = 5.5\nI1 = 24/5.5 = 4.364 A\nI3 = 4.364/2 = 2.182 A\n"
    text += "I4 = I5 = 1.091 A"
    awards = {a.part: a for a in propose(read(text, alike), BUILT_IN["ten"]).awards}
    assert awards[MarkPart.JUNCTIONS].points == awards[MarkPart.JUNCTIONS].of


# -- what is wrong ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "source", "entry"),
    [
        ("E = 18 + 12 = 30 V", TWO, "parallel-sources-add"),
        ("R5 out\nRth = (100+300) || (200+200) = 200 ohm\nI5 = 2.5/(200+125)", BRIDGE, "seen-combined"),
        ("R5 out\nRth = (100+200) || (300+200) = 187.5 ohm\nI5 = 2.5/(187.5+125)", BRIDGE, "battery-left-in"),
        ("R3 out\nIN = 18/3 + 12/6 = 8 A", OPPOSED, "source-sign"),
    ],
)
def test_slip_of_an_idea_is_named(text: str, source: str, entry: str) -> None:
    assert [found for _, found in slips(text, source)] == [entry]


def test_emfs_in_one_row_add() -> None:
    assert slips("E = 18 + 12 = 30 V", OPPOSED) == []
    assert slips("E = 18 - 12 = 6 V", TWO) == []


def test_part_of_a_sum_has_the_sign_that_it_is_added_with() -> None:
    text = "E1 alone: I2' = -1.333 A\nE2 alone: I2'' = {}1.556 A\nI2 = -1.333 {} 1.556 = {} A"
    assert read(text.format("", "+", "0.223"), TWO).right
    assert slips(text.format("-", "-", "-2.889"), TWO)[0] == (2, "minus-dropped")


# -- what follows ------------------------------------------------------------------------------------------


def test_numbers_without_a_name_are_gone_on_with() -> None:
    text = "E = 18 + 12 = 30 V\nr = 3*6/9 = 2\nI3 = 30/(2 + 4) = 5 A\nacross it: 5*4 = 20 V\n"
    text += "I1 = (18 - 20)/3 = -0.667 A"
    assert slips(text, TWO) == [(1, "parallel-sources-add")]


def test_junction_rule_holds_among_the_parts_of_one_source() -> None:
    text = "E1 alone: I1' = 18/5.4 = 3.33 A\nI3' = 3.33*4/10 = 1.33 A\nI2' = -2.00 A"
    assert slips(text, TWO) == [(2, "divider-inverted")]
    assert len(slips(text.replace("-2.00", "-2.50"), TWO)) == 2


FAR_BELOW = """\
I1 = I2 + I3
I3 = I4 + I5
24 = 2 I1 + 8 I2
24 = 2 I1 + 4 I3 + 6 I4
6 I4 = 12 I5
8 I2 = 4 I3 + 6 I4
I5 = 0.5 I4
I3 = 1.5 I4
24 = 2 I1 + 8 I3
I1 = 12 - 4 I3
I2 = 3 + 0.25 I1
"""


@pytest.mark.parametrize(("line", "follows"), [("I3 = 1.5 A", True), ("I3 = 1.2 A", False)])
def test_junction_rule_of_long_before_is_put_to_an_untrue_line(line: str, follows: bool) -> None:
    last = read(FAR_BELOW + line).verdicts[-1]  # 12 − 4 I3 = 3 + (12 − 4 I3)/4 + I3
    assert (last.kind, last.carried) == (ClaimKind.UNTRUE, follows)
