"""Blocks of any size laid flat face by face, held against a graph library's test of planarity."""

import random
from collections import Counter

import networkx as nx
import pytest

from loopwright.circuit.circuit import Circuit, resistor
from loopwright.circuit.elements import Branch, Pass
from loopwright.circuit.embedding import meshes
from loopwright.graph.blocks import blocks
from loopwright.graph.grown_faces import grown_faces


def branches_of(edges: list[tuple[str, str]]) -> tuple[Branch, ...]:
    return tuple(Branch(f"I{k}", a, b, (Pass(f"R{k}"),)) for k, (a, b) in enumerate(edges, 1))


def lattice(wide: int, high: int) -> list[tuple[str, str]]:
    """The edges of a lattice of points, its rows and then its columns."""
    rows = [(f"{x},{y}", f"{x + 1},{y}") for y in range(high) for x in range(wide - 1)]
    return rows + [(f"{x},{y}", f"{x},{y + 1}") for y in range(high - 1) for x in range(wide)]


@pytest.mark.parametrize(("wide", "high"), [(4, 5), (6, 6), (3, 15)])
def test_a_lattice_has_a_mesh_for_each_square(wide: int, high: int) -> None:
    """Euler: branches − points + 1 meshes, here the squares of four branches."""
    branches = branches_of(lattice(wide, high))
    circuit = Circuit(branches, {f"R{k}": resistor(f"R{k}") for k in range(1, len(branches) + 1)})
    found = meshes(circuit)
    assert [len(mesh) for mesh in found] == [4] * ((wide - 1) * (high - 1))


def test_every_branch_is_passed_once_either_way() -> None:
    branches = branches_of(lattice(5, 6))
    passed = Counter(dart for face in grown_faces(branches) or () for dart in face)
    assert passed == Counter((b.name, sense) for b in branches for sense in (1, -1))


@pytest.mark.parametrize("seed", range(60))
def test_blocks_lie_flat_where_a_graph_library_says_so(seed: int) -> None:
    chance = random.Random(seed)
    count = chance.randint(5, 12)
    points = [f"p{i}" for i in range(count)]
    edges = [(a, b) for a, b in zip(points, points[1:] + points[:1], strict=True)]
    edges += [(a, b) for a, b in (chance.sample(points, 2) for _ in range(chance.randint(2, count)))]
    for block in blocks(branches_of(edges)):
        flat = nx.check_planarity(nx.MultiGraph((b.start, b.end) for b in block))[0]
        faces = grown_faces(block)
        assert (faces is not None) == flat
        if faces is not None:
            held = {p for b in block for p in (b.start, b.end)}
            assert len(faces) == len(block) - len(held) + 2


def test_five_points_all_joined_and_three_houses_with_three_wells_do_not_lie_flat() -> None:
    """Source: K. Kuratowski, Fundamenta Mathematicae 15, 1930 (from memory)."""
    assert grown_faces(branches_of([(a, b) for a in "abcde" for b in "abcde" if a < b])) is None
    assert grown_faces(branches_of([(a, b) for a in "abc" for b in "xyz"])) is None
