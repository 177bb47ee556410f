"""What follows from the currents: resistances seen with the sources at rest."""

from __future__ import annotations

from loopwright.expressions.parse import expression
from loopwright.expressions.values import ratio_of
from loopwright.solve.exact import solve
from tests.sample_circuits import DRIVEN, EQUAL_CELLS, circuit_of


def test_a_battery_at_rest_keeps_its_internal_resistance() -> None:
    """Two cells of r each beside R: r ∥ r ∥ R = r R/(r + 2 R), worked by hand."""
    circuit = circuit_of(EQUAL_CELLS)
    assert solve(circuit).resistance("bus", "rail") == ratio_of(expression("r R/(r + 2 R)"), circuit.field)


def test_a_battery_taken_out_takes_its_internal_resistance_with_it() -> None:
    """Without one cell: r ∥ R, worked by hand."""
    circuit = circuit_of(EQUAL_CELLS)
    seen = solve(circuit).resistance("bus", "rail", without=("E1",))
    assert seen == ratio_of(expression("r R/(r + R)"), circuit.field)


def test_a_current_source_at_rest_is_a_gap_and_an_ideal_battery_a_wire() -> None:
    """Between a and g: R1 beside R2 and R3 in a row; the source stands beside them and carries nothing."""
    circuit = circuit_of(DRIVEN)
    seen = ratio_of(expression("R1 (R2 + R3)/(R1 + R2 + R3)"), circuit.field)
    assert solve(circuit).resistance("a", "g") == seen
