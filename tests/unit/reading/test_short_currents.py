"""A short-circuit current is that of the load to which the seen resistance is added, right or wrong."""

from __future__ import annotations

import pytest

from loopwright import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

TWO_AND_A_LOAD = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "b, +E2, R2, a"
I3 = "a, R3, b"
[numbers]
E1 = "21 V"
E2 = "15 V"
R1 = "4.5 ohm"
R2 = "7.5 ohm"
R3 = "6.8 ohm"
"""
REST = "RN = 4.5*7.5/12 = 2.8125 ohm\nI3 = {0}*2.8125/(2.8125 + 6.8)"


def kinds(first: str, number: str, above: str = "") -> list[ClaimKind]:
    """The verdicts on a first line with a short-circuit current, gone on with."""
    found = read_working(circuit_of(TWO_AND_A_LOAD), f"{above}{first}\n{REST.format(number)}")
    line = 1 + above.count("\n")
    return [v.kind for v in found.verdicts if v.line == line]


@pytest.mark.parametrize(
    ("line", "number"),
    [("Isc = 4.5/21 + 7.5/15 = 0.714", "0.714"), ("Isc = 21*4.5 + 15*7.5 = 207", "207")],
)
def test_a_wrong_one_is_no_name_of_the_writers_own(line: str, number: str) -> None:
    assert kinds(line, number)[0] is ClaimKind.UNTRUE


def test_the_currents_of_the_circuit_as_drawn_do_not_make_it_up() -> None:
    assert kinds("Isc = I1 + I2 = 1.95 A", "1.95", "I1 = 1.719 A, I2 = 0.231 A\n")[0] is ClaimKind.UNTRUE


def test_a_right_one_is_right_and_one_of_no_load_stays_a_name() -> None:
    assert ClaimKind.UNTRUE not in kinds("Isc = 21/4.5 + 15/7.5 = 6.67 A", "6.67")
    found = read_working(circuit_of(TWO_AND_A_LOAD), "Isc = 4.5/21 + 7.5/15 = 0.714")
    assert ClaimKind.UNTRUE not in [v.kind for v in found.verdicts]


LADDER = """
[branches]
I1 = "g, +E, R1, p"
I2 = "p, R2, g"
I3 = "p, R3, R4, g"
[numbers]
E = "18 V"
R1 = "2.2 kohm"
R2 = "4.7 kohm"
R3 = "1.5 kohm"
R4 = "3.3 kohm"
"""


@pytest.mark.parametrize(
    ("line", "right"),
    [
        ("R4 shorted: R23 = 4.7||1.5 = 1.137 k", True),
        ("R4 shorted: R23 = 4.7 + 1.5 = 6.2 k", False),
        ("R4 shorted: R12 = 2.2||4.7 = 1.499 k", False),
        ("R23 = 4.7||1.5 = 1.137 k", False),
    ],
)
def test_what_lies_behind_a_short_is_made_one_with_the_wire_in_place(line: str, right: bool) -> None:
    found = read_working(circuit_of(LADDER), line).verdicts
    assert (ClaimKind.UNTRUE not in [v.kind for v in found]) is right
