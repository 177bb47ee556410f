"""Final numbers decoded, in cases checked by hand: (2, −1, 3) A is right in the circuit used."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.quantities import read_quantity
from loopwright.slips.broken_laws import BrokenLaw
from loopwright.slips.decoded import Decoded
from loopwright.slips.decoder import decode
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, CHARGING_IN_NUMBERS, DRIVEN, circuit_of


@pytest.fixture(scope="module")
def circuit() -> Circuit:
    return circuit_of(CHARGE_OR_HELP_IN_NUMBERS)


def decoded(circuit: Circuit, text: str, *, as_drawn: bool = False) -> Decoded:
    pairs = (piece.partition("=") for piece in text.split())
    arrows = dict.fromkeys(circuit.currents, 1) if as_drawn else None
    return decode(circuit, {name: read_quantity(value) for name, _, value in pairs}, arrows=arrows)


def keys(found: Decoded) -> set[str]:
    return {key for match in found.best for key in match.slips.entries}


@pytest.mark.parametrize("text", ["Ic=2 Ib=-1 Ih=3", "Ic=2.00A Ib=-1.00A Ih=3.00A", "Ic=2000mA Ib=-1A"])
def test_right_numbers_are_right_in_any_writing(circuit: Circuit, text: str) -> None:
    found = decoded(circuit, text)
    assert found.right is not None
    assert (found.right.turned, found.right.exact) == ((), True)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("Ic=2 Ib=-1 Ih=3", "A"), ("Ic=2000 Ib=-1000 Ih=3000", "mA"), ("Ic=2 Ib=-1 Ih=3000", "A")],
)
def test_numbers_without_a_unit_are_taken_in_the_one_that_suits_most_of_them(
    circuit: Circuit, text: str, unit: str
) -> None:
    found = decoded(circuit, text)
    assert (found.unit, found.unitless) == (unit, ("Ic", "Ib", "Ih"))


def test_a_factor_of_a_thousand_is_units_mixed_where_units_are_written(circuit: Circuit) -> None:
    assert keys(decoded(circuit, "Ic=2000A Ib=-1000A Ih=3000A")) == {"units-mixed"}


def test_numbers_are_right_under_another_arrow_unless_the_arrows_are_said(circuit: Circuit) -> None:
    free = decoded(circuit, "Ic=-2 Ib=-1 Ih=-3")
    assert free.right is not None
    assert free.right.turned == ("Ic", "Ih")
    assert decoded(circuit, "Ic=-2 Ib=-1 Ih=-3", as_drawn=True).right is None


def test_declared_arrows_turn_the_numbers_given(circuit: Circuit) -> None:
    numbers = {"Ic": Fraction(-2), "Ib": Fraction(-1), "Ih": Fraction(-3)}
    found = decode(circuit, numbers, arrows={"Ic": -1, "Ib": 1, "Ih": -1})
    assert found.right is not None
    assert found.right.turned == ()


@pytest.mark.parametrize("text", ["Ic=2.56 Ib=-2.25 Ih=4.81", "Ic=2.556A Ib=-2.250A Ih=4.806A"])
def test_rounded_wrong_numbers_name_the_class_and_the_lines_that_split_it(
    circuit: Circuit, text: str
) -> None:
    found = decoded(circuit, text)
    assert {"wrong-current", "superposed-open"} <= keys(found)
    assert "the parts added" in found.lines
    assert found.broken.law is BrokenLaw.LOOP


def test_a_dropped_minus_is_told_beside_the_other_arrow(circuit: Circuit) -> None:
    found = decoded(circuit, "Ic=2 Ib=1 Ih=3")
    assert found.right is not None
    assert found.right.turned == ("Ib",)
    assert "minus-dropped" in keys(found)


def test_a_junction_slip_breaks_the_junctions_alone(circuit: Circuit) -> None:
    found = decoded(circuit, "Ic=-44/23A Ib=97/23A Ih=141/23A", as_drawn=True)
    assert "junction-sign" in keys(found)
    assert found.broken.law is BrokenLaw.JUNCTION
    assert found.broken.junction_sum != 0
    assert found.broken.loop_sum == 0


def test_a_loop_slip_breaks_the_loops_alone_and_says_which(circuit: Circuit) -> None:
    found = decoded(circuit, "Ic=44/7A Ib=47/7A Ih=-3/7A", as_drawn=True)
    assert "drop-sign" in keys(found)
    assert found.broken.places == ("loop rail-bus (Ib Ih)", "loop rail-bus (Ic Ib)")
    assert found.broken.junction_sum == 0
    assert found.broken.loop_sum != 0


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("Ic=2.0 Ib=-1.0 Ih=30", "Ih", "times 10"),
        ("Ic=2.0 Ib=-1.0 Ih=3000", "Ih", "times 1000"),
        ("Ic=3.0 Ib=-1.0 Ih=3.0", "Ic", "the value of Ih"),
        ("Ic=2.4 Ib=-1.0 Ih=3.0", "Ic", ""),
    ],
)
def test_one_wrong_number_is_named_with_what_was_done_to_it(
    circuit: Circuit, text: str, name: str, said: str
) -> None:
    found = decoded(circuit, text)
    assert found.lone is not None
    assert found.lone.name == name
    assert said in found.lone.said


def test_two_figures_swapped_are_seen() -> None:
    problem = CHARGE_OR_HELP_IN_NUMBERS.replace("5 ohm", "6 ohm")  # Ih = 141/54 = 2.6111...
    found = decoded(circuit_of(problem), "Ib=-0.778 Ih=2.16")
    assert found.lone is not None
    assert "another order" in found.lone.said


def test_numbers_that_are_nearly_right_are_rounded_on_the_way(circuit: Circuit) -> None:
    found = decoded(circuit, "Ic=2.01A Ib=-1.01A Ih=3.02A")
    assert (found.right, found.near) == (None, True)


def test_numbers_of_no_single_slip_have_no_match(circuit: Circuit) -> None:
    found = decoded(circuit, "Ic=0.51 Ib=5.27 Ih=11.3")
    assert found.matches == ()
    assert found.broken.law is BrokenLaw.BOTH


def test_numbers_that_satisfy_the_loops_fit_a_set_without_a_junction(circuit: Circuit) -> None:
    """Ih = 4.2 chosen freely: Ic = (23 − 21)/4, Ib = (21 − 18)/3."""
    found = decoded(circuit, "Ic=0.5 Ib=1 Ih=4.2", as_drawn=True)
    assert {"loops-only", "current-used-up"} == {m.entry for c in found.open_ for m in c.members}


def test_a_current_other_than_its_source_says_breaks_no_law_of_junctions() -> None:
    """2 A from the source; all other currents follow the junctions and the loop for 3 A."""
    text = DRIVEN + '[numbers]\nJ = "2 A"\nE = "4 V"\nR1 = "2 ohm"\nR2 = "1 ohm"\nR3 = "1 ohm"\n'
    found = decoded(circuit_of(text), "I1=3.00A I2=2.50A I3=0.50A I4=0.50A", as_drawn=True)
    assert found.broken.law is BrokenLaw.FIXED
    assert found.broken.places == ("source in I1",)


def test_one_current_alone_leaves_the_law_untold(circuit: Circuit) -> None:
    found = decoded(circuit, "Ih=8.20A")
    assert found.broken.law is BrokenLaw.UNTOLD
    assert {"load-sees-sum", "parallel-sources-add"} <= keys(found)


def test_voltages_and_powers_are_decoded_too(circuit: Circuit) -> None:
    charging = circuit_of(CHARGING_IN_NUMBERS)
    assert "charging-voltage" in keys(decoded(charging, "V(bus,rail)=16.5V"))
    assert "voltage-order" in keys(decoded(circuit, "V(bus,rail)=-15.0V"))
    assert "power-superposed" in keys(decoded(circuit, "P(Rh)=22.5W"))


@pytest.mark.parametrize(
    ("text", "code"),
    [("Ic=3V", "slips/wrong-unit"), ("I9=3A", "file/unknown-target"), ("R(bus,rail)=3ohm", "slips/not-told")],
)
def test_what_cannot_be_decoded_is_said(circuit: Circuit, text: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        decoded(circuit, text)
    assert [f.code for f in trouble.value.findings] == [code]


def test_nothing_given_is_said(circuit: Circuit) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        decode(circuit, {})
    assert [f.code for f in trouble.value.findings] == ["slips/nothing-given"]
