"""A circuit worked by an equivalent source, and what the judge refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.derive.steps import Derivation
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.expressions.writers import plain
from loopwright.methods.equivalent import by_equivalent_source, load_of
from loopwright.methods.methods import derive, derive_in_numbers
from loopwright.methods.verify import verify_method
from loopwright.solve.exact import Solution, solve
from loopwright.solve.method_quantities import OpenCurrent, OpenVoltage
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, ONE_LOOP, circuit_of

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
)  # worked by hand: 8 V and 2 V at the open ends, twice 0.8 ohm seen, 3.75 A shorted, 3 A through R5


def lines(derivation: Derivation) -> list[str]:
    """Each line on one line of text, as `a = b = c`."""
    return [" = ".join(plain.render(side) for side in step.chain) for step in derivation.steps]


def worked(text: str) -> tuple[Solution, Derivation]:
    solution = solve(circuit_of(text))
    return solution, by_equivalent_source(solution)


def test_a_bridge_is_worked_by_what_its_middle_sees() -> None:
    """The bridge of C. Wheatstone (1843), as in any textbook; worked by hand."""
    found = lines(derive(circuit_of(BRIDGE), method="equivalent source"))
    assert "Voc = −I1′ R1 + I2′ R2 = E (R2 R3 − R1 R4)/((R1 + R3) (R2 + R4))" in found
    assert "R13 = R1 R3/(R1 + R3)" in found
    assert "Req = R24 + R13" in found
    assert any(line.startswith("Isc = Voc/Req = ") for line in found)
    assert any(line.startswith("I5 = Voc/(Req + R5) = ") for line in found)


def test_numbers_are_put_in_as_they_are_found() -> None:
    derivation = derive_in_numbers(circuit_of(BRIDGE_IN_NUMBERS), method="equivalent source")
    assert derivation is not None
    found = lines(derivation)
    assert "Voc = −2 + 4 × 2 = 6" in found
    assert "Req = 0.8 + 0.8 = 1.6" in found
    assert "Isc = 6/1.6 = 3.75" in found
    assert "Pmax = 6²/(4 × 1.6) = 5.625" in found
    assert "I5 = 6/(1.6 + 0.4) = 3" in found


def test_the_load_is_what_is_asked_for() -> None:
    assert load_of(circuit_of(BRIDGE)) == "R5"
    assert load_of(circuit_of('find = ["P(R2)"]\n' + BRIDGE)) == "R2"
    assert load_of(circuit_of('find = ["I3"]\n' + BRIDGE)) == "R3"


def test_the_open_circuit_the_circuit_at_rest_and_the_one_loop_are_drawn() -> None:
    _, derivation = worked(CHARGE_OR_HELP)
    assert [need.caption for need in derivation.figures] == [
        "Rh taken out: open between bus and rail.",
        "Every source at rest, Rh taken out: the resistance seen between bus and rail.",
        "Rh put back.",
    ]


def test_what_is_taken_out_is_the_reason_for_no_current() -> None:
    _, derivation = worked(BRIDGE)
    assert as_text(derivation.steps[0].reason) == "R5 is taken out: no current."


def test_parts_in_series_with_the_load_known_follow_together() -> None:
    """With the only source in the branch of the load, what its current divides into follows from it."""
    text = BRIDGE.replace("+E, a", "+E, R6, a")
    solution = solve(circuit_of('find = ["I"]\n' + text))
    found = lines(derive(solution.circuit, solution, method="equivalent source"))
    assert sum(line.startswith(("I1 = ", "I2 = ", "I3 = ", "I4 = ", "I5 = ")) for line in found) >= 5


def test_a_single_loop_is_refused_with_the_reason() -> None:
    with pytest.raises(FaultyMaterial, match="there is a single loop"):
        derive(circuit_of(ONE_LOOP), method="equivalent source")


def test_another_load_than_the_one_taken_out_is_refused() -> None:
    solution, derivation = worked(BRIDGE)
    steps = tuple(
        replace(s, gives=OpenVoltage("R4")) if isinstance(s.gives, OpenVoltage) else s
        for s in derivation.steps
    )
    with pytest.raises(BrokenPromise, match="is not what its quantity comes to"):
        verify_method(replace(derivation, steps=steps), solution)


def test_currents_of_another_open_circuit_are_refused() -> None:
    solution, derivation = worked(BRIDGE)
    wrong = {
        name: OpenCurrent(m.branch, "R4") if isinstance(m, OpenCurrent) else m
        for name, m in derivation.meanings.items()
    }
    with pytest.raises(BrokenPromise, match="with R5 taken out"):
        verify_method(replace(derivation, meanings=wrong), solution)


def test_an_open_voltage_from_currents_not_told_above_is_refused() -> None:
    solution, derivation = worked(BRIDGE)
    steps = tuple(
        replace(s, uses=s.uses[:1]) if isinstance(s.gives, OpenVoltage) else s for s in derivation.steps
    )
    with pytest.raises(BrokenPromise, match="speaks of what is not told above"):
        verify_method(replace(derivation, steps=steps), solution)
