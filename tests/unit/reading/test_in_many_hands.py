"""Superposition, node potentials and branch currents as other hands write them: read, and their slips named.

Two points joined by three branches: 12 V behind 4 ohm and 5 V behind 5 ohm, both driving towards the lower
point, and 2 ohm. By hand: V(top, foot) = -80/19 V, so I1 = -37/19 A (along the arrow, downwards) and so on.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Symbol
from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

TWO_POINTS = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "S, R1, +E1, P"
I2 = "S, R2, +E2, P"
I3 = "S, R3, P"
[numbers]
E1 = "12 V"
E2 = "5 V"
R1 = "4 ohm"
R2 = "5 ohm"
R3 = "2 ohm"
"""
LETTERED = TWO_POINTS
for number, letter in (("1", "a"), ("2", "b"), ("3", "c")):
    LETTERED = LETTERED.replace(f"I{number}", f"I{letter}").replace(f"R{number}", f"R{letter}")


def read(text: str, source: str = TWO_POINTS) -> Reading:
    return read_working(circuit_of(source), text)


def first_slip(text: str, source: str = TWO_POINTS) -> str:
    """The slip named first for the first untrue claim."""
    wrong = next(v for v in read(text, source).verdicts if v.kind is ClaimKind.UNTRUE)
    return wrong.repairs[0].entry if wrong.repairs else ""


RIGHT = {
    "a potential like a word": """\
US at S, P is zero
(US + 12)/4 + (US + 5)/5 + US/2 = 0
0.95US = -4
US = -4.21 V
""",
    "currents called x1": """\
x1: S -> P through R1
x2: S -> P through R2
x1 + x2 + I3 = 0
4x1 - 2 I3 = 12
""",
    "a resistance behind a current": """\
E1 alone, E2 shorted:
R23 = R2R3/(R2 + R3) = 10/7 ohm
I1a = E1/(R1 + R23)
Ua = -I1aR23
I2a = Ua/R2
""",
    "by a rounded potential": """\
V = -80/19 = -4.21 V
I1 = (V + E1)/R1 = 1.95 A
I3 = V/R3 = -2.11 A
""",
    "by a rounded resistance": """\
E1 alone:
R23 = R2 R3/(R2 + R3)
R23 = 1.4 ohm
I1a = E1/(R1 + R23)
I1a = 2.22 A
""",
    "results like numbers given": """\
V = -4.2 V
I1 = (V + 12)/4 = (-4.2 + 12)/4 = 2.0 A
I2 = 0.16 A
I3 = V/2 = -2.1 A
I1 + I2 + I3 = 2.0 + 0.16 - 2.1 = 0.06
""",
}


@pytest.mark.parametrize("name", RIGHT)
def test_what_is_right_in_another_hand_is_read_and_not_accused(name: str) -> None:
    reading = read(RIGHT[name])
    assert [as_text((v.claim.written,)) for v in reading.verdicts if not v.holds] == []
    assert [line.trouble for line in reading.working.lines if line.trouble] == []


def test_a_combined_resistance_of_lettered_ones_is_a_name() -> None:
    reading = read("Ea alone, E2 shorted:\nRbc = 1/(1/Rb + 1/Rc)\nIa' = E1/(Ra + Rbc)", LETTERED)
    assert [v.holds for v in reading.verdicts] == [True, True]


IN_WORDS = TWO_POINTS.replace('"I3"]', '"I3", "R(S, P) without E1"]').replace('E1 = "12 V"', 'E1 = "6 V"')
IN_WORDS = IN_WORDS.replace("+E2, ", "").replace('E2 = "5 V"', "").replace('"5 ohm"', '"4 ohm"')
"""6 V behind 4 ohm, with 4 ohm and 2 ohm beside it: V(S, P) = -1.5 V, (4.5, -1.5, -3)/4 A."""


