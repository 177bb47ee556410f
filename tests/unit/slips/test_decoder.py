"""Final numbers decoded, in cases checked by hand: (−1, 3, 2) A is right in the circuit used."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.quantities import read_quantity
from loopwright.slips.broken_laws import BrokenLaw
from loopwright.slips.decoded import Decoded
from loopwright.slips.decoder import decode
from tests.sample_circuits import DRIVEN, TWO_BATTERIES_IN_NUMBERS, circuit_of


@pytest.fixture(scope="module")
def circuit() -> Circuit:
    return circuit_of(TWO_BATTERIES_IN_NUMBERS)


def decoded(circuit: Circuit, text: str, *, as_drawn: bool = False) -> Decoded:
    pairs = (piece.partition("=") for piece in text.split())
    arrows = dict.fromkeys(circuit.currents, 1) if as_drawn else None
    return decode(circuit, {name: read_quantity(value) for name, _, value in pairs}, arrows=arrows)


def keys(found: Decoded) -> set[str]:
    return {key for match in found.best for key in match.slips.entries}


@pytest.mark.parametrize("text", ["I1=-1 I2=3 I3=2", "I1=-1.00A I2=3.00A I3=2.00A", "I1=-1000mA I2=3A"])
def test_right_numbers_are_right_in_any_writing(circuit: Circuit, text: str) -> None:
    found = decoded(circuit, text)
    assert found.right is not None
    assert (found.right.turned, found.right.exact) == ((), True)


@pytest.mark.parametrize(
    ("text", "unit"),
    [("I1=-1 I2=3 I3=2", "A"), ("I1=-1000 I2=3000 I3=2000", "mA"), ("I1=-1 I2=3 I3=2000", "A")],
)
def test_numbers_without_a_unit_are_taken_in_the_one_that_suits_most_of_them(
    circuit: Circuit, text: str, unit: str
) -> None:
    found = decoded(circuit, text)
    assert (found.unit, found.unitless) == (unit, ("I1", "I2", "I3"))


def test_a_factor_of_a_thousand_is_units_mixed_where_units_are_written(circuit: Circuit) -> None:
    assert keys(decoded(circuit, "I1=-1000A I2=3000A I3=2000A")) == {"units-mixed"}


def test_numbers_are_right_under_another_arrow_unless_the_arrows_are_said(circuit: Circuit) -> None:
    free = decoded(circuit, "I1=1 I2=3 I3=-2")
    assert free.right is not None
    assert free.right.turned == ("I1", "I3")
    assert decoded(circuit, "I1=1 I2=3 I3=-2", as_drawn=True).right is None


def test_declared_arrows_turn_the_numbers_given(circuit: Circuit) -> None:
    numbers = {"I1": Fraction(1), "I2": Fraction(3), "I3": Fraction(-2)}
    found = decode(circuit, numbers, arrows={"I1": -1, "I2": 1, "I3": -1})
    assert found.right is not None
    assert found.right.turned == ()


@pytest.mark.parametrize("text", ["I1=0.8 I2=2.18 I3=2.98", "I1=0.800A I2=2.182A I3=2.982A"])
def test_rounded_wrong_numbers_name_the_class_and_the_lines_that_split_it(
    circuit: Circuit, text: str
) -> None:
    found = decoded(circuit, text)
    assert {"wrong-current", "superposed-open"} <= keys(found)
    assert "the parts added" in found.lines
    assert found.broken.law is BrokenLaw.LOOP


def test_a_dropped_minus_is_told_beside_the_other_arrow(circuit: Circuit) -> None:
    found = decoded(circuit, "I1=1 I2=3 I3=2")
    assert found.right is not None
    assert found.right.turned == ("I1",)
    assert "minus-dropped" in keys(found)


def test_a_junction_slip_breaks_the_junctions_alone(circuit: Circuit) -> None:
    found = decoded(circuit, "I1=-2.2 I2=-0.6 I3=2.8", as_drawn=True)
    assert "junction-sign" in keys(found)
    assert found.broken.law is BrokenLaw.JUNCTION
    assert found.broken.junction_sum != 0
    assert found.broken.loop_sum == 0


def test_a_loop_slip_breaks_the_loops_alone_and_says_which(circuit: Circuit) -> None:
    found = decoded(circuit, "I1=12.5 I2=-19.5 I3=-7", as_drawn=True)
    assert "drop-sign" in keys(found)
    assert found.broken.places == ("loop foot-top (I2 I3)", "loop foot-top (I1 I2)")
    assert found.broken.junction_sum == 0
    assert found.broken.loop_sum != 0


@pytest.mark.parametrize(
    ("text", "name", "said"),
    [
        ("I1=-1.0 I2=3.0 I3=20", "I3", "times 10"),
        ("I1=-1.0 I2=3.0 I3=2000", "I3", "times 1000"),
        ("I1=-1.0 I2=2.0 I3=2.0", "I2", "the value of I3"),
        ("I1=-1.0 I2=3.4 I3=2.0", "I2", ""),
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
    problem = TWO_BATTERIES_IN_NUMBERS.replace("9 ohm", "8 ohm")  # I3 = 168/76 = 2.2105...
    found = decoded(circuit_of(problem), "I2=3.16 I3=2.12")
    assert found.lone is not None
    assert "another order" in found.lone.said


def test_numbers_that_are_nearly_right_are_rounded_on_the_way(circuit: Circuit) -> None:
    found = decoded(circuit, "I1=-1.01A I2=3.02A I3=2.01A")
    assert (found.right, found.near) == (None, True)


def test_numbers_of_no_single_slip_have_no_match(circuit: Circuit) -> None:
    found = decoded(circuit, "I1=0.51 I2=5.27 I3=11.3")
    assert found.matches == ()
    assert found.broken.law is BrokenLaw.BOTH


def test_numbers_that_satisfy_the_loops_fit_a_set_without_a_junction(circuit: Circuit) -> None:
    """I3 = 3 chosen freely: I1 = 2 − 4.5, I2 = 12 − 13.5."""
    found = decoded(circuit, "I1=-2.5 I2=-1.5 I3=3", as_drawn=True)
    assert {"loops-only", "current-used-up"} == {m.entry for c in found.open_ for m in c.members}


def test_a_current_other_than_its_source_says_breaks_no_law_of_junctions() -> None:
    """2 A from the source; all other currents follow the junctions and the loop for 3 A."""
    text = DRIVEN + '[numbers]\nJ = "2 A"\nE = "4 V"\nR1 = "2 ohm"\nR2 = "1 ohm"\nR3 = "1 ohm"\n'
    found = decoded(circuit_of(text), "I1=3.00A I2=2.50A I3=0.50A I4=0.50A", as_drawn=True)
    assert found.broken.law is BrokenLaw.FIXED
    assert found.broken.places == ("source in I1",)


def test_one_current_alone_leaves_the_law_untold(circuit: Circuit) -> None:
    found = decoded(circuit, "I3=4.00A")
    assert found.broken.law is BrokenLaw.UNTOLD
    assert {"load-sees-sum", "parallel-sources-add"} <= keys(found)


def test_voltages_and_powers_are_decoded_too(circuit: Circuit) -> None:
    assert "charging-voltage" in keys(decoded(circuit, "V(top,foot)=6.00V"))
    assert "voltage-order" in keys(decoded(circuit, "V(top,foot)=-18.0V"))
    assert "power-superposed" in keys(decoded(circuit, "P(R3)=27.2W"))


@pytest.mark.parametrize(
    ("text", "code"),
    [("I1=3V", "slips/wrong-unit"), ("I9=3A", "file/unknown-target"), ("R(top,foot)=3ohm", "slips/not-told")],
)
def test_what_cannot_be_decoded_is_said(circuit: Circuit, text: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        decoded(circuit, text)
    assert [f.code for f in trouble.value.findings] == [code]


def test_nothing_given_is_said(circuit: Circuit) -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        decode(circuit, {})
    assert [f.code for f in trouble.value.findings] == ["slips/nothing-given"]
