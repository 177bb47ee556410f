"""Closed forms as arrays of terms: their values, their signs, and what the parts share."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Symbol
from loopwright.solve.by_elimination import currents_by_elimination
from loopwright.solve.expansion import Expansion, expansion
from tests.sample_circuits import SYMBOLIC, circuit_of

BRIDGE = """
[branches]
I = "d, +E, r, a"
I1 = "a, R1, b"
I2 = "a, R2, c"
I3 = "b, R3, d"
I4 = "c, R4, d"
I5 = "b, R5, c"
"""
SHARED_BATTERY = """
[branches]
I1 = "rail, +E, bus"
I2 = "bus, R2, rail"
I3 = "bus, R3, rail"
"""


def products(x: Expansion, branch: str) -> dict[str, int]:
    """The terms of a current with a single share: product in words -> sign."""
    (share,) = x.current(branch).shares
    names = x.circuit.currents
    found = {}
    for sign, mask in share.above:
        found[" ".join(n for i, n in enumerate(names) if mask >> i & 1)] = sign
    return found


def complete(n: int) -> Circuit:
    """Every two of n points joined by a resistor, a battery beside the first resistor."""
    branches, elements = [], {"E": battery("E")}
    for i, (a, b) in enumerate(combinations(range(n), 2), start=1):
        along = (Pass("E", 1), Pass(f"R{i}")) if i == 1 else (Pass(f"R{i}"),)
        branches.append(Branch(f"I{i}", str(a), str(b), along))
        elements[f"R{i}"] = resistor(f"R{i}")
    return Circuit(tuple(branches), elements)


def test_the_bridge_wire_carries_the_difference_of_crosswise_products() -> None:
    """Balance of the Wheatstone bridge, R2 R3 = R1 R4 with this lettering: any textbook."""
    assert products(expansion(circuit_of(BRIDGE)), "I5") == {"I2 I3": 1, "I1 I4": -1}


def test_the_bridge_has_sixteen_terms_in_its_determinant() -> None:
    """Four points all joined: Cayley's 4^2."""
    assert expansion(circuit_of(BRIDGE)).determinant.shape == (1, 16)


@pytest.mark.parametrize("name", SYMBOLIC)
def test_terms_written_out_are_the_currents_by_elimination(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    x = expansion(circuit)
    assert {n: x.ratio(n) for n in circuit.currents} == currents_by_elimination(circuit).by_branch


def test_loops_that_share_an_ideal_battery_alone_are_parts_of_their_own() -> None:
    x = expansion(circuit_of(SHARED_BATTERY))
    assert [len(share.above) for share in x.current("I1").shares] == [1, 1]
    assert x.determinant.tolist() == [[0b110]]


def test_a_current_fixed_by_a_source_has_no_terms() -> None:
    branches = (Branch("I1", "a", "b", (Pass("J", 1),)), Branch("I2", "b", "a", (Pass("R"),)))
    source = Element("J", Kind.CURRENT_SOURCE, Symbol("J"))
    x = expansion(Circuit(branches, {"J": source, "R": resistor("R")}))
    assert x.current("I1").fixed == {"I1": 1}
    assert x.ratio("I2") == x.circuit.field.symbol("J")


@pytest.mark.parametrize("n", [4, 5, 6])
def test_a_numerator_has_no_term_twice_and_none_with_both_signs(n: int) -> None:
    x = expansion(complete(n))
    for name in x.circuit.currents:
        (share,) = x.current(name).shares
        both = np.concatenate((share.above.plus, share.above.minus), axis=1)
        assert np.unique(both, axis=1).shape == both.shape


@pytest.mark.parametrize("n", [4, 5, 6])
def test_the_sources_own_current_has_a_term_for_every_tree_without_its_branch(n: int) -> None:
    """Of n^(n-2) trees the share 2/n holds a given branch, by symmetry."""
    (share,) = expansion(complete(n)).current("I1").shares
    assert len(share.above) == n ** (n - 2) - 2 * n ** (n - 3)


@pytest.mark.slow
def test_all_currents_of_eight_points_all_joined_are_written_down() -> None:
    x = expansion(complete(8))
    assert x.determinant.shape == (1, 262_144)
    assert len(x.current("I1").shares[0].above) == 196_608


def test_more_trees_than_can_be_written_are_counted_and_refused() -> None:
    with pytest.raises(FaultyMaterial) as caught:
        expansion(complete(12))
    (finding,) = caught.value.findings
    assert finding.code == "solve/too-many-trees"
    assert f"{12**10:,}" in finding.message


def test_a_chain_of_ninety_branches_is_one_loop() -> None:
    branches, elements = [], {"E": battery("E")}
    for i in range(90):
        along = (Pass(f"R{i}"), Pass("E", 1)) if i == 0 else (Pass(f"R{i}"),)
        branches.append(Branch(f"I{i}", str(i), str((i + 1) % 90), along))
        elements[f"R{i}"] = resistor(f"R{i}")
    x = expansion(Circuit(tuple(branches), elements))
    assert x.determinant.shape == (2, 90)
    assert list(x.current("I89").shares[0].above) == [(1, 0)]
