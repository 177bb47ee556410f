"""Infinite lattices approached with sparse numbers: the published resistances, and how the error dies away.

Square lattice: J. Cserti, Am. J. Phys. 68, 896 (2000); D. Atkinson and F. J. van Steenwijk, Am. J. Phys.
67, 486 (1999); see sources.md. Cubic lattice: Cserti 2000 and M. L. Glasser and J. Boersma, J. Phys. A 33,
5017 (2000): six figures from memory, enclosed here by two finite pieces.

A piece cut out of the lattice shows too much and the same piece with its rim joined too little (Rayleigh;
Doyle and Snell, Random Walks and Electric Networks, 1984, ch. 4, from memory), so half their difference is
a stated error. What the rim changes at the middle dies away as the second power of the distance to it: the
field of two neighbouring points falls off like that of a dipole, and comes back as such. The mean of the two
does better, by one power (measured here, no source).
"""

from __future__ import annotations

from functools import cache
from itertools import pairwise

import networkx as nx
import numpy as np
import pytest

from loopwright.solve.large_flow import resistances
from loopwright.solve.large_network import Floats, LargeNetwork, lattice
from tests.published.fact_circuits import facts_of
from tests.published.test_published_lattices import printed_value

SQUARE = {
    tuple(fact["defines"]["R"]["vector"]): float(printed_value(name))
    for name, fact in facts_of("published.json").items()
    if fact["kind"] == "lattice"
}
CUBIC = {(1, 0, 0): 0.333333, (1, 1, 0): 0.395079, (1, 1, 1): 0.418305, (2, 0, 0): 0.419683}
WANTED = np.array(list(SQUARE.values()))


def piece(radius: int, sides: int, *, joined: bool) -> LargeNetwork:
    """All points within `radius` of the middle, one-ohm branches; with `joined`, wires along the rim."""
    whole = lattice(*[2 * radius + 1] * sides)
    places = np.array(np.unravel_index(np.arange(whole.points), [2 * radius + 1] * sides)) - radius
    rim = np.abs(places).max(axis=0) == radius
    wire = joined & rim[whole.starts] & rim[whole.ends]
    return LargeNetwork(whole.points, whole.starts, whole.ends, np.where(wire, 0.0, 1.0))


def seen(radius: int, vectors: tuple[tuple[int, ...], ...], *, joined: bool) -> Floats:
    """The resistances between the middle of a piece and the points at these vectors from it."""
    sides = len(vectors[0])

    def number(vector: tuple[int, ...]) -> int:
        return int(np.ravel_multi_index([radius + step for step in vector], [2 * radius + 1] * sides))

    pairs = [(number((0,) * sides), number(vector)) for vector in vectors]
    return resistances(piece(radius, sides, joined=joined), pairs)


@cache
def square(radius: int) -> tuple[Floats, Floats]:
    """Joined and cut."""
    return seen(radius, tuple(SQUARE), joined=True), seen(radius, tuple(SQUARE), joined=False)


def test_square_lattice_comes_out_to_six_figures_with_the_error_stated() -> None:
    low, high = square(64)
    assert (low < WANTED).all()
    assert (high > WANTED).all()
    assert np.abs((low + high) / 2 - WANTED).max() < 2e-6
    assert ((high - low) / 2).max() < 3e-4


@pytest.mark.slow
def test_square_lattice_of_half_a_million_branches_comes_out_to_eight_figures() -> None:
    low, high = square(256)
    assert (low < WANTED).all()
    assert (high > WANTED).all()
    assert np.abs((low + high) / 2 - WANTED).max() < 4e-8


