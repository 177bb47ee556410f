"""Potentials tried out in a circuit with two sources are suppositions, and the result lies between them.

The circuit: 18 V behind 3 Ω and 12 V behind 6 Ω on 4 Ω. By hand: at 10 V 8/3 + 1/3 − 2.5 = 0.5 A come in too
much, at 12 V 2 + 0 − 3 = −1 A; so 10 + 2·0.5/1.5 = 32/3 V.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, TWO_ON_ONE, circuit_of

TRIALS = """guess V = 10 V: I1 = 8/3 = 2.667 A, I2 = 2/6 = 0.333 A, I3 = 10/4 = 2.5 A, sum too much by 0.5 A
guess V = 12 V: I1 = 2 A, I2 = 0 A, I3 = 3 A, too little by 1 A
so V = 10 + 2*0.5/1.5 = 10.67 V by interpolation
I3 = 10.67/4 = 2.67 A"""


def read(text: str, source: str = TWO_ON_ONE) -> Reading:
    return read_working(circuit_of(source), text)


def slips(text: str, source: str = TWO_ON_ONE) -> list[int]:
    verdicts = read(text, source).verdicts
    return [v.line for v in verdicts if v.kind is ClaimKind.UNTRUE and not v.carried]


@pytest.mark.parametrize(
    "text",
    [
        TRIALS,
        TRIALS.replace("guess", "Try").replace("V =", "Va ="),
        "Suppose V_a = 12 V\nI1 = 2 A\nI3 = 3 A\nI1 + I2 - I3 = -1 A\nSuppose V_a = 9 V\nI1 = 3 A\n"
        "I2 = 0.5 A\nI1 + I2 - I3 = 1.25 A\nV_a = 12 - 3*1/2.25 = 10.67 V\nI2 = 0.222 A",
    ],
)
def test_trials_are_suppositions(text: str) -> None:
    assert read(text).right


def test_slip_in_a_trial_is_told_there_and_what_it_gives_is_carried() -> None:
    text = TRIALS.replace("I3 = 3 A, too little by 1", "I3 = 12/3 = 4 A, too little by 2")
    text = text.replace("2*0.5/1.5 = 10.67", "2*0.5/2.5 = 10.4").replace("10.67/4 = 2.67", "10.4/4 = 2.6")
    verdicts = read(text).verdicts
    assert slips(text) == [2]
    assert {v.line for v in verdicts if v.carried} == {3, 4}


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("guess V = 10 V: I1 + I2 = I3", 1),  # at a trial the junction rule does not hold
        ("guess V = 10 V: I3 = 2 A", 1),
        ("guess V = 10 V\nI3 = 2.5 A\nso V = 10.5 V", 3),
        ("V = 9.8 V\ntake V = 9.8 V: I3 = 2.45 A", 1),  # a wrong result is no trial
        ("guess V = 10 V: I3 = 2.5 A\nguess V = 12 V: I3 = 3 A\nV = 10 + 2*0.5/1.6 = 10.6 V", 3),
    ],
)
def test_what_is_false_in_a_trial_or_after_it_is_told(text: str, line: int) -> None:
    assert slips(text) == [line]


def test_line_below_a_wrong_result_is_not_a_trial() -> None:
    verdicts = read("V = 9.8 V\ntake V = 9.8 V: I3 = 9.8/4 = 2.45 A").verdicts
    assert all(v.carried for v in verdicts if v.line == 2 and v.kind is ClaimKind.UNTRUE)


def test_potential_of_a_point_can_be_supposed_with_one_source() -> None:
    assert read(
        "Suppose Vc = 12 V\nI5 = 1 A\nI4 = 2 A\nI3 = 3 A\nE1 = 36 V\nk = 24/36\nI3 = 2 A", FAR_END
    ).right
    assert slips("Suppose Vc = 12 V\nI5 = 1 A\nI4 = 3 A", FAR_END) == [3]


def test_voltage_of_wrong_numbers_has_the_sign_that_it_is_given() -> None:
    verdicts = read(
        "E1 alone: I3' = 1.5 A\nE2 alone: I3'' = 0.667 A\nI3 = 2.167 A\nV = 2.167*4 = 8.67 V"
    ).verdicts
    assert [v.carried for v in verdicts if v.line == 4 and v.kind is ClaimKind.UNTRUE] == [True]