@pytest.mark.parametrize(
    "line",
    [
        "I1 = 4½/4 A",
        "V(R1) = 4½ V",
        "4 I1 = 4.5  | : 4",
        "4I1 = 4½ | /4",
        "voltage across R1 = 4.5 V",
        "the voltage across R2 = 1.5 V",
        "I3 = 0.75 A downwards",
        "P(E1) = -6.75 W delivered",
        "E1 I1 = 6.75 W",
        "R(S, P) = 4/3 ohm",
        "6 = 4Ω·I1 - 4Ω·I2",
        "I2 = -0.333 (1.125 A) = -0.375 A",
        "I3 from S to P through R3",
    ],
)
def test_what_people_write_besides_algebra_is_read(line: str) -> None:
    reading = read(line, IN_WORDS)
    assert [as_text(v.said) for v in reading.verdicts if not v.holds] == []
    assert [one.trouble for one in reading.working.lines if one.trouble] == []
    assert reading.verdicts or reading.working.lines[0].arrows


@pytest.mark.parametrize(
    "line", ["I3 = 0.75 A", "P(E1) = -6.75 W", "V(R2) = 1.5 V", "voltage across R2 = 2 V"]
)
def test_a_sign_is_left_open_only_where_words_leave_it(line: str) -> None:
    assert [v.holds for v in read(line, IN_WORDS).verdicts] == [False]


def test_a_difference_of_rounded_potentials_is_what_it_gives() -> None:
    three = TWO_POINTS.replace('I3 = "S, R3, P"', 'I3 = "S, R3, Q"\nI4 = "Q, R4, P"\nI5 = "P, R5, Q"')
    three = three.replace('R3 = "2 ohm"', 'R3 = "2 ohm"\nR4 = "3 ohm"\nR5 = "6 ohm"')
    reading = read("VS = -5.7 V, VQ = -2.9 V\nI3 = (VS - VQ)/R3 = -1.40 A", three)
    assert [as_text((v.claim.written,)) for v in reading.verdicts if not v.holds] == []


def test_rows_of_rounded_numbers_are_multiplied_as_they_stand() -> None:
    above = JUNCTION + "(VS + 12)/4 + (VS + 5)/5 + I3 = 0\n0.1667 VS - 0.3333 I3 = 0\n"
    assert read(above + "60 * 0.1667 VS - 19.998 I3 = 0\n10.002 VS - 19.998 I3 = 0").verdicts[-1].holds
    assert not read(above + "10.002 VS - 19.898 I3 = 0").verdicts[-1].holds


JUNCTION = "Node potential VS at S, P is zero.\n"
BOTH = "\nE2 alone:\nI2b = 15/19 A\nTogether:\nI2 = I2a + I2b"
ALONE = "E1 alone, E2 replaced by a wire:\nR23 = R2 R3/(R2 + R3)\n"


