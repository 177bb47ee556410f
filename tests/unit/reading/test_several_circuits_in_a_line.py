"""Lines that speak of several circuits: each claim is of the one that its own words say.

By hand: 24 V behind 6 ohm feeds 12 ohm beside 12 ohm: 6 + 6 = 12 ohm, 2 A, 12 V; with one of the two out
18 ohm, 1.333 A, 16 V; with the other shorted 4 A. And 24 V behind 6 ohm beside 12 V behind 12 ohm feed
12 ohm: each alone gives the load 1 A and 0.25 A, and the first battery 2 A and -0.5 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.page.lines import working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

ONE = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
[numbers]
E1 = "24 V"
R1 = "6 ohm"
R2 = "12 ohm"
R3 = "12 ohm"
"""
TWO = ONE.replace('"a, R2, b"', '"b, +E2, R2, a"') + 'E2 = "12 V"\n'


def circuits(source: str, text: str) -> list[list[str]]:
    """What is changed in the circuit of each claim, line by line."""
    lines = working(text, circuit_of(source)).lines
    return [[claim.setting.words for claim in line.claims] for line in lines]


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("I1 = 2 A; with R3 out I1 = 1.33 A", ["", "without R3"]),
        ("I1 = 2 A, but without R3: I1 = 24/18 = 1.33 A", ["", "without R3", "without R3"]),
        ("With R3 out I1 = 1.33 A, in the whole circuit I1 = 2 A", ["without R3", ""]),
        ("I1 = 1.33 A with R3 out, I1 = 2 A in the whole circuit", ["without R3", ""]),
        ("I1 = 2 A, I1 = 1.33 A with R3 out", ["", "without R3"]),
        ("I1 = 1.33 A, I2 = 1.33 A with R3 out", ["without R3", "without R3"]),
        ("I1 = 2 A (with R3 out 1.33 A)", [""]),
        ("With R3 out I1 = 1.33 A; with R2 shorted I1 = 4 A", ["without R3", "with a wire for R2"]),
    ],
)
def test_each_claim_is_of_the_circuit_that_its_words_say(line: str, said: list[str]) -> None:
    assert circuits(ONE, line) == [said]


@pytest.mark.parametrize(
    ("lines", "below"),
    [
        ("With R3 out I1 = 1.33 A", "without R3"),
        ("I1 = 2 A; with R3 out I1 = 1.33 A", ""),
        ("With R3 out I1 = 1.33 A; with R2 shorted I1 = 4 A", ""),
        ("I1 = 2 A. With R3 out:", "without R3"),
        ("total resistance 12 ohm; with R3 out 18 ohm", ""),
        ("R3 out: I1 = 1.33 A; in the whole circuit I1 = 2 A", ""),
    ],
)
def test_the_lines_below_are_of_what_a_line_begins_with_or_ends_with(lines: str, below: str) -> None:
    assert circuits(ONE, f"{lines}\nI2 = 1 A")[-1] == [below]


RIGHT = [
    (ONE, "Rt = 12 ohm; with R3 out Rt = 18 ohm"),
    (ONE, "Rt = 6 + 6 = 12 ohm, without R3: Rt = 6 + 12 = 18 ohm\nI1 = 24/Rt"),
    (ONE, "I1 = 2 A; with R3 out I1 = 24/18 = 1.33 A"),
    (ONE, "With R3 out I1 = 1.33 A; with R2 shorted I1 = 4 A"),
    (ONE, "V(a, b) = 12 V, with R3 out V(a, b) = 16 V"),
    (TWO, "E1 alone: I1 = 2 A, E2 alone: I1 = -0.5 A"),
    (TWO, "With E2 shorted: I3 = 1 A; with E1 shorted: I3 = 0.25 A; together I3 = 1.25 A"),
    (TWO, "I3 = 1.25 A (of which E1 alone gives 1 A)"),
    (TWO, "24 V only\nI1 = 2 A\nI3 = 1 A\n12 V only\nI1 = -0.5 A\nTotal\nI1 = 2 - 0.5 = 1.5 A"),
    (TWO, "R3 out: Uab = 20 V; Rth = R1 R2/(R1 + R2) = 4 ohm; I3 = Uab/(Rth + R3) = 1.25 A"),
]


@pytest.mark.parametrize(("source", "text"), RIGHT)
def test_claims_of_several_circuits_are_right_in_their_own(source: str, text: str) -> None:
    read = read_working(circuit_of(source), text)
    assert read.right
    assert all(v.kind is not ClaimKind.UNDECIDED for v in read.verdicts)


@pytest.mark.parametrize(
    ("source", "text", "wrong"),
    [
        (ONE, "I1 = 1.33 A; with R3 out I1 = 2 A", [True, True]),
        (ONE, "I1 = 2 A; with R3 out I1 = 24/12 = 2 A", [False, True, False]),
        (ONE, "With R3 out I1 = 4 A; with R2 shorted I1 = 1.33 A", [True, True]),
        (ONE, "V(a, b) = 12 V, with R3 out V(a, b) = 12 V", [False, True]),
        (TWO, "E1 alone: I1 = 2 A, E2 alone: I1 = 0.6 A", [False, True]),
        (TWO, "With E2 shorted: I3 = 0.25 A; with E1 shorted: I3 = 1 A", [True, True]),
        (TWO, "With E2 off: I3 = 1 A; with E1 off: I3 = 0.25 A; together I3 = 0.75 A", [False, False, True]),
        (TWO, "I3 = 1 A (of which E1 alone gives 1 A)", [True]),
        (TWO, "24 V only\nI3 = 0.25 A\n12 V only\nI3 = 1 A", [True, True]),
        (TWO, "V(a, b) is 24 V only\nI1 = 2 A", [True]),
        (TWO, "R3 out: Uab = 20 V\nI3 = Uab/(R2 + R3)", [False, True]),
    ],
)  # fmt: skip
def test_a_claim_that_is_right_in_another_circuit_of_its_line_is_wrong(
    source: str, text: str, wrong: list[bool]
) -> None:
    assert [not v.holds for v in read_working(circuit_of(source), text).verdicts] == wrong


@pytest.mark.parametrize(("last", "right"), [("8*1.333 = 10.7 V", True), ("8/1.333 = 6.00 V", False)])
def test_voltage_of_a_resistor_whose_current_is_given_is_of_the_whole_circuit(last: str, right: bool) -> None:
    load = ONE.replace('R3 = "12 ohm"', 'R3 = "8 ohm"')
    text = f"Without R3:\nU0 = 16 V\nRth = 6*12/18 = 4 ohm\nI3 = 16/(4 + 8) = 1.333 A\nU3 = {last}"
    verdicts = read_working(circuit_of(load), text).verdicts
    assert all(v.holds for v in verdicts) is right
