"""Random circuits changed as methods change them: parts, parts made one and equivalents give the whole."""

from __future__ import annotations

from contextlib import suppress

from hypothesis import given, settings

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import Kind
from loopwright.circuit.made_one import collapse
from loopwright.errors import FaultyMaterial
from loopwright.solve.alone import each_alone
from loopwright.solve.exact import solve
from loopwright.solve.made_one import drawn_solutions
from loopwright.solve.two_points import put_back
from tests.strategies import circuits


@settings(max_examples=60, deadline=None)
@given(circuits())
def test_parts_of_every_source_add_up(circuit: Circuit) -> None:
    parts = each_alone(solve(circuit))
    assert len(parts) == sum(circuit.has_source(b) for b in circuit.branches)


@settings(max_examples=60, deadline=None)
@given(circuits())
def test_circuits_drawn_with_parts_made_one_carry_the_same_currents(circuit: Circuit) -> None:
    found = collapse(circuit)
    assert len(drawn_solutions(found, solve(circuit))) == 1 + len(found.steps)


@settings(max_examples=40, deadline=None)
@given(circuits(wired=False))
def test_every_load_put_back_carries_its_current(circuit: Circuit) -> None:
    solution = solve(circuit)
    for branch in circuit.branches:
        for load in (p.element for p in branch.passes if circuit.elements[p.element].kind is Kind.RESISTOR):
            with suppress(FaultyMaterial):
                assert put_back(solution, load).current == solution.currents[branch.name]
