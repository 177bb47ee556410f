"""A circuit worked by superposition: its part circuits, its lines, and what the judge refuses."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.derive.steps import Derivation
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.expressions.said import as_text
from loopwright.expressions.writers import plain
from loopwright.methods.methods import derive, derive_in_numbers
from loopwright.methods.superposition import by_superposition
from loopwright.methods.verify import verify_method
from loopwright.solve.exact import Solution, solve
from loopwright.solve.method_quantities import PartCurrent
from tests.sample_circuits import (
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    DRIVEN,
    LADDER,
    REAL_BRIDGE,
    circuit_of,
)


def lines(derivation: Derivation) -> list[str]:
    """Each line on one line of text, as `a = b = c`."""
    return [" = ".join(plain.render(side) for side in step.chain) for step in derivation.steps]


def worked(text: str) -> tuple[Solution, Derivation]:
    solution = solve(circuit_of(text))
    return solution, by_superposition(solution)


def test_each_part_is_worked_by_series_and_parallel_and_the_parts_are_added() -> None:
    """Common practice, no source: the heater's current is what each battery sends through it."""
    found = lines(derive(circuit_of(CHARGE_OR_HELP), method="superposition"))
    assert found[0] == "Rp = R2 Rh/(R2 + Rh)"
    assert found[3] == "Ih′ = Ic′ R2/(R2 + Rh) = E1 R2/(R1 Rh + R2 (R1 + Rh))"
    assert found[-1] == "Ih = Ih′ + Ih′′ = (E1 R2 + E2 R1)/(R1 Rh + R2 (R1 + Rh))"


def test_numbers_are_put_in_as_they_are_found() -> None:
    derivation = derive_in_numbers(circuit_of(CHARGE_OR_HELP_IN_NUMBERS), method="superposition")
    assert derivation is not None
    assert lines(derivation)[-1] == "Ih = 1.4681 + 1.5319 = 3"
    assert "Ih = Ih′ + Ih′′" in as_text(derivation.steps[-1].reason)


def test_part_circuits_are_drawn_with_wires_and_gaps_for_sources_at_rest() -> None:
    solution, derivation = worked(DRIVEN)
    of_current_source, of_battery = derivation.figures
    assert of_current_source.caption == "J alone: a wire in the place of E."
    assert [b.name for b in of_current_source.circuit.branches] == ["I1′", "I2′", "I3′", "I4′"]
    assert of_battery.caption == "E alone: a gap in the place of J."
    assert (of_battery.gaps, of_battery.like) == (("I1",), solution.circuit)
    assert [b.name for b in of_battery.circuit.branches] == ["I2′′", "I3′′", "I4′′"]


def test_a_source_at_rest_is_given_as_the_reason_for_no_current() -> None:
    _, derivation = worked(DRIVEN)
    (none,) = [s for s in derivation.steps if plain.render(s.written.left) == "I1′′"]
    assert as_text(none.reason) == "J at rest is a gap: no current."


def test_an_internal_resistance_is_said_to_stay() -> None:
    text = LADDER + '[elements]\nE2 = { internal = "r2" }\n'
    _, derivation = worked(text)
    assert derivation.figures[0].caption == (
        "E1 alone: a wire in the place of E2. The internal resistance of E2 stays."
    )


def test_one_name_serves_a_denominator_that_all_parts_share() -> None:
    _, derivation = worked(LADDER)
    assert list(derivation.names) == ["D"]
    assert sum(line.startswith("D = ") for line in lines(derivation)) == 1


def test_a_circuit_of_one_source_is_refused_with_the_reason() -> None:
    with pytest.raises(FaultyMaterial, match="there is one source"):
        derive(circuit_of(REAL_BRIDGE), method="superposition")


@pytest.mark.parametrize("text", [CHARGE_OR_HELP, DRIVEN, LADDER])
def test_the_other_source_said_to_be_at_work_is_refused(text: str) -> None:
    solution, derivation = worked(text)
    one, other = derivation.changed
    exchanged = (replace(one, sources=other.sources), replace(other, sources=one.sources))
    swapped = {
        name: replace(m, sources=other.sources if m.sources == one.sources else one.sources)
        for name, m in derivation.meanings.items()
        if isinstance(m, PartCurrent)
    }
    with pytest.raises(BrokenPromise):
        verify_method(replace(derivation, changed=exchanged, meanings=swapped), solution)
    with pytest.raises(BrokenPromise, match="is not the part of"):
        verify_method(replace(derivation, changed=exchanged), solution)


def test_a_part_left_out_of_the_sum_is_refused() -> None:
    solution, derivation = worked(CHARGE_OR_HELP)
    last = derivation.steps[-1]
    left_out = replace(last, uses=last.uses[:1])
    with pytest.raises(BrokenPromise, match="does not follow"):
        verify_method(replace(derivation, steps=(*derivation.steps[:-1], left_out)), solution)


def test_a_line_of_a_part_circuit_is_no_line_of_the_whole() -> None:
    """The currents of a part belong to no branch of the whole."""
    solution, derivation = worked(CHARGE_OR_HELP)
    with pytest.raises(BrokenPromise, match="is not in the circuit as it is drawn"):
        verify_method(replace(derivation, changed=derivation.changed[1:]), solution)
