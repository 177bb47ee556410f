"""Arrangements of small blocks: every branch in two faces, and none where none can be."""

import random
from collections import Counter

import networkx as nx
import pytest

from loopwright.graph.blocks import blocks
from loopwright.graph.flat_covers import flat_covers
from loopwright.graph.lines import Link


def links_of(edges: list[tuple[str, str]]) -> list[Link]:
    return [Link(f"I{k}", a, b) for k, (a, b) in enumerate(edges, 1)]


@pytest.mark.parametrize("seed", range(40))
def test_small_blocks_have_arrangements_where_a_graph_library_says_so(seed: int) -> None:
    chance = random.Random(seed)
    points = "abcdefg"[: chance.randint(5, 7)]
    edges = [(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    edges += [(a, b) for a, b in (chance.sample(points, 2) for _ in range(chance.randint(3, 7)))]
    for block in (block for block in blocks(links_of(edges)) if len(block) > 1):
        flat = nx.check_planarity(nx.MultiGraph((link.start, link.end) for link in block))[0]
        covers = list(flat_covers(block))
        assert bool(covers) == flat
        for cover in covers:
            held = Counter(name for loop in (*cover.meshes, cover.rim) for name, _ in loop)
            assert held == {link.name: 2 for link in block}


def test_the_least_graphs_that_do_not_lie_flat_have_no_arrangement() -> None:
    """Source: K. Kuratowski, Fundamenta Mathematicae 15, 1930 (from memory)."""
    assert not list(flat_covers(links_of([(a, b) for a in "abcde" for b in "abcde" if a < b])))
    assert not list(flat_covers(links_of([(a, b) for a in "abc" for b in "xyz"])))
