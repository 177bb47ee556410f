"""Published counts: spanning trees of graphs, and values of equal resistors in series and parallel.

The number of spanning trees is our determinant with one ohm on every edge, and, where the expanded
form is short, the number of its terms with a symbol on every edge (Kirchhoff 1847). Sources: the
facts name them (OEIS A007341, A212800, A048211, A153588; Cayley's formula).
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tests.published.fact_circuits import facts_of
from tests.published.networks import edges_of, network, recipes
from tests.published.printed import value_of

COUNTS = {name: fact for name, fact in facts_of("published.json").items() if fact["kind"] == "count"}
GRAPHS = [name for name in COUNTS if COUNTS[name]["branches"]]
WRITTEN_OUT = [
    *("count-grid-2x2", "count-grid-3x3", "count-grid-4x4", "count-torus-3x3"),
    *("count-K4", "count-K5", "count-K6", "count-K7", "count-K2-3", "count-K3-3", "count-K3-4"),
]
VALUES = [name for name in COUNTS if name not in GRAPHS]


def printed_count(name: str) -> Fraction:
    (figure,) = COUNTS[name]["published"].values()
    return value_of(figure.split()[0])


def edges(name: str) -> list[tuple[str, str]]:
    return [(edge["from"], edge["to"]) for edge in COUNTS[name]["branches"]]


def values_of(count: int) -> set[Fraction | None]:
    found = (network(edges_of(recipe)).resistance("a", "b") for recipe in recipes(count))
    return {value.constant() for value in found}


@pytest.mark.parametrize("name", GRAPHS)
def test_the_determinant_counts_spanning_trees(name: str) -> None:
    assert network(edges(name)).determinant == printed_count(name)


@pytest.mark.parametrize("name", WRITTEN_OUT)
def test_the_determinant_has_a_term_for_every_spanning_tree(name: str) -> None:
    determinant = network(edges(name), value=None).determinant
    assert [coefficient for _, coefficient in determinant.terms()] == [1] * int(printed_count(name))


@pytest.mark.slow
def test_a_quarter_of_a_million_terms_are_as_many_as_spanning_trees() -> None:
    determinant = network(edges("count-K8"), value=None).determinant
    assert [coefficient for _, coefficient in determinant.terms()] == [1] * int(printed_count("count-K8"))


@pytest.mark.parametrize("name", VALUES)
def test_equal_resistors_make_so_many_values(name: str) -> None:
    asked = COUNTS[name]["defines"]["values"]
    smallest = asked["n"] if asked["q"] == "sp_values" else 1
    found = set[Fraction | None]().union(*(values_of(n) for n in range(smallest, asked["n"] + 1)))
    assert len(found) == printed_count(name)


def test_all_counts_are_checked() -> None:
    assert (len(GRAPHS), len(VALUES)) == (15, 9)


@pytest.mark.parametrize(("count", "networks"), list(enumerate([1, 2, 4, 10, 24, 66], start=1)))
def test_series_parallel_networks_are_all_tried(count: int, networks: int) -> None:
    """MacMahon 1892, OEIS A000084: from memory."""
    assert len(recipes(count)) == networks