@pytest.mark.parametrize(
    ("mix", "order"),
    [((1.0, 0.0), 2), ((0.0, 1.0), 2), ((0.5, 0.5), 3)],
    ids=["rim joined", "rim cut", "mean of both"],
)
def test_error_dies_away_with_the_size_in_a_fitted_power(mix: tuple[float, float], order: int) -> None:
    radii = [16, 32, 64]
    errors = [np.abs(mix[0] * square(r)[0] + mix[1] * square(r)[1] - WANTED) for r in radii]
    slopes = -np.polyfit(np.log(radii), np.log(errors), 1)[0]
    assert slopes == pytest.approx(np.full(len(WANTED), order), abs=0.2)


def test_every_larger_piece_encloses_more_closely() -> None:
    widths = [square(r)[1] - square(r)[0] for r in (8, 16, 32, 64)]
    assert all((nearer < further / 3.5).all() for further, nearer in pairwise(widths))


def test_cubic_lattice_lies_between_its_pieces() -> None:
    """Neighbours see 1/3 Ω by symmetry: six branches share the current of each of two points."""
    low, high = (seen(16, tuple(CUBIC), joined=joined) for joined in (True, False))
    wanted = np.array(list(CUBIC.values()))
    assert (low < wanted + 1e-6).all()
    assert (wanted - 1e-6 < high).all()
    assert (high - low).max() < 2e-4


@pytest.mark.parametrize(("sides", "wanted"), [(1, 1.0), (2, 0.5), (3, 1 / 3), (4, 0.25)])
def test_neighbours_see_one_over_the_number_of_directions(sides: int, wanted: float) -> None:
    """R = 1/d in the lattice of d directions: Foster's sum, 1949 (from memory), shared out equally."""
    step = (1, *[0] * (sides - 1))
    radius = {1: 50, 2: 20, 3: 10, 4: 6}[sides]
    low, high = (seen(radius, (step,), joined=joined)[0] for joined in (True, False))
    assert low <= wanted + 1e-12
    assert wanted - 1e-12 <= high
    assert high - low < 1e-2 * wanted or sides == 1


@pytest.mark.parametrize("n", [100, 1000])
def test_large_complete_graph_has_two_nths(n: int) -> None:
    """Textbook result, by symmetry; half a million branches at n = 1000."""
    starts, ends = np.triu_indices(n, 1)
    whole = LargeNetwork(n, starts.astype(np.int32), ends.astype(np.int32), np.ones(len(starts)))
    assert resistances(whole, [(0, n - 1), (3, 4)]) == pytest.approx([2 / n] * 2, rel=1e-10)


def test_ladder_of_many_sections_shows_the_golden_ratio() -> None:
    """Textbook result: one ohm along and one across without end show (1 + √5)/2."""
    sections = 100_000
    along = np.arange(sections)
    foot = np.full(sections, sections + 1)
    ladder = LargeNetwork(
        sections + 2,
        np.concatenate([along, along + 1]).astype(np.int32),
        np.concatenate([along + 1, foot]).astype(np.int32),
        np.ones(2 * sections),
    )
    assert resistances(ladder, [(0, sections + 1)]) == pytest.approx([(1 + 5**0.5) / 2], rel=1e-12)


def test_hypercube_of_a_million_branches_sums_to_its_points() -> None:
    """R. M. Foster's sum, 1949 (from memory): edges all alike share points - 1 among them. 16 sides."""
    sides = 12
    cube = lattice(*[2] * sides)
    assert resistances(cube, [(0, 1)]) == pytest.approx([(2**sides - 1) / (sides * 2 ** (sides - 1))])


@pytest.mark.parametrize("maker", [nx.dodecahedral_graph, nx.icosahedral_graph, nx.petersen_graph])
def test_opposite_points_of_regular_graphs_agree_with_networkx(maker: object) -> None:
    graph = maker()  # type: ignore[operator]
    starts, ends = np.array(graph.edges).T
    far = max(nx.single_source_shortest_path_length(graph, 0).items(), key=lambda item: item[1])[0]
    found = resistances(LargeNetwork(len(graph), starts, ends, np.ones(len(starts))), [(0, far)])
    assert found == pytest.approx([nx.resistance_distance(graph, 0, far)])
