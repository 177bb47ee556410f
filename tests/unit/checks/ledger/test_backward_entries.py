"""The checks of what runs backwards say which one is wrong."""

from __future__ import annotations

from loopwright.algebra.ratios import Field
from loopwright.checks.ledger.backward_entries import _shorted
from loopwright.solve.greatest import ShortCircuit


def test_a_short_circuit_current_that_is_not_that_of_the_wire_is_named_by_its_points() -> None:
    one = Field(("E",)).one
    wrong = ShortCircuit(("a", "b"), one, one, one, one * 2)
    entry = _shorted((wrong,))
    assert entry.passed is False
    assert entry.result == "Not so from a to b."
