"""The equations of a circuit while it changes name the voltage of each storage; in the steady state a coil is
a wire with what resistance it has."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.laws.laws import laws
from loopwright.transients.laws_in_time import laws_after_moves, storage_laws
from tests.sample_circuits import circuit_of

TWO_MOVES = """
[branches]
I1 = "foot, +E, S1, R1, top"
I2 = "top, C1, foot"
I3 = "top, S2, R2, L1, foot"
[elements]
L1 = { internal = "r" }
[switching]
S1 = "open -> closed"
S2 = "open -> closed at 30 ms"
"""
STEADY = """
[branches]
I1 = "a, +E1, R2, b"
I2 = "b, L1, c"
I4 = "c, R1, a"
[elements]
L1 = { internal = "r" }
"""


def test_a_storage_stands_with_its_voltage_after_each_move() -> None:
    circuit = circuit_of(TWO_MOVES)
    first, second = laws_after_moves(circuit)
    assert [as_text((law.written,)) for law in first.elements] == ["I3 = 0"]  # S2 is open still
    assert [as_text((law.written,)) for law in first.loops] == ["E − I1 R1 − V(C1) = 0"]
    assert {as_text((law.written,)) for law in second.every_loop} == {
        "E − I1 R1 − V(C1) = 0",
        "E − I1 R1 − I3 R2 − L1 dI3/dt − I3 r = 0",
        "L1 dI3/dt + I3 r + I3 R2 − V(C1) = 0",
    }
    assert second.judge(second.chosen).enough
    assert [as_text((law,)) for law in storage_laws(circuit)] == ["I2 = C1 dV(C1)/dt"]


@pytest.mark.parametrize(("text", "told"), [(STEADY, "E1 − I1 R2 − I2 r − I4 R1 = 0")])
def test_a_coil_that_stands_for_long_drops_what_its_own_resistance_takes(text: str, told: str) -> None:
    assert [as_text((law.written,)) for law in laws(circuit_of(text)).loops] == [told]
