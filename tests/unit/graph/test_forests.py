"""Spanning trees as bit masks: how many there are, and that each is one.

Counts: A. Cayley's n^(n-2) for complete graphs (1889) and m^(n-1) n^(m-1) for complete bipartite ones
(textbook; e.g. Biggs, Algebraic Graph Theory, from memory); n by n grids: OEIS A007341 (1, 4, 192,
100352, ...).
"""

from __future__ import annotations

import networkx as nx
import numpy as np
import pytest

from loopwright.graph.forests import Forests, TooManyWays, TreeBlock
from loopwright.solve.term_arrays import Masks, MaskTerms

GRIDS = [1, 4, 192, 100_352]


def block_of(graph: nx.Graph | nx.MultiGraph) -> TreeBlock:
    number = {point: i for i, point in enumerate(graph)}
    return TreeBlock(len(number), tuple((number[a], number[b]) for a, b, *_ in graph.edges))


def forests(block: TreeBlock) -> Forests[Masks]:
    return Forests(block, MaskTerms(range(len(block.ends)), len(block.ends)))


def left_out(block: TreeBlock) -> list[set[int]]:
    """For each spanning tree the branches not in it."""
    masks = forests(block).determinant()
    whole = [sum(int(word) << 64 * i for i, word in enumerate(column)) for column in masks.T]
    return [{i for i in range(len(block.ends)) if mask >> i & 1} for mask in whole]


def different(masks: Masks) -> int:
    """How many different masks there are, of networks of up to 64 branches."""
    return len(np.unique(masks[0]))


@pytest.mark.parametrize("n", range(2, 8))
def test_complete_graph_has_cayleys_count(n: int) -> None:
    masks = forests(block_of(nx.complete_graph(n))).determinant()
    assert different(masks) == masks.shape[1] == n ** (n - 2)


@pytest.mark.slow
def test_eight_points_all_joined_have_262144_trees() -> None:
    masks = forests(block_of(nx.complete_graph(8))).determinant()
    assert different(masks) == masks.shape[1] == 8**6


@pytest.mark.parametrize(("m", "n"), [(m, n) for n in range(1, 6) for m in range(1, n + 1)])
def test_complete_bipartite_graph_has_the_known_count(m: int, n: int) -> None:
    masks = forests(block_of(nx.complete_bipartite_graph(m, n))).determinant()
    assert different(masks) == masks.shape[1] == m ** (n - 1) * n ** (m - 1)


@pytest.mark.parametrize(("n", "count"), list(enumerate(GRIDS, start=1)))
def test_square_grid_has_the_listed_count(n: int, count: int) -> None:
    masks = forests(block_of(nx.grid_2d_graph(n, n))).determinant()
    assert different(masks) == masks.shape[1] == count


GRAPHS = {
    "cube": nx.cubical_graph(),
    "wheel": nx.wheel_graph(6),
    "petersen": nx.petersen_graph(),
    "side by side": nx.MultiGraph([(0, 1), (0, 1), (1, 2), (1, 2), (1, 2), (2, 0)]),
    "two triangles at a point": nx.MultiGraph([(0, 1), (1, 2), (2, 0), (0, 3), (3, 4), (4, 0)]),
}


@pytest.mark.parametrize("name", GRAPHS)
def test_what_is_not_left_out_is_a_tree_that_joins_all(name: str) -> None:
    block = block_of(GRAPHS[name])
    for out in left_out(block):
        kept = nx.MultiGraph([end for i, end in enumerate(block.ends) if i not in out])
        assert nx.is_tree(kept)
        assert len(kept) == block.points


@pytest.mark.parametrize("name", GRAPHS)
def test_as_many_trees_as_the_matrix_tree_theorem_says(name: str) -> None:
    graph = GRAPHS[name]
    laplacian = nx.laplacian_matrix(graph).toarray().astype(float)
    assert len(left_out(block_of(graph))) == round(np.linalg.det(laplacian[1:, 1:]))


def test_branches_beyond_the_sixty_fourth_take_a_second_word() -> None:
    ring = block_of(nx.cycle_graph(150))
    assert left_out(ring) == [{i} for i in map(min, left_out(ring))]
    assert {min(out) for out in left_out(ring)} == set(range(150))


def test_a_branch_closed_on_itself_is_in_no_tree() -> None:
    assert left_out(TreeBlock(1, ((0, 0),))) == [{0}]


def test_points_that_nothing_joins_have_no_tree() -> None:
    assert left_out(TreeBlock(3, ((0, 1),))) == []


def test_a_lone_point_has_one_tree_without_branches() -> None:
    assert left_out(TreeBlock(1, ())) == [set()]


def test_more_ways_than_the_budget_are_refused() -> None:
    block = block_of(nx.complete_graph(6))
    with pytest.raises(TooManyWays):
        Forests(block, MaskTerms(range(15), 15), budget=50).determinant()
