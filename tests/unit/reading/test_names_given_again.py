"""A letter that is written for whatever resistance or voltage is next stands for each in turn; a result
worked out a second time, and wrongly, is no new name.

The circuit: 24 V behind 3 Ω on 8 Ω beside 5 Ω, which leads on to 6 Ω beside 2 Ω. So 1.5 Ω at the far end,
6.5 Ω with 5 Ω, 3.586 Ω beside 8 Ω, 6.586 Ω in all; 3.644 A, 13.07 V and 3.016 V.
"""

from __future__ import annotations

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of


@pytest.fixture(scope="module")
def stair() -> Circuit:
    return circuit_of(
        """
        find = ["I1", "I2", "I3", "I4", "I5"]
        [branches]
        I1 = "g, +E1, R1, a"
        I2 = "a, R2, g"
        I3 = "a, R3, b"
        I4 = "b, R4, g"
        I5 = "g, R5, b"
        [numbers]
        E1 = "24 V"
        R1 = "3 ohm"
        R2 = "8 ohm"
        R3 = "5 ohm"
        R4 = "6 ohm"
        R5 = "2 ohm"
        """
    )


def untrue_lines(circuit: Circuit, *lines: str) -> list[int]:
    reading = read_working(circuit, "\n".join(lines))
    return sorted({v.line for v in reading.verdicts if v.kind is ClaimKind.UNTRUE and not v.carried})


@pytest.mark.parametrize("letter", ["R", "Req", "Rx"])
def test_a_letter_stands_for_one_resistance_after_the_other(stair: Circuit, letter: str) -> None:
    lines = [
        f"{letter} = 6*2/8 = 1.5",
        f"{letter} = 1.5 + 5 = 6.5",
        f"{letter} = 6.5*8/14.5 = 3.586",
        f"{letter} = {letter} + 3 = 6.586",
        f"I1 = 24/{letter} = 3.644",
    ]
    assert untrue_lines(stair, *lines) == []


def test_a_letter_stands_for_one_voltage_after_the_other(stair: Circuit) -> None:
    lines = ["U = 24 - 3*3.644 = 13.07", "I2 = U/8 = 1.634", "U = 13.07*1.5/6.5 = 3.016", "I4 = U/6 = 0.503"]
    assert untrue_lines(stair, *lines) == []
    wrong = [*lines[:3], "I4 = 13.07/6 = 2.178"]
    assert untrue_lines(stair, *wrong) == [4]


def test_a_slip_in_one_of_them_is_told_where_it_is_and_carried(stair: Circuit) -> None:
    lines = [
        "R = 6*2/8 = 1.5",
        "R = 1.5 + 5 = 6.5",
        "R = 6.5 + 8 = 14.5",
        "R = 14.5 + 3 = 17.5",
        "I1 = 24/17.5",
    ]
    reading = read_working(stair, "\n".join(lines))
    assert reading.first_untrue is not None
    assert (reading.first_untrue.line, reading.first_untrue.repairs[0].entry) == (3, "parallel-added")
    assert untrue_lines(stair, *lines) == [3]


@pytest.mark.parametrize(
    ("first", "again"),
    [
        ("Req = 3 + 6.5*8/14.5 = 6.586", "Req = 3 + 6.5*8/15.5 = 6.355"),
        ("Req = 3 + 6.5*8/14.5 = 6.586", "Req = 3.586 + 5 = 8.586"),
        ("U = 24*3.586/6.586 = 13.07", "U = 24 - 3*3.4 = 13.8"),
        ("U = 24*3.586/6.586 = 13.07", "U = 8*1.7 = 13.6"),
        ("R45 = 6*2/8 = 1.5", "R45 = 6 + 2 = 8"),
        ("R45 = 6*2/8 = 1.5", "R45 = 1.5 + 5 = 6.5"),
        ("Va = 24 - 3*3.644 = 13.07", "Va = 13.07*1.5/6.5 = 3.016"),
    ],
)
def test_what_is_worked_out_again_and_wrongly_is_no_new_name(stair: Circuit, first: str, again: str) -> None:
    assert untrue_lines(stair, first, again) == [2]
