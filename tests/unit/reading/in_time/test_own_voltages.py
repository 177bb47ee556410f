"""A voltage of the working's own in a circuit in time, the resistance that a storage sees, and short units.

Just after the switch closes C1 stands as 2 V: (12 − V)/2 = V/4 + (V − 2)/1, so V = 32/7 V.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.reading import Reading
from tests.unit.transients.sample_transients import LAMP, circuit_of

LIGHT = circuit_of(LAMP)
JUST_AFTER = """\
Just after:
(12 - V)/2 = V/4 + (V - 2)/1
6 - V/2 = 1.25 V - 2
8 = 1.75 V
V = 4.571 V
I3(0+) = (4.571 - 2)/1 = 2.571 mA
I1(0+) = (12 - 4.571)/2 = 3.714 mA
"""


def read(text: str) -> Reading:
    return read_working(LIGHT, text)


def test_a_voltage_between_the_junctions_may_be_called_no_more_than_v() -> None:
    found = read(JUST_AFTER).verdicts
    assert len(found) == 8
    assert all(v.holds for v in found)


@pytest.mark.parametrize(
    "wrong", ["V = 4.371 V", "8 = 1.25 V", "(12 - V)/2 = V/4 - (V - 2)/1", "(12 + V)/2 = V/4 + (V - 2)/1"]
)
def test_what_is_wrong_in_it_is_no_other_voltage(wrong: str) -> None:
    found = read(f"Just after:\n{wrong}\n").verdicts
    assert not any(v.holds for v in found)


def test_a_potential_may_be_called_by_its_point() -> None:
    assert all(v.holds for v in read(JUST_AFTER.replace("V)", "Vtop)").replace("V/", "Vtop/")).verdicts[:1])


def test_the_resistance_seen_is_not_the_storage() -> None:
    """(R seen by C1 = ...) says nothing of C1 itself."""
    found = read("R seen by C1 = 1 + 2*4/6 = 2.333 kohm\n").verdicts
    assert all(v.holds for v in found)
    assert not read("R seen by C1 = 2 + 2*4/6 = 3.333 kohm\n").verdicts[0].holds


@pytest.mark.parametrize("written", ["2.333k * 10u", "2.333k*10µ", "2.333 kohm * 10 uF"])
def test_units_left_to_their_prefix_are_those_of_a_resistance_and_a_capacitance(written: str) -> None:
    assert all(v.holds for v in read(f"tau = {written} = 23.3 ms\n").verdicts)
