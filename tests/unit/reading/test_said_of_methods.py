"""What a reader says of lines by other methods than branch currents, and of slips in them.

The circuit: 12 V behind 6 ohm and 24 V behind 2 ohm, both driving into a, and 9 ohm between a and b. By hand:
18 V at a, and -1 A, 3 A, 2 A; without the 9 ohm 21 V and 1.5 ohm, through a wire in its place 14 A.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.marking.propose import propose
from loopwright.reading.marking.scheme import BUILT_IN, MarkPart
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

TWO_SOURCES = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "b, +E1, R1, a"
I2 = "b, +E2, R2, a"
I3 = "a, R3, b"
[numbers]
E1 = "12 V"
E2 = "24 V"
R1 = "6 ohm"
R2 = "2 ohm"
R3 = "9 ohm"
"""
ONE_LOOP = """
find = ["I1"]
[branches]
I1 = "b, +E1, R1, a"
I2 = "a, R2, b"
[numbers]
E1 = "10 V"
R1 = "3 kohm"
R2 = "4 kohm"
"""
ONE_SOURCE = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "b, +E1, R1, R4, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
[numbers]
E1 = "12 V"
R1 = "2 ohm"
R2 = "3 ohm"
R3 = "6 ohm"
R4 = "4 ohm"
"""


def read(text: str, source: str = TWO_SOURCES) -> Reading:
    return read_working(circuit_of(source), text)


def said(text: str, source: str = TWO_SOURCES) -> list[str]:
    return [as_text(v.said) for v in read(text, source).verdicts]


def first_slip(text: str, source: str = TWO_SOURCES) -> tuple[int, str]:
    """The line of the first untrue claim, and the slip named first for it."""
    wrong = next(v for v in read(text, source).verdicts if v.kind is ClaimKind.UNTRUE)
    return wrong.line, wrong.repairs[0].entry if wrong.repairs else ""


@pytest.mark.parametrize(
    ("line", "law"),
    [
        ("(E1 - V)/R1 + (E2 - V)/R2 = V/R3", "a, by the potentials along I1, I2 and I3."),
        ("(12 - V)/6 + I2 = V/9", "a, by the potentials along I1 and I3."),
        ("V = (E1/R1 + E2/R2)/(1/R1 + 1/R2 + 1/R3)", "a, by the potentials along I1, I2 and I3."),
        ("Ik = E1/R1 + E2/R2", "a, by the potentials along I1 and I2, with a wire for R3."),
        (
            "Voc = (E1/R1 + E2/R2)/(1/R1 + 1/R2)",
            "a, by the potentials along I1 and I2, without R3.",
        ),
    ],
)
def test_a_junction_equation_in_potentials_is_told_as_one(line: str, law: str) -> None:
    assert said(line)[0] == f"Junction equation at {law}"


@pytest.mark.parametrize("line", ["V = 18 V", "(12 - V)/6 + (24 - V)/2 = V/9 + 1"])
def test_a_result_or_a_wrong_line_is_no_junction_equation(line: str) -> None:
    assert read(line).verdicts[0].kind is not ClaimKind.JUNCTION


def test_what_rests_on_resistances_made_one_says_so() -> None:
    text = "Rp = R2 R3/(R2 + R3) = 2 ohm\nRt = R1 + R4 + Rp = 8 ohm\nI1 = E1/Rt = 1.5 A\nU = I1 Rp = 3 V"
    found = said(text, ONE_SOURCE)
    assert found[4] == "Follows from line 2, with resistances made one."
    assert found[6] == "Follows from line 3 and the potentials along I1."


def test_a_number_alone_rests_on_no_resistance_that_is_as_large() -> None:
    found = said("Rp = R2 R3/(R2 + R3) = 2 ohm\nI1 = 1.5 A\nI2 = 1 A\nP(R3) = 1.5 W\nV(a, b) = 3", ONE_SOURCE)
    assert not any("made one" in one for one in found)


def test_what_rests_on_the_equivalent_source_says_so() -> None:
    text = "R0 = R1R2/(R1 + R2)\nIk = E1/R1 + E2/R2\nE0 = IkR0\nI3 = E0/(R0 + R3)"
    assert said(text)[2:] == [
        "Follows from lines 1 and 2, by the equivalent source.",
        "Follows from lines 1 and 3, by the equivalent source.",
    ]


def test_names_given_in_lines_of_their_own_may_stand_side_by_side() -> None:
    reading = read("R0 = R1R2/(R1 + R2) = 1.5 ohm\nIk = E1/R1 + E2/R2 = 14 A\nE0 = IkR0 = 14*1.6 = 22.4 V")
    wrong = [v for v in reading.verdicts if not v.holds]
    assert [as_text((v.claim.written,)) for v in wrong] == ["Ik R0 = 14 × 1.6"]


def test_no_equations_are_missed_where_resistances_are_made_one() -> None:
    reading = read("R23 = R2 R3/(R2 + R3)\nI1 = I2 + I3", ONE_SOURCE)
    assert [as_text(s) for s in reading.enough.said] == [
        "No full set of junction and loop equations is written out."
    ]


@pytest.mark.parametrize(
    ("text", "source", "line", "entry"),
    [
        ("Req = 3 + 4 = 7\nI1 = E1/Req = 10/7 = 1.43 A", ONE_LOOP, 2, "units-mixed"),
        ("I3 = 2 A\nV = -I3 R3\nV = -2*9 = -1.8 V", TWO_SOURCES, 3, "digits"),
        ("Rp = R2 R3/(R2 + R3)\nR1, R4 and Rp in series: Rt = R1 + Rp", ONE_SOURCE, 2, "term-missing"),
        ("Rp = 2 ohm\nRt = 8 ohm\nI1 = E1/R1", ONE_SOURCE, 3, "branch-alone"),
        ("V = 18 V\nI3 = V/R3\nI1 = E1/R1", TWO_SOURCES, 3, "term-missing"),
        ("I2 = 3 A\nI3 = I2 - 1 = 2 = 3 A", TWO_SOURCES, 2, "digits"),
        (
            "135 I1 + 81 I2 = 108\n81 I1 + 99 I2 = 216\n54 I1 - 18 I2 = 324",
            TWO_SOURCES,
            3,
            "added-for-subtracted",
        ),
        (
            "(12 V - V)/(6 ohm) + (24 V - V)/(2 ohm) - V/(9 ohm) = 0\n3 (12 - V) + 9 (24 - V) - V = 0",
            TWO_SOURCES,
            2,
            "one-term-multiplied",
        ),
        (
            "Without R3: I0 = (12 + 24)/(6 + 2) = 4.5\nVoc = 12 - 6*4.5 = -15",
            TWO_SOURCES,
            1,
            "source-sign",
        ),
    ],
)
def test_the_slip_is_found_and_named(text: str, source: str, line: int, entry: str) -> None:
    assert first_slip(text, source) == (line, entry)


@pytest.mark.parametrize(
    "text",
    [
        "I1 + I2 = I3\n12 = 6 I1 + 9 I3\n24 = 2 I2 + 9 I3\nI1 = -1.33 A\nI3 = I1 + I2 = -1.33 + 3 = 1.67 A",
        "I2 = 2.33 A\nI3 = 2 A\nI2 - I3 = 2.33 - 2 = 0.334 A",
    ],
)
def test_what_is_worked_from_a_wrong_number_is_no_second_slip(text: str) -> None:
    causes = [v.line for v in read(text).verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]
    assert len(causes) == 1


def test_exact_results_of_one_figure_lose_nothing() -> None:
    text = "Rt = 2 + 4 + 2 = 8 ohm\nI1 = E1/Rt = 1.5 A\nU = 1.5*2 = 3 V\nI2 = U/R2 = 1 A\nI3 = U/R3 = 0.5 A"
    mark = propose(read(text, ONE_SOURCE), BUILT_IN["ten"])
    assert next(a.points for a in mark.awards if a.part is MarkPart.UNITS) == 1
