"""Large blocks are laid flat as a person would: what lies between two points is turned where that helps."""

import random
from collections import Counter

import networkx as nx
import pytest

from loopwright.circuit.embedding import embedding
from loopwright.graph.blocks import blocks
from loopwright.graph.flat_covers import flat_covers
from loopwright.graph.lines import Link
from tests.sample_circuits import circuit_of
from tests.wide_circuits import unlike_ladder


@pytest.mark.parametrize("sections", [3, 5, 7, 8, 9, 10, 12, 14])
def test_a_ladder_lies_rung_beside_rung_with_its_source_at_the_end(sections: int) -> None:
    found = embedding(circuit_of(unlike_ladder(sections)))
    assert found is not None
    meshes = {frozenset(name for name, _ in mesh) for mesh in found.meshes}
    wanted = {frozenset({"I1", "I2"})}
    wanted |= {frozenset({f"I{2 * i}", f"I{2 * i + 1}", f"I{2 * i + 2}"}) for i in range(1, sections - 1)}
    last = {f"I{2 * sections - 2}", f"I{2 * sections - 1}"}  # the last rung and the rail to it are one chain
    assert meshes == wanted | {frozenset({*last, f"I{2 * sections}"})}


@pytest.mark.parametrize("seed", range(30))
def test_turned_arrangements_of_large_blocks_are_arrangements(seed: int) -> None:
    """Flat graphs by networkx, with chains side by side thrown in; the cost wished is any number at all."""
    chance = random.Random(seed)
    graph = nx.random_labeled_tree(9, seed=seed)
    edges = list(graph.edges)
    for _ in range(400):
        a, b = chance.sample(range(9), 2)
        grown = nx.MultiGraph([*edges, (a, b)])
        if len(edges) < 17 and nx.check_planarity(nx.Graph(grown))[0]:
            edges.append((a, b))
    branches = [Link(f"I{k}", str(a), str(b)) for k, (a, b) in enumerate(edges, 1)]
    weight = {link.name: chance.randint(1, 100) for link in branches}

    def cost(inner: object, rim: frozenset[str]) -> tuple[int, ...]:
        return (-sum(weight[name] for name in rim),)

    for block in (block for block in blocks(branches) if len(block) > 12):
        best = next(flat_covers(block, cost))
        held = Counter(name for loop in (*best.meshes, best.rim) for name, _ in loop)
        assert held == {link.name: 2 for link in block}
        points = {p for link in block for p in (link.start, link.end)}
        assert len(best.meshes) + 1 == len(block) - len(points) + 2  # Euler
        assert set(best.rotation(block)) == points