@pytest.mark.parametrize(
    ("entry", "text"),
    [
        ("junction-sign", JUNCTION + "(VS + E1)/R1 + (VS + E2)/R2 - VS/R3 = 0"),
        ("source-sign", JUNCTION + "(VS + E1)/R1 + (VS - E2)/R2 + VS/R3 = 0"),
        ("branch-missing", JUNCTION + "(VS + E1)/R1 + VS/R3 = 0"),
        ("source-missing", JUNCTION + "(VS + E1)/R1 + VS/R2 + VS/R3 = 0"),
        ("superposed-open", "E1 alone, E2 replaced by a wire:\nR23 = R3\nI1a = E1/(R1 + R23)\nI1a = 2 A"),
        ("drop-missing", ALONE + "I1a = E1/R1"),
        ("equal-split", ALONE + "I1a = E1/(R1 + R23)\nI3a = -I1a/2"),
        ("factor-missing", ALONE + "I1a = E1/(R1 + R23)\nI2a = -R3/(R2 + R3)"),
        ("factor-missing", ALONE + "I1a = E1/(R1 + R23)\nVa = -R23\nI2a = Va/R2\nI3a = Va/R3"),
        ("term-extra", ALONE + "I1a = (E1 - E2)/(R1 + R23)"),
        ("digits", "V = -80/19\nI1 = (V + E1)/R1 = 2.95 A"),
        ("term-missing", ALONE + "I1a = E1/(R1 + R23)\nE2 alone:\nI1b = -0.263 A\nTogether:\nI1 = I1a"),
        ("superposed-open", "E1 alone, E2 replaced by a wire:\nI1a = E1/(R1 + R3)"),
        ("branch-alone", "E1 alone, E2 replaced by a wire:\nRp = 10/7\nI1a = 12/4 = 3"),
        ("divider-inverted", "E1 alone, E2 replaced by a wire:\nI1a = 2.21 A\nI2a = -2.21*5/(2 + 5)"),
        ("load-sees-sum", "Without R3: Voc = E1 + E2\nRth = R1 R2/(R1 + R2)\nI3 = -Voc/(Rth + R3)"),
        (
            "power-superposed",
            "E1 alone: I3a = -1.579 A\nE2 alone: I3b = -0.526 A\nP(R3) = 1.579^2*2 + 0.526^2*2",
        ),
        (
            "source-missing",
            "R3 out: Voc = (-E1/R1)/(1/R1 + 1/R2)\nRth = R1 R2/(R1 + R2)\nI3 = Voc/(Rth + R3)",
        ),
        ("drop-missing", "R3 out: I = (E1 - E2)/(R1 + R2)\nVoc = -E1\nI3 = Voc/(Rth + R3)"),
        ("copied-wrong", "V = -80/19 = -4.21 V\nI3 = V/R3 = -9.33/2"),
        ("copied-wrong", "Rp = R1 R2/(R1 + R2) = 2.22 ohm\nRq = R3 Rp/(R3 + Rp) = 2*5.17/(2 + 5.17)"),
        ("factor-missing", "U3 = R3 = 2 V\nI1 = (E1 + U3)/R1"),
        ("drop-sign", "V = -80/19 = -4.21 V\nI3 = -V/R3"),
        ("junction-sign", ALONE + "I1a = E1/(R1 + R23)\nI2a = I1a R3/(R2 + R3)\nI3a = -I1a - I2a" + BOTH),
    ],
)
def test_the_slip_is_named_for_what_it_is(entry: str, text: str) -> None:
    assert first_slip(text) == entry


@pytest.mark.parametrize(
    "text",
    [
        "R0 = R1 R2/(R1 + R2)\nIk = E1/R1 + E2/R2\nE0 = Ik R0\nI3 = -E0/(R0 + R3)",
        "I = (E1 - E2)/(R1 + R2)\nE0 = E1 - I R1\nR0 = R1 R2/(R1 + R2)\nI3 = -E0/(R0 + R3)",
        "U2 = -80/19 V\nU2/R3 = -40/19",
        "R123 = 1/(1/R1 + 1/R2 + 1/R3)\nV = -(E1/R1 + E2/R2) R123\nI3 = V/R3",
    ],
)
def test_quantities_of_an_equivalent_source_are_known_without_words(text: str) -> None:
    assert [as_text((v.claim.written,)) for v in read(text).verdicts if not v.holds] == []


def test_the_sense_of_an_open_voltage_is_read_beside_a_wrong_resistance() -> None:
    text = "R0 = R1 + R2\nIk = E1/R1 + E2/R2\nE0 = Ik R0\nI3 = -E0/(R0 + R3)"
    assert [v.line for v in read(text).verdicts if not v.holds] == [1]


def test_a_voltage_across_a_resistor_may_be_counted_either_way() -> None:
    text = "V3 = I3 R3\nI1 = (E1 - V3)/R1\nI2 = (E2 - V3)/R2"
    assert [v.line for v in read(text).verdicts if not v.holds] == [1]


def test_what_follows_from_a_wrong_current_as_it_is_written_is_credited() -> None:
    text = (
        "VS = -80/19 V = -4.21 V\nI1 = (VS + E1)/R1 = 1.95 A\nI3 = R3/VS = -0.475 A\nI2 = -I1 - I3 = -1.475 A"
    )
    assert [(v.line, v.carried) for v in read(text).verdicts if not v.holds][-1] == (4, True)


def test_a_condition_on_resistances_is_no_claim() -> None:
    line = "R3 out: Rth = R1 R2/(R1 + R2)\ngreatest power in R3 when R3 = Rth"
    assert [v.holds for v in read(line).verdicts] == [True]


def test_potentials_are_read_by_their_letters_where_every_line_on_them_is_wrong() -> None:
    source = TWO_POINTS.replace("S,", "s,").replace('P"', 'p"')
    first, second = read("(Vs + 12)/4 + Vs/2 = 0\nVs = -4 V", source).verdicts
    assert (first.kind, second.carried) == (ClaimKind.UNTRUE, True)


