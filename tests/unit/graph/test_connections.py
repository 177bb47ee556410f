"""Parts, shortest ways, loops and bridges, against NetworkX on random graphs."""

import random

import networkx as nx
import pytest

from loopwright.graph.connections import bridges, parts, short_loops, shortest_way, spanning_tree
from loopwright.graph.lines import Link
from loopwright.graph.loops import first_independent, simple_loops


def some_lines(seed: int) -> tuple[list[str], list[Link]]:
    chance = random.Random(seed)
    points = [f"p{number}" for number in range(chance.randint(1, 8))]
    count = chance.randint(0, 14)
    return points, [Link(f"l{n}", chance.choice(points), chance.choice(points)) for n in range(count)]


def as_graph(points: list[str], lines: list[Link]) -> "nx.MultiGraph[str]":
    graph: nx.MultiGraph[str] = nx.MultiGraph()
    graph.add_nodes_from(points)
    graph.add_edges_from((a, b, name) for name, a, b in lines)
    return graph


@pytest.mark.parametrize("seed", range(60))
def test_parts_are_the_connected_components(seed: int) -> None:
    points, lines = some_lines(seed)
    expected = {frozenset(part) for part in nx.connected_components(as_graph(points, lines))}
    assert {frozenset(group) for group in parts(points, lines).groups()} == expected


@pytest.mark.parametrize("seed", range(60))
def test_bridges_are_the_lines_whose_loss_parts_the_graph(seed: int) -> None:
    points, lines = some_lines(seed)
    whole = nx.number_connected_components(as_graph(points, lines))
    expected = tuple(
        line[0]
        for line in lines
        if nx.number_connected_components(as_graph(points, [x for x in lines if x != line])) > whole
    )
    assert bridges(lines) == expected


@pytest.mark.parametrize("seed", range(60))
def test_short_loops_close_and_are_as_many_as_independent_loops(seed: int) -> None:
    points, lines = some_lines(seed)
    ends = {name: (a, b) for name, a, b in lines}
    loops = short_loops(lines)
    assert len(loops) == len(lines) - len(points) + len(parts(points, lines).groups())
    for loop in loops:
        walked = [ends[name] if sense > 0 else ends[name][::-1] for name, sense in loop]
        assert all(one[1] == two[0] for one, two in zip(walked, [*walked[1:], walked[0]], strict=True))


@pytest.mark.parametrize("seed", range(30))
def test_shortest_way_is_as_short_as_it_can_be(seed: int) -> None:
    points, lines = some_lines(seed)
    way = shortest_way(lines, points[0], points[-1])
    graph = as_graph(points, lines)
    if way is None:
        assert not nx.has_path(graph, points[0], points[-1])
    else:
        assert len(way) == nx.shortest_path_length(graph, points[0], points[-1])


@pytest.mark.parametrize("seed", range(60))
def test_a_spanning_tree_joins_what_the_lines_join_without_a_loop(seed: int) -> None:
    points, lines = some_lines(seed)
    tree, chords = spanning_tree(lines)
    assert sorted((*tree, *chords)) == sorted(lines)
    assert nx.is_forest(as_graph(points, list(tree)))
    assert parts(points, tree) == parts(points, lines)


@pytest.mark.parametrize("seed", range(60))
def test_simple_loops_are_the_cycles_of_networkx(seed: int) -> None:
    _, lines = some_lines(seed)
    halved = nx.Graph()  # two points more on each line, so that no two lines run side by side
    for line in lines:
        nx.add_path(halved, (line.start, f"{line.name} a", f"{line.name} b", line.end))
    expected = sorted(len(cycle) // 3 for cycle in nx.simple_cycles(halved))
    assert sorted(map(len, simple_loops(lines))) == expected


@pytest.mark.parametrize("seed", range(60))
def test_the_first_independent_loops_are_as_many_as_the_chords(seed: int) -> None:
    _, lines = some_lines(seed)
    _, chords = spanning_tree(lines)
    assert len(first_independent(simple_loops(lines), len(lines))) == len(chords)
