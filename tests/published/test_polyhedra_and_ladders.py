"""Resistances of regular networks of one-ohm resistors, known in closed form.

Cube 7/12, 3/4, 5/6 along edge, face and body; tetrahedron 1/2; octahedron 5/12, 1/2: textbook results
(the first of each also published, see sources.md; the others from memory). Dodecahedron and
icosahedron: F. J. van Steenwijk, "Equivalent resistors of polyhedral resistive structures",
Am. J. Phys. 66, 90 (1998): from memory.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import networkx as nx
import pytest

from loopwright.solve.exact import Solution
from tests.published.networks import network

POLYHEDRA = {
    "tetrahedron": (nx.tetrahedral_graph(), ["1/2"]),
    "cube": (nx.cubical_graph(), ["7/12", "3/4", "5/6"]),
    "octahedron": (nx.octahedral_graph(), ["5/12", "1/2"]),
    "icosahedron": (nx.icosahedral_graph(), ["11/30", "7/15", "1/2"]),
    "dodecahedron": (nx.dodecahedral_graph(), ["19/30", "9/10", "16/15", "17/15", "7/6"]),
}
EDGE_TRANSITIVE = {
    **{name: graph for name, (graph, _) in POLYHEDRA.items()},
    "torus of 4 by 4": nx.grid_2d_graph(4, 4, periodic=True),
    "three by three utilities": nx.complete_bipartite_graph(3, 3),
    "petersen": nx.petersen_graph(),
    "ring of seven": nx.cycle_graph(7),
}


def unit(graph: nx.Graph) -> Solution:
    return network(graph.edges)


def seen(solution: Solution, a: object, b: object) -> Fraction | None:
    return solution.resistance(str(a), str(b)).constant()


@pytest.mark.parametrize("name", POLYHEDRA)
def test_polyhedron_has_the_known_resistance_at_every_distance(name: str) -> None:
    graph, known = POLYHEDRA[name]
    solution = unit(graph)
    distances = nx.single_source_shortest_path_length(graph, 0)
    found = {(d, seen(solution, 0, node)) for node, d in distances.items() if d}
    assert found == {(d, Fraction(value)) for d, value in enumerate(known, start=1)}


@pytest.mark.parametrize("name", EDGE_TRANSITIVE)
def test_edges_all_alike_share_fosters_sum(name: str) -> None:
    """R = (2/d)(1 - 1/n) across any edge: the rule printed with the published polyhedra (IBM Research,
    Ponder This, October 2007), which is R. M. Foster's sum, 1949 (from memory), shared out equally."""
    graph = EDGE_TRANSITIVE[name]
    (degree,) = {d for _, d in graph.degree}
    a, b = next(iter(graph.edges))
    assert seen(unit(graph), a, b) == Fraction(2, degree) * (1 - Fraction(1, len(graph)))


@pytest.mark.parametrize("n", range(2, 10))
def test_complete_graph_has_two_nths(n: int) -> None:
    """Textbook result, by symmetry: n - 2 ways of two ohms beside the edge itself."""
    assert seen(unit(nx.complete_graph(n)), 0, n - 1) == Fraction(2, n)


@pytest.mark.parametrize("sections", [1, 2, 3, 5, 8, 20])
def test_finite_ladder_is_a_ratio_of_fibonacci_numbers(sections: int) -> None:
    """Textbook result: n sections of one ohm along and one ohm across show F(2n+1)/F(2n)."""
    along = list(pairwise(range(sections + 1)))
    across = [(n, "foot") for n in range(1, sections + 1)]
    fibonacci = [0, 1]
    while len(fibonacci) <= 2 * sections + 1:
        fibonacci.append(fibonacci[-1] + fibonacci[-2])
    assert seen(network([*along, *across]), 0, "foot") == Fraction(fibonacci[-1], fibonacci[-2])