def test_whole_numbers_put_in_for_symbols_are_values() -> None:
    source = TWO_POINTS.replace('"12 V"', '"4 V"').replace('"5 V"', '"4.5 V"')
    assert [v.holds for v in read("VS = -2 V\nVS/R3 = -1", source).verdicts] == [True, True]
    assert not read("VS = -2 V\nVS/R3 = -2", source).verdicts[-1].holds


def test_a_part_runs_along_the_arrow_of_its_current_unless_its_sum_says_else() -> None:
    parts = ALONE + "I1a = 2.21 A\nI2a = 2.21*2/(2 + 5) = 0.632 A\nE2 alone:\nI2b = 0.789 A\nTogether:\n"
    along = read(parts + "I2 = 0.632 + 0.789 = 1.421 A")
    assert next(v.claim.written.left for v in along.verdicts if v.kind is ClaimKind.UNTRUE) == Symbol("I2a")
    against = read(parts + "I2 = 0.789 - 0.632 = 0.157 A")
    assert [v for v in against.verdicts if v.kind is ClaimKind.UNTRUE] == []


def test_what_a_circuit_with_a_branch_cut_gives_besides_is_one_slip() -> None:
    first, second = read("E1 alone, E2 replaced by a wire:\nI1a = E1/(R1 + R3)\nI3a = -2 A").verdicts
    assert (first.carried, second.carried, second.used) == (False, True, (2,))


def test_what_follows_from_a_wrong_resistance_in_bare_kilohms_is_credited() -> None:
    text = ALONE + "R23 = 7/10 = 0.7 kohm\nI1a = E1/(R1 + R23) = 12/(4 + 0.7) = 2.55 mA"
    last = [v for v in read(text, TWO_POINTS.replace(" ohm", " kohm")).verdicts if v.line == 4]
    assert all(v.holds or v.carried for v in last)


def test_a_voltage_that_came_out_wrong_is_known_by_what_is_made_of_it() -> None:
    text = ALONE + "Va = -2.21 * 1.34 = -2.96\nI2a = -2.96/5 = -0.592\nI3a = -2.96/2 = -1.48"
    assert [v.carried for v in read(text).verdicts if v.line > 3 and v.kind is ClaimKind.UNTRUE] == [
        True,
        True,
    ]


@pytest.mark.parametrize(("line", "lost"), [("I2 = 0.06 + 0.1 = 0.16 A", False), ("I2 = 0.2 A", True)])
def test_figures_are_not_missed_where_the_numbers_written_give_no_more(line: str, lost: bool) -> None:
    mark = propose(read(line), BUILT_IN["ten"])
    units = next(p for p in mark.awards if p.part is MarkPart.UNITS)
    assert ("figures" in as_text(units.said)) is lost


DIVIDED = """
[branches]
Ia = "foot, Ra, +Ea, top"
Ib = "top, Rb, foot"
Ic = "top, Rc, Rh, foot"
[numbers]
Ea = "15 V"
Ra = "6 ohm"
Rb = "15 ohm"
Rc = "30 ohm"
Rh = "8 ohm"
"""


def test_an_equation_in_letters_after_many_in_numbers_is_judged_in_letters() -> None:
    """A factor left out in `Ub = Ea − Ra`, which rounded numbers above cannot give."""
    found = read(
        "Rc and Rh in series: Rp = Rc + Rh = 30 + 8 = 38 ohm\n"
        "Rb and Rp in parallel: Rs = RbRp/(Rb + Rp) = 15*38/(15 + 38) = 11 ohm\n"
        "Ra and Rs in series: Rg = Ra + Rs = 6 + 11 = 17 ohm\n"
        "Ia = Ea/Rg = 15/17 = 0.88 A\n"
        "Ub = Ea - Ra = 15 - 6 = 9 V\n"
        "Ib = Ub/Rb = 9/15 = 0.6 A\n",
        DIVIDED,
    )
    assert [v.fault for v in found.verdicts if v.fault] == []
    assert found.first_untrue is not None
    assert found.first_untrue.line == 5
