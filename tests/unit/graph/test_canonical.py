"""Two graphs have one form exactly where one can be renumbered into the other: judged by NetworkX."""

from __future__ import annotations

import random
from itertools import combinations, product

import networkx as nx
import pytest

from loopwright.graph.canonical import Arc, TooSymmetric, canonical_form

Graph = tuple[list[str], list[Arc]]


def edges_of(graph: nx.Graph, colour: str = "point") -> Graph:
    number = {node: at for at, node in enumerate(graph.nodes)}
    both = [(number[a], number[b], "joined") for a, b in graph.edges]
    return [colour] * len(number), both + [(b, a, label) for a, b, label in both]


def renumbered(graph: Graph, seed: int) -> Graph:
    colours, arcs = graph
    to = list(range(len(colours)))
    random.Random(seed).shuffle(to)
    moved = [""] * len(colours)
    for at, colour in enumerate(colours):
        moved[to[at]] = colour
    arcs = [(to[a], to[b], label) for a, b, label in arcs]
    random.Random(seed + 1).shuffle(arcs)
    return moved, arcs


def same_by_networkx(one: Graph, other: Graph) -> bool:
    def made(graph: Graph) -> nx.MultiDiGraph:
        built = nx.MultiDiGraph()
        for at, colour in enumerate(graph[0]):
            built.add_node(at, colour=colour)
        for start, end, label in graph[1]:
            built.add_edge(start, end, label=label)
        return built

    labels = nx.algorithms.isomorphism.categorical_multiedge_match("label", "")
    colours = nx.algorithms.isomorphism.categorical_node_match("colour", "")
    found: bool = nx.is_isomorphic(made(one), made(other), node_match=colours, edge_match=labels)
    return found


def drawn(seed: int) -> Graph:
    """A small graph: few colours and labels, so that chance makes many alike."""
    chance = random.Random(seed)
    size = chance.randint(2, 3)
    arcs = [
        (chance.randrange(size), chance.randrange(size), chance.choice("ab"))
        for _ in range(chance.randint(1, 2))
    ]
    return [chance.choice("xy") for _ in range(size)], arcs


def test_forms_are_equal_exactly_where_graphs_are_isomorphic() -> None:
    graphs = [drawn(seed) for seed in range(70)]
    forms = [canonical_form(*graph) for graph in graphs]
    pairs = [(i, j) for i, j in combinations(range(70), 2) if len(graphs[i][0]) == len(graphs[j][0])]
    said = [forms[i] == forms[j] for i, j in pairs]
    assert said == [same_by_networkx(graphs[i], graphs[j]) for i, j in pairs]
    assert 10 < sum(said) < len(said) - 10


SYMMETRIC = {
    "cube": nx.hypercube_graph(3),
    "Petersen": nx.petersen_graph(),
    "complete": nx.complete_graph(9),
    "two rings": nx.disjoint_union(nx.cycle_graph(5), nx.cycle_graph(7)),
    "dodecahedron": nx.dodecahedral_graph(),
}


@pytest.mark.parametrize("name", SYMMETRIC)
def test_a_symmetric_graph_has_one_form_however_it_is_numbered(name: str) -> None:
    graph = edges_of(SYMMETRIC[name])
    assert (
        len({canonical_form(*renumbered(graph, seed)) for seed in range(6)} | {canonical_form(*graph)}) == 1
    )


def test_graphs_whose_points_all_look_alike_are_told_apart() -> None:
    """S. S. Shrikhande, "The uniqueness of the L2 association scheme", Ann. Math. Statist. 30, 781, 1959: two
    graphs on 16 points with the same parameters that are not the same (from memory)."""
    places = list(product(range(4), range(4)))
    shrikhande, rook = nx.Graph(), nx.Graph()
    for (a, b), (c, d) in combinations(places, 2):
        step = ((c - a) % 4, (d - b) % 4)
        if step in {(0, 1), (0, 3), (1, 0), (3, 0), (1, 1), (3, 3)}:
            shrikhande.add_edge((a, b), (c, d))
        if a == c or b == d:
            rook.add_edge((a, b), (c, d))
    assert not nx.is_isomorphic(shrikhande, rook)
    assert canonical_form(*edges_of(shrikhande)) != canonical_form(*edges_of(rook))


def test_too_much_work_is_refused() -> None:
    with pytest.raises(TooSymmetric):
        canonical_form(*edges_of(nx.complete_graph(9)), most=500)
