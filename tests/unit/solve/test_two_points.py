"""A circuit seen from two points as one source, and the load put back."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.targets import target
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.solve.asked import value_of
from loopwright.solve.exact import Solution, solve
from loopwright.solve.two_points import equivalent_source, put_back
from tests.sample_circuits import BRIDGE, DRIVEN, ONE_LOOP, SYMBOLIC, circuit_of

BRIDGE_IN_NUMBERS = (
    BRIDGE
    + """
[numbers]
E = "10 V"
R1 = "1 ohm"
R2 = "4 ohm"
R3 = "4 ohm"
R4 = "1 ohm"
R5 = "0.4 ohm"
"""
)


def test_a_bridge_seen_from_its_middle_is_one_source() -> None:
    """Open: 8 V at b, 2 V at c; seen: 1 beside 4 twice, 1.6 ohm; shorted: 3.75 A. Put back: 3 A."""
    circuit = circuit_of(BRIDGE_IN_NUMBERS)
    found = put_back(solve(circuit), "R5")
    source = found.source
    assert source.short_current is not None
    numbers = [
        r.value(circuit.numbers)
        for r in (source.voltage, source.resistance, source.short_current, found.current)
    ]
    assert numbers == [6, Fraction(8, 5), Fraction(15, 4), 3]


def test_the_greatest_power_is_a_quarter_of_voltage_times_short_current() -> None:
    circuit = circuit_of(BRIDGE_IN_NUMBERS)
    source = put_back(solve(circuit), "R5").source
    assert source.greatest_power.value(circuit.numbers) == Fraction(6) * Fraction(15, 4) / 4


def test_a_load_with_an_emf_of_its_own_is_put_back_with_it() -> None:
    """DRIVEN seen from a and g without R3's branch: J R1 behind R1; E in the load is a rise there."""
    solution = solve(circuit_of(DRIVEN))
    circuit = solution.circuit
    found = equivalent_source(solution, "b", "g", ("E", "R3"))
    rise, load = -circuit.value("E"), circuit.value("R3")
    assert found.current_into(load, rise) == solution.currents["I4"]


@pytest.mark.parametrize("name", [n for n in SYMBOLIC if n != "cube"])
def test_voltage_and_resistance_are_those_asked_for_without_the_load(name: str) -> None:
    solution = solve(circuit_of(SYMBOLIC[name]))
    for load in (e for e in solution.circuit.elements if e.startswith("R")):
        try:
            found = put_back(solution, load)
        except FaultyMaterial:
            continue
        whole = solve(found.circuit)
        a, b = found.source.points
        assert found.source.voltage == value_of(whole, target(f"V({a}, {b}) without {load}", found.circuit))
        assert found.source.resistance == value_of(
            whole, target(f"R({a}, {b}) without {load}", found.circuit)
        )


def test_ends_on_the_way_along_a_branch_get_names() -> None:
    found = put_back(solve(circuit_of(ONE_LOOP)), "R1")
    assert found.source.points == ("p", "m")


def test_a_load_beside_a_current_source_in_its_branch_has_no_equivalent() -> None:
    text = DRIVEN.replace("+J, a", "+J, R4, a")
    with pytest.raises(FaultyMaterial, match="no emf with a resistance"):
        put_back(solve(circuit_of(text)), "R4")


def test_only_a_resistor_is_a_load() -> None:
    with pytest.raises(ValueError, match="E is no resistor"):
        put_back(solve(circuit_of(DRIVEN)), "E")


def test_a_load_that_carries_another_current_is_noticed() -> None:
    solution = solve(circuit_of(BRIDGE_IN_NUMBERS))
    wrong = Solution(
        solution.circuit, {**solution.currents, "I5": solution.currents["I1"]}, solution.determinant
    )
    with pytest.raises(BrokenPromise, match="R5 put back"):
        put_back(wrong, "R5")
