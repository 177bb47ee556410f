"""The two exact routes, spanning trees and elimination, on random circuits: the same currents.

They share the circuit and the polynomials and nothing else. Every difficulty that a circuit may have
is drawn: shared symbols, multiples, sums, numbers, fractions, no resistance at all, closed branches,
branches side by side, bridges, several batteries, ideal ones among them, current sources and gaps.
"""

from __future__ import annotations

import random
from collections import Counter
from fractions import Fraction
from math import isclose

import networkx as nx
import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import Expr, Number, Parallel, Symbol, add, times
from loopwright.solve.by_elimination import currents_by_elimination
from loopwright.solve.by_trees import currents_by_trees
from loopwright.solve.currents import Currents, NoUniqueSolution
from loopwright.solve.expansion import expansion
from loopwright.solve.node_potentials import currents_by_node_potentials

COMMON = Symbol("R")


def drawn(seed: int, most: int = 12) -> Circuit:
    """A connected circuit of three to `most` branches, well-posed or not."""
    chance = random.Random(seed)
    count = chance.randint(3, most)
    points = [f"p{i}" for i in range(chance.randint(2, max(2, count * 2 // 3)))]
    pairs = [(points[chance.randrange(i)], points[i]) for i in range(1, len(points))]
    pairs += [(chance.choice(points), chance.choice(points)) for _ in range(count - len(pairs))]
    chance.shuffle(pairs)
    shared = chance.random() < 0.6
    elements: dict[str, Element] = {}
    branches = []
    for n, (start, end) in enumerate(pairs, start=1):
        along = []
        for element, sign in _elements(chance, n, shared):
            elements[element.name] = element
            along.append(Pass(element.name, sign))
        branches.append(Branch(f"I{n}", start, end, tuple(along)))
    return Circuit(tuple(branches), elements)


def _elements(chance: random.Random, n: int, shared: bool) -> list[tuple[Element, int]]:
    found: list[tuple[Element, int]] = []
    if chance.random() < 0.85:
        found.append((resistor(f"R{n}", _resistance(chance, n, shared)), 0))
    draw = chance.random()
    if draw < 0.4:
        emf: Expr = Symbol("E") if shared and chance.random() < 0.3 else Symbol(f"E{n}")
        internal = Symbol(f"r{n}") if chance.random() < 0.3 else None
        found.append((battery(f"E{n}", emf, internal), chance.choice([1, -1])))
    elif draw < 0.47:
        found.append((Element(f"J{n}", Kind.CURRENT_SOURCE, Symbol(f"J{n}")), chance.choice([1, -1])))
    elif draw < 0.5:
        found.append((Element(f"S{n}", Kind.SWITCH, closed=False), 0))
    return found


def _resistance(chance: random.Random, n: int, shared: bool) -> Expr:
    own = Symbol(f"R{n}")
    if not shared:
        return own
    others = [COMMON, COMMON, times(Number(Fraction(2)), COMMON), add(own, COMMON), Number(Fraction(3, 2))]
    return chance.choice([own, own, own, *others, Parallel((own, COMMON))])


def both(circuit: Circuit) -> tuple[Currents | None, Currents | None]:
    """The currents by elimination and by trees; None where a route finds no unique answer."""
    found: list[Currents | None] = []
    for route in (currents_by_elimination, currents_by_trees):
        try:
            found.append(route(circuit))
        except NoUniqueSolution:
            found.append(None)
    return found[0], found[1]


@pytest.mark.parametrize("seed", range(0, 1000, 8))
def test_both_routes_agree_on_a_sample(seed: int) -> None:
    by_elimination, by_trees = both(drawn(seed))
    assert by_elimination == by_trees


@pytest.mark.slow
def test_both_routes_agree_on_a_thousand_circuits() -> None:
    posed = 0
    for seed in range(1500):
        by_elimination, by_trees = both(drawn(seed))
        assert by_elimination == by_trees, seed
        posed += by_elimination is not None
    assert posed >= 1000


def features(circuit: Circuit) -> set[str]:
    """What is difficult about a circuit."""
    lines = [(b.start, b.end) for b in circuit.branches]
    graph = nx.MultiGraph(lines)
    found = {kind.value for e in circuit.elements.values() for kind in [e.kind]}
    if any(start == end for start, end in lines):
        found.add("closed branch")
    if len({frozenset(line) for line in lines}) < len(lines):
        found.add("side by side")
    if any(nx.bridges(nx.Graph(lines))):
        found.add("bridge")
    if sum(bool(circuit.rise(n)) for n in circuit.currents) > 1:
        found.add("several batteries")
    if any(circuit.rise(n) and not circuit.resistance(n) for n in circuit.currents):
        found.add("ideal battery")
    if any(not circuit.resistance(n).is_polynomial for n in circuit.currents):
        found.add("fraction")
    if any((c := circuit.resistance(n).constant()) is not None and c for n in circuit.currents):
        found.add("number")
    if any(not circuit.resistance(n) and not circuit.rise(n) for n in circuit.currents):
        found.add("wire")
    if len(list(nx.articulation_points(nx.Graph(graph)))):
        found.add("parts at a point")
    return found


def test_every_difficulty_occurs_often_in_circuits_with_an_answer() -> None:
    seen: Counter[str] = Counter()
    for seed in range(0, 1000, 4):
        circuit = drawn(seed)
        if both(circuit)[0] is not None:
            seen.update(features(circuit))
    assert len(seen) == 13
    assert min(seen.values()) >= 10


@pytest.mark.parametrize("seed", range(0, 400, 8))
def test_terms_written_out_are_the_currents(seed: int) -> None:
    circuit = drawn(seed, most=9)
    wanted, _ = both(circuit)
    if wanted is None:
        with pytest.raises(NoUniqueSolution):
            expansion(circuit)
        return
    found = expansion(circuit)
    assert {n: found.ratio(n) for n in circuit.currents} == wanted.by_branch


NETWORKS = {
    "five points all joined": nx.complete_graph(5),
    "cube": nx.cubical_graph(),
    "ladder of six meshes": nx.grid_2d_graph(2, 7),
    "petersen": nx.petersen_graph(),
}


@pytest.mark.parametrize("name", NETWORKS)
def test_trees_agree_with_node_potentials_in_numbers(name: str) -> None:
    branches, elements = [], {"E": battery("E")}
    for n, (a, b) in enumerate(NETWORKS[name].edges, start=1):
        elements[f"R{n}"] = resistor(f"R{n}")
        along = (Pass("E", 1), Pass(f"R{n}")) if n == 2 else (Pass(f"R{n}"),)
        branches.append(Branch(f"I{n}", str(a), str(b), along))
    circuit = Circuit(tuple(branches), elements)
    values = {s: 1.0 + 0.37 * i for i, s in enumerate(circuit.symbols)}
    wanted = currents_by_node_potentials(circuit, values)
    found = currents_by_trees(circuit).by_branch
    assert all(isclose(found[n].real()(values), wanted[n], rel_tol=1e-9) for n in wanted)
