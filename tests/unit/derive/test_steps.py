"""What a step says of itself agrees with the line that it is."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Symbol
from loopwright.methods.methods import derive
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, CUBE, circuit_of


@pytest.mark.parametrize("text", [CHARGE_OR_HELP, BRIDGE, CUBE])
def test_a_result_solves_for_the_current_on_its_left(text: str) -> None:
    results = [s for s in derive(circuit_of(text)).steps if s.is_result and s.solves]
    assert results
    for step in results:
        assert step.written.left == Symbol(step.solves)
