"""Numbers at scale against the closed forms and against one another: three routes that share nothing.

Outside references: python-flint's rational solve (Dixon, Numer. Math. 40, 137, 1982), NetworkX's
resistance distance (pseudo-inverse of the Laplacian).
"""

from __future__ import annotations

from fractions import Fraction
from random import Random

import networkx as nx
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import number
from loopwright.solve.by_elimination import currents_by_elimination
from loopwright.solve.by_numbers import flow_in_numbers, resistance_in_numbers
from loopwright.solve.currents import NoUniqueSolution
from loopwright.solve.exact import solve, solve_posed
from loopwright.solve.large_flow import flow, resistances
from loopwright.solve.large_network import LargeNetwork, lattice, network_of
from tests.strategies import amounts, circuits


def numbered(circuit: Circuit, data: st.DataObject) -> Circuit:
    return Circuit(circuit.branches, circuit.elements, data.draw(amounts(circuit)))


def grid_circuit(rows: int, columns: int) -> Circuit:
    """A grid of unlike resistors, a battery in its first branch."""
    chance = Random(3)
    net = lattice(rows, columns)
    elements = {"E": battery("E", number(Fraction(12)))}
    branches = []
    for n, (a, b) in enumerate(zip(net.starts, net.ends, strict=True)):
        elements[f"R{n}"] = resistor(f"R{n}", number(Fraction(chance.randint(1, 99), chance.randint(1, 9))))
        along = (Pass(f"R{n}"),) if n else (Pass("E", 1), Pass("R0"))
        branches.append(Branch(f"I{n}", f"p{a}", f"p{b}", along))
    return Circuit(tuple(branches), elements)


@settings(max_examples=30)
@given(circuit=circuits(points=6, loops=5), data=st.data())
def test_exact_numbers_are_the_closed_forms_worked_out(circuit: Circuit, data: st.DataObject) -> None:
    circuit = numbered(circuit, data)
    solved = solve_posed(circuit)
    worked = {name: ratio.value(circuit.numbers) for name, ratio in solved.currents.items()}
    found = flow_in_numbers(circuit)
    assert found.currents == worked
    assert found.determinant() == solved.determinant.value(circuit.numbers)


@settings(max_examples=30)
@given(circuit=circuits(points=6, loops=5), data=st.data())
def test_arrays_give_the_exact_numbers(circuit: Circuit, data: st.DataObject) -> None:
    """Current sources are injections there, so their own branches carry nothing."""
    circuit = numbered(circuit, data)
    exact = flow_in_numbers(circuit)
    free = [i for i, name in enumerate(circuit.currents) if circuit.fixed_current(name) is None]
    found = flow(network_of(circuit))
    wanted = np.array([float(exact.currents[name]) for name in circuit.currents])[free]
    scale = max(1.0, float(np.abs(wanted).max(initial=0)))
    assert found.currents[free] == pytest.approx(wanted, rel=1e-8, abs=1e-8 * scale)
    assert found.potentials == pytest.approx(
        np.array([float(exact.potentials[p]) for p in circuit.points]), rel=1e-8, abs=1e-7 * scale
    )


@settings(max_examples=25)
@given(circuit=circuits(points=5, loops=4), data=st.data())
def test_resistances_agree_by_three_routes(circuit: Circuit, data: st.DataObject) -> None:
    circuit = numbered(circuit, data)
    a, b = data.draw(st.sampled_from(circuit.points)), data.draw(st.sampled_from(circuit.points))
    exact = resistance_in_numbers(circuit, a, b)
    place = {p: i for i, p in enumerate(circuit.points)}
    assert exact is not None
    assert solve_posed(circuit).resistance(a, b).value(circuit.numbers) == exact
    assert resistances(network_of(circuit), [(place[a], place[b])]) == pytest.approx([float(exact)], rel=1e-9)


def test_a_grid_without_symbols_is_solved_by_numbers_and_as_by_elimination() -> None:
    circuit = grid_circuit(6, 6)
    solved, other = solve(circuit), currents_by_elimination(circuit)
    assert solved.route is not None
    assert solved.route.name == "numbers"
    assert (dict(solved.currents), solved.determinant) == (other.by_branch, other.determinant)


def test_numbers_refuse_what_has_no_one_answer() -> None:
    loop_of_wires = Circuit((Branch("I1", "a", "b", ()), Branch("I2", "a", "b", ())), {})
    source = Element("J", Kind.CURRENT_SOURCE, number(Fraction(1)))
    no_way_back = Circuit((Branch("I1", "a", "b", (Pass("J", 1),)),), {"J": source})
    for circuit in (loop_of_wires, no_way_back):
        with pytest.raises(NoUniqueSolution):
            flow_in_numbers(circuit)


def test_a_grid_of_hundreds_of_points_agrees_exactly_and_in_floating_point() -> None:
    circuit = grid_circuit(15, 20)
    exact, found = flow_in_numbers(circuit), flow(network_of(circuit))
    assert found.currents == pytest.approx([float(exact.currents[n]) for n in circuit.currents], abs=1e-9)
    seen = resistance_in_numbers(circuit, "p0", "p299")
    assert seen is not None
    assert resistances(network_of(circuit), [(0, 299)]) == pytest.approx([float(seen)], rel=1e-12)


def test_exact_currents_of_a_grid_meet_the_laws_exactly() -> None:
    circuit = grid_circuit(10, 12)
    found = flow_in_numbers(circuit)
    for p in circuit.points:
        away = sum(found.currents[b.name] * ((b.start == p) - (b.end == p)) for b in circuit.branches)
        assert away == 0
    for b in circuit.branches:
        drop = found.currents[b.name] * circuit.resistance(b.name).value({}) - circuit.rise(b.name).value({})
        assert found.potentials[b.start] - found.potentials[b.end] == drop


@pytest.mark.parametrize("seed", range(3))
def test_random_networks_have_the_resistance_distances_of_networkx(seed: int) -> None:
    graph = nx.connected_watts_strogatz_graph(80, 6, 0.4, seed=seed)
    chance = Random(seed)
    nx.set_edge_attributes(graph, {e: chance.uniform(0.01, 100) for e in graph.edges}, "ohms")
    starts, ends = np.array(graph.edges).T
    ohms = np.array([graph.edges[e]["ohms"] for e in graph.edges])
    pairs = [(0, 40), (3, 77), (12, 13)]
    wanted = [nx.resistance_distance(graph, a, b, weight="ohms", invert_weight=True) for a, b in pairs]
    assert resistances(LargeNetwork(80, starts, ends, ohms), pairs) == pytest.approx(wanted, rel=1e-8)
