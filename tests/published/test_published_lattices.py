"""The infinite square lattice: its published resistances lie between those of finite pieces.

Cutting every edge that leaves a piece can only raise a resistance, joining the whole rim into one
point can only lower it (Rayleigh; Doyle and Snell, Random Walks and Electric Networks, 1984, ch. 4,
from memory), so the two exact values of a piece enclose the value of the infinite lattice. Its
published values to twelve figures wait for sparse numbers of large networks.
"""

from __future__ import annotations

import math
from fractions import Fraction
from functools import cache

import pytest

from loopwright.solve.exact import Solution
from tests.published.fact_circuits import facts_of
from tests.published.networks import network
from tests.published.printed import value_of

LATTICES = {name: fact for name, fact in facts_of("published.json").items() if fact["kind"] == "lattice"}
Point = tuple[int, int]


def printed_value(name: str) -> Fraction:
    """The published figure, with π to the precision of a double."""
    return value_of(LATTICES[name]["published"]["R"].split()[0], {"pi": Fraction(math.pi)})


@cache
def piece(radius: int, *, joined: bool) -> Solution:
    """The square of one-ohm edges about the origin, its rim cut off or joined into one point."""
    side = range(-radius, radius + 1)

    def named(at: Point) -> Point | str:
        return "rim" if joined and max(map(abs, at)) == radius else at

    steps = [((x, y), to) for x in side for y in side for to in ((x + 1, y), (x, y + 1)) if max(to) <= radius]
    edges = [(named(a), named(b)) for a, b in steps]
    return network([(a, b) for a, b in edges if a != b])


def assert_enclosed(name: str, radius: int) -> None:
    far = str(tuple(LATTICES[name]["defines"]["R"]["vector"]))
    lower = piece(radius, joined=True).resistance(str((0, 0)), far).constant()
    upper = piece(radius, joined=False).resistance(str((0, 0)), far).constant()
    assert lower is not None
    assert upper is not None
    assert lower < printed_value(name) < upper


@pytest.mark.parametrize("name", LATTICES)
def test_published_lattice_value_lies_between_a_cut_and_a_joined_piece(name: str) -> None:
    assert_enclosed(name, 3)


@pytest.mark.slow
@pytest.mark.parametrize("name", LATTICES)
def test_published_lattice_value_lies_between_larger_pieces(name: str) -> None:
    assert_enclosed(name, 4)


def test_printed_lattice_values_are_read_as_meant() -> None:
    """Table of the values in decimals: Atkinson and van Steenwijk, Am. J. Phys. 67, 486 (1999)."""
    decimals = [round(float(printed_value(name)), 4) for name in LATTICES]
    assert decimals == [0.5, 0.6366, 0.7268, 0.7732, 0.8488]
