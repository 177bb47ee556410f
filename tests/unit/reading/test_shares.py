"""Dividers with a wrong number are called by the idea that is behind it.

The circuits: 18 V behind 3 Ω and 12 V behind 6 Ω on 4 Ω, each source alone; 20 V behind 10 kΩ on 15 kΩ with
30 kΩ beside it; 12 V behind 2 kΩ on 2 kΩ, through 3 kΩ to 4 kΩ with 3 mA. By hand: 18/5.4 = 10/3 A, of which
2 A flow in the 4 Ω.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FED_IN_KILOHMS, TWO_ON_ONE, circuit_of

LOADED = """
[branches]
I = "g, +E, R1, m"
I2 = "m, R2, g"
IL = "m, RL, g"
[numbers]
E = "20 V"
R1 = "10 kohm"
R2 = "15 kohm"
RL = "30 kohm"
"""


def slip(text: str, source: str) -> str:
    verdicts = read_working(circuit_of(source), text).verdicts
    first = next(v for v in verdicts if v.kind is ClaimKind.UNTRUE)
    return first.repairs[0].entry if first.repairs else ""


@pytest.mark.parametrize(
    "written", ["3.33*4/10", "3.33*4/(6 + 4)", "3.33*(4/10)", "(4/10)*3.33", "I1'*R3/(R2 + R3)"]
)
def test_share_of_the_branch_itself_is_the_divider_the_wrong_way_round(written: str) -> None:
    assert slip(f"E1 alone: I1' = 18/5.4 = 3.33 A\nI3' = {written}", TWO_ON_ONE) == "divider-inverted"


def test_wrong_resistance_in_a_share_is_no_divider_the_wrong_way_round() -> None:
    assert slip("E1 alone: I1' = 18/5.4 = 3.33 A\nI3' = 3.33*6/(6 + 3)", TWO_ON_ONE) == "subscript"


def test_resistance_left_out_of_a_share_is_not_taken_for_another() -> None:
    assert slip("J alone:\nI3'' = -3*4/(3 + 4) = -1.714 mA", FED_IN_KILOHMS) == "term-missing"


def test_resistance_is_not_taken_off_what_is_divided_by() -> None:
    assert slip("J alone:\nI3'' = -3*3/(3 + 4 + 1) = -1.125 mA", FED_IN_KILOHMS) == "divider-inverted"


@pytest.mark.parametrize("written", ["20*15/(10 + 15) = 12 V", "20*15/25", "20 V*15/(15 + 10)", "20*(15/25)"])
def test_load_that_is_not_counted_in_numbers_is_called_so(written: str) -> None:
    assert slip(f"Vm = {written}", LOADED) == "loaded-divider"


def test_share_of_the_other_resistance_is_no_load_forgotten() -> None:
    assert slip("Vm = 20*10/(10 + 15) = 8 V", LOADED) != "loaded-divider"


def test_units_of_bare_numbers_are_those_in_which_the_arithmetic_is_right() -> None:
    ohms = LOADED.replace(" kohm", "0 ohm")  # 100, 150 and 300 ohms
    assert slip("R2L = 150*300/450 = 120 ohm\nI = 20/200 = 100 mA", ohms) == "digits"
    assert slip("I = 20/220 = 90.9 mA\nI2 = 0.0909*150/450 = 30.3 mA", ohms) != "units-mixed"


THREE = TWO_ON_ONE.replace('I3 = "a, R3, g"', 'I3 = "a, R3, g"\nI4 = "a, R4, g"').replace(
    "[numbers]", '[numbers]\nR4 = "6 ohm"'
)


@pytest.mark.parametrize("written", ["(18/3 + 12/6)/(1/3 + 1/6 + 1/4)", "(18/3 + 12/6)/(1/3 + 1/6 + 1/6)"])
def test_resistance_left_out_of_a_sum_of_reciprocals_is_a_branch_missing(written: str) -> None:
    assert slip(f"V(a, g) = {written}", THREE) == "branch-missing"


def test_sum_of_all_reciprocals_lacks_none() -> None:
    verdicts = read_working(circuit_of(THREE), "V(a, g) = (18/3 + 12/6)/(1/3 + 1/6 + 1/4 + 1/6)").verdicts
    assert all(v.holds for v in verdicts)
    assert slip("V(a, g) = (18/3 + 12/5)/(1/3 + 1/6 + 1/4 + 1/6)", THREE) != "branch-missing"
