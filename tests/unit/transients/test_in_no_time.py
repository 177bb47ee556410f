"""What passes where nothing limits a current. Lost in sharing: C1 C2/(C1 + C2) (V1 - V2)²/2, and half of what
an ideal battery gives an empty capacitor (any textbook; from memory)."""

from __future__ import annotations

from fractions import Fraction

from loopwright.transients.in_no_time import in_no_time
from tests.unit.transients.sample_transients import LAMP, stage_of

SHARED = """
[branches]
I1 = "top, C1, foot"
I2 = "top, S1, C2, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "100 V"
C2 = "-20 V"
[numbers]
C1 = "10 uF"
C2 = "30 uF"
"""
ACROSS = """
[branches]
I1 = "foot, +E, S1, top"
I2 = "top, C1, foot"
[switching]
S1 = "open -> closed"
[start]
C1 = "0 V"
"""


def test_sharing_loses_what_the_two_voltages_differ_by_whatever_stands_in_the_way() -> None:
    stage = stage_of(SHARED)
    found = in_no_time(stage)
    assert found is not None
    numbers = stage.circuit.numbers
    assert found.lost.value(numbers) == Fraction(75, 10**7) * 120**2 / 2
    assert found.charges["I2"].value(numbers) == Fraction(75, 10**7) * 120
    assert found.charges["I1"] == -found.charges["I2"]
    assert found.honest is not None
    assert (found.honest.name, found.honest.branch) == ("R", "I2")
    assert found.honest.time_constant.value({**numbers, "R": 2}) == Fraction(15, 10**6)


def test_an_ideal_battery_loses_half_of_its_work_on_an_empty_capacitor() -> None:
    stage = stage_of(ACROSS)
    found = in_no_time(stage)
    assert found is not None
    emf, farads = stage.circuit.field.symbol("E"), stage.circuit.field.symbol("C1")
    assert found.charges["I1"] == emf * farads
    assert found.lost == emf * emf * farads / 2
    assert found.honest is not None
    assert str(found.honest.time_constant) in ("C1*R", "R*C1")


def test_where_more_than_the_time_would_change_no_resistance_is_offered() -> None:
    text = ACROSS.replace("[switching]", 'I3 = "top, R1, foot"\n[switching]')
    found = in_no_time(stage_of(text))
    assert found is not None
    assert found.lost
    assert found.honest is None


def test_where_resistances_limit_every_current_nothing_passes_in_no_time() -> None:
    assert in_no_time(stage_of(LAMP)) is None
