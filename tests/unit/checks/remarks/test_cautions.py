"""Cautions by numbers. The thresholds are common practice, no source, unless named."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.checks.remarks.cautions import Caution, cautions
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.said import as_text
from loopwright.solve.exact import solve_posed
from tests.sample_circuits import (
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CHARGING_IN_NUMBERS,
    circuit_of,
)

LAMP = """
[branches]
I = "a, +E, R, a"
[elements]
E = { internal = "r" }
[numbers]
E = "EMF"
R = "LOAD"
r = "INTERNAL"
"""

ONE_CELL = """
[branches]
I = "a, +E, R, a"
[numbers]
E = "1 V"
R = "LOAD"
"""
BALANCED = """
[branches]
Im = "low, +E1, R1, high"
Is = "low, +E2, R2, high"
Iw = "high, R3, low"
[numbers]
E1 = "9 V"
E2 = "10 V"
R1 = "2 ohm"
R2 = "1 ohm"
R3 = "9 ohm"
"""


def lamp(emf: str, load: str, internal: str = "1 ohm") -> Circuit:
    return circuit_of(LAMP.replace("EMF", emf).replace("LOAD", load).replace("INTERNAL", internal))


def found(circuit: Circuit) -> dict[str, Caution]:
    return {c.code: c for c in cautions(circuit, solve_posed(circuit))}


def words(told: Caution) -> str:
    return "".join(piece for piece in told.text if isinstance(piece, str))


def test_no_numbers_no_cautions() -> None:
    assert found(circuit_of(CHARGE_OR_HELP)) == {}


def test_a_gentle_circuit_needs_no_caution() -> None:
    assert found(lamp("3 V", "1000 ohm")) == {}


@pytest.mark.parametrize(
    ("load", "code"), [("10 ohm", "caution/resistor-power"), ("60 ohm", "caution/resistor-warm")]
)
def test_a_quarter_watt_is_the_usual_rating(load: str, code: str) -> None:
    """3 V on 10 Ω + 1 Ω: 0.74 W; 3 V on 60 Ω + 1 Ω: 0.145 W, past half of a quarter watt."""
    assert set(found(lamp("3 V", load))) == {code}


def test_a_stated_rating_goes_before_the_usual_one() -> None:
    strong = replace(lamp("3 V", "10 ohm"), ratings={"R": Fraction(2)})
    assert found(strong) == {}
    weak = replace(lamp("3 V", "1000 ohm"), ratings={"R": Fraction(1, 1000)})
    assert "its rating of " in "".join(
        p for p in found(weak)["caution/resistor-power"].text if isinstance(p, str)
    )


@pytest.mark.parametrize(
    ("load", "codes"),
    [("4 ohm", {"caution/resistor-warm"}), ("8 ohm", set()), ("7.9 ohm", {"caution/resistor-warm"})],
)
def test_a_rating_and_its_half_are_not_past_it(load: str, codes: set[str]) -> None:
    """1 V at the load: a quarter of a watt in 4 Ω, the usual rating, and an eighth in 8 Ω, half of it."""
    alone = ONE_CELL.replace("LOAD", load)
    assert set(found(circuit_of(alone))) == codes


def test_a_battery_without_current_is_not_driven_backwards() -> None:
    """10 V over 1 Ω and 9 Ω puts 9 V across the other battery of 9 V: it gives and takes nothing."""
    assert "caution/battery-backwards" not in found(circuit_of(BALANCED))


def test_a_battery_driven_backwards_is_named() -> None:
    told = found(circuit_of(CHARGING_IN_NUMBERS))["caution/battery-backwards"]
    assert told.about == ("E2",)
    assert "Never do this to primary cells" in words(told)
    assert "bench supply" in words(told)


def test_backwards_does_not_depend_on_the_arrow() -> None:
    flipped = circuit_of(CHARGING_IN_NUMBERS).flipped("Ic", "Ib")
    assert found(flipped)["caution/battery-backwards"].about == ("E2",)


def test_a_low_inside_resistance_makes_a_dangerous_short() -> None:
    assert "caution/short-circuit-current" in found(lamp("12 V", "1000 ohm", "0.02 ohm"))
    assert "caution/short-circuit-current" not in found(lamp("1.5 V", "1000 ohm", "0.15 ohm"))  # just 10 A


@pytest.mark.parametrize(("emf", "warned"), [("60 V", False), ("61 V", True)])
def test_sixty_volts_is_the_touch_limit(emf: str, warned: bool) -> None:
    """60 V d.c., the touch limit of IEC 60598-1 for luminaires, for one."""
    assert ("caution/voltage" in found(lamp(emf, "100000 ohm"))) is warned


def stack(emf: str) -> Circuit:
    text = '[branches]\nI = "a, +E1, (b), +E2, (c), R, a"\n'
    return circuit_of(f'{text}[numbers]\nE1 = "{emf}"\nE2 = "{emf}"\nR = "100000 ohm"\n')


def test_batteries_in_a_row_add_up_to_a_dangerous_difference() -> None:
    assert found(stack("40 V"))["caution/voltage"].about == ("c", "a")


def test_batteries_in_a_row_that_add_up_to_the_touch_limit_are_not_above_it() -> None:
    assert found(stack("30 V")) == {}


def test_every_caution_defers_to_the_rules() -> None:
    for told in found(circuit_of(CHARGING_IN_NUMBERS)).values():
        assert told.text[-1] == " Local rules, the makers' data and licensed practice come first."


def test_hot_resistors_share_one_caution() -> None:
    told = found(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))["caution/resistor-power"]
    assert told.about == ("R1", "R2", "Rh")
    assert words(told).count("the usual small resistor's") == 1


def test_two_strong_batteries_are_told_in_one_sentence() -> None:
    text = BALANCED.replace(
        "[numbers]", '[elements]\nE1 = { internal = "r" }\nE2 = { internal = "r" }\n[numbers]\nr = "0.5 ohm"'
    )
    caution = found(circuit_of(text))["caution/short-circuit-current"]
    assert caution.about == ("E1", "E2")
    assert as_text(caution.text).startswith("A wire across E1 would carry about 18 A and one across E2 would")
    assert as_text(caution.text).count("Put a fuse") == 1
