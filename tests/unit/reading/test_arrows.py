"""Arrows that a working declares, and currents round meshes, on the branches of the circuit."""

from __future__ import annotations

from loopwright.reading.arrows import declared
from loopwright.reading.quantities import candidates
from loopwright.reading.working import ArrowSaid
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, circuit_of


def test_an_arrow_through_all_that_a_branch_holds_is_that_branch() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    assert declared(circuit, [ArrowSaid("i", "rail", "bus", ("Rh",))]) == {"i": {"Ih": -1}}
    assert declared(circuit, [ArrowSaid("i", "bus", "rail", ("R2", "E2"))]) == {"i": {"Ib": 1}}


def test_an_arrow_that_ends_where_no_branch_does_fits_none() -> None:
    circuit = circuit_of(BRIDGE)
    assert declared(circuit, [ArrowSaid("i", "a", "d", ("R5",))]) == {}
    assert declared(circuit, [ArrowSaid("i", "b", "d", ("R5",))]) == {}


def test_a_name_may_stand_for_a_mesh_current_with_either_sense() -> None:
    """In a bridge of three meshes one at least shares every branch with the others."""
    wheel = """
[branches]
I1 = "a, +E, R1, b"
I2 = "b, R2, c"
I3 = "c, R3, a"
I4 = "a, R4, o"
I5 = "b, R5, o"
I6 = "c, R6, o"
I7 = "o, R7, m"
I8 = "m, R8, a"
"""
    for text in (BRIDGE, wheel):
        found = candidates(circuit_of(text), "i1", turned_only=False)
        sums = [m for m in found if len(m) > 1]
        for meaning in sums:
            assert {n: -m for n, m in meaning.items()} in sums
