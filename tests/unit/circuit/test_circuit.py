"""A circuit on its way to another process."""

from __future__ import annotations

import pickle

from loopwright.circuit.circuit import Circuit
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of


def ways(circuit: Circuit) -> list[object]:
    return [ratio.above for ratio in solve(circuit).currents.values()]  # of the kernel: these do not travel


def test_a_circuit_travels_without_what_was_worked_of_it() -> None:
    circuit = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
    found = circuit.remembered(ways)
    again = pickle.loads(pickle.dumps(circuit))
    assert again == circuit
    assert again.remembered(ways) == found
