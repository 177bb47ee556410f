"""Numbers of networks given as arrays: wires, open branches, parts, sources, and what is refused."""

from __future__ import annotations

import numpy as np
import pytest

from loopwright.errors import FaultyMaterial
from loopwright.solve.large_flow import flow, resistances
from loopwright.solve.large_network import LargeNetwork, lattice


def network(
    branches: list[tuple[int, int, float]],
    emfs: list[float] | None = None,
    injected: list[float] | None = None,
) -> LargeNetwork:
    """Branches as (start, end, ohms); as many points as they touch."""
    starts, ends, ohms = (np.array(part) for part in zip(*branches, strict=True))
    points = int(max(starts.max(), ends.max())) + 1
    return LargeNetwork(points, starts, ends, ohms, np.array(emfs or []), np.array(injected or []))


def test_current_divides_as_the_inverse_of_the_resistances() -> None:
    found = flow(network([(0, 1, 2), (0, 1, 3)], injected=[5, -5]))
    assert found.currents == pytest.approx([3, 2])
    assert found.potentials == pytest.approx([0, -6])


def test_a_battery_drives_its_current_round_the_loop() -> None:
    found = flow(network([(0, 1, 1), (1, 0, 2)], emfs=[6, 0]))
    assert found.currents == pytest.approx([2, 2])
    assert found.potentials == pytest.approx([0, 4])


def test_a_plain_wire_joins_its_points_and_carries_what_the_junction_rule_asks() -> None:
    found = flow(network([(0, 1, 1), (1, 2, 0), (2, 0, 2)], emfs=[6, 0, 0]))
    assert found.potentials == pytest.approx([0, 4, 4])
    assert found.currents == pytest.approx([2, 2, 2])


def test_a_battery_without_resistance_keeps_its_points_apart_by_its_emf() -> None:
    found = flow(network([(0, 1, 0), (1, 0, 2)], emfs=[6, 0]))
    assert found.potentials == pytest.approx([0, 6])
    assert found.currents == pytest.approx([3, 3])


def test_wires_side_by_side_share_as_if_alike() -> None:
    found = flow(network([(0, 1, 0), (0, 1, 0), (1, 0, 2)], emfs=[6, 6, 0]))
    assert found.currents == pytest.approx([1.5, 1.5, 3])


def test_an_open_branch_carries_nothing_and_joins_nothing() -> None:
    found = flow(network([(0, 1, 2), (1, 2, np.inf), (2, 3, 5)], injected=[1, -1, 3, -3]))
    assert found.currents == pytest.approx([1, 0, 3])
    assert list(found.parts) == [0, 0, 1, 1]
    assert found.potentials == pytest.approx([0, -2, 0, -15])


def test_a_branch_from_a_point_to_itself_is_a_loop_of_its_own() -> None:
    assert flow(network([(0, 0, 3), (0, 1, 1), (0, 1, 1)], emfs=[6, 0, 0])).currents == pytest.approx(
        [2, 0, 0]
    )


def test_resistance_is_infinite_where_no_path_joins_and_zero_along_a_wire() -> None:
    seen = resistances(network([(0, 1, 2), (2, 3, 0), (1, 2, np.inf)]), [(0, 1), (0, 3), (2, 3), (1, 1)])
    assert list(seen) == [pytest.approx(2), np.inf, 0, 0]


def test_sources_are_at_rest_when_a_resistance_is_asked() -> None:
    seen = resistances(network([(0, 1, 2), (0, 1, 2)], emfs=[5, 0], injected=[1, -1]), [(0, 1)])
    assert seen == pytest.approx([1])


def test_a_lattice_has_the_branches_of_its_sides() -> None:
    block = lattice(2, 3, 4, resistance=2)
    assert (block.points, len(block.starts)) == (24, 1 * 3 * 4 + 2 * 2 * 4 + 2 * 3 * 3)
    assert set(block.ends - block.starts) == {1, 4, 12}
    assert resistances(lattice(5, resistance=3), [(0, 4)]) == pytest.approx([12])


def test_what_is_left_over_at_the_points_is_told() -> None:
    square = lattice(40, 40)
    sent = np.zeros(square.points)
    sent[0], sent[-1] = 1, -1
    found = flow(LargeNetwork(square.points, square.starts, square.ends, square.resistances, injected=sent))
    out = np.bincount(square.starts, found.currents, 1600) - np.bincount(square.ends, found.currents, 1600)
    assert np.abs(out - sent).max() <= found.left_over * 1.01 + 1e-15 < 1e-9


def test_the_current_through_a_long_ladder_is_kept_from_end_to_end() -> None:
    """One ampere along 100,000 sections of two rails: together they carry it through every section."""
    ladder = lattice(2, 100_001)
    sent = np.zeros(ladder.points)
    sent[0], sent[-1] = 1, -1
    found = flow(LargeNetwork(ladder.points, ladder.starts, ladder.ends, ladder.resistances, injected=sent))
    rails = found.currents[100_001:].reshape(2, -1).sum(axis=0)
    assert rails == pytest.approx(np.ones(100_000), abs=1e-7)


def test_the_same_network_gives_the_same_bytes() -> None:
    pairs = [(0, 899), (17, 400)]
    assert resistances(lattice(30, 30), pairs).tobytes() == resistances(lattice(30, 30), pairs).tobytes()


@pytest.mark.parametrize(
    ("given", "code"),
    [
        (network([(0, 1, 2)], injected=[1, 0]), "solve/injection-has-no-way-out"),
        (network([(0, 1, 2), (1, 2, np.inf)], injected=[1, 0, -1]), "solve/injection-has-no-way-out"),
        (network([(0, 1, 0), (1, 0, 0), (0, 1, 3)], emfs=[6, 0, 0]), "solve/emfs-disagree"),
    ],
)
def test_what_has_no_answer_is_found(given: LargeNetwork, code: str) -> None:
    with pytest.raises(FaultyMaterial) as refused:
        flow(given)
    assert [finding.code for finding in refused.value.findings] == [code]


@pytest.mark.parametrize(
    ("arrays", "why"),
    [
        ((2, [0], [2], [1.0]), "not among 0 to 1"),
        ((2, [0], [1], [1.0, 2.0]), "resistances has 2 entries where 1"),
        ((2, [0], [1], [-1.0]), "negative"),
        ((2, [0], [1], [np.nan]), "no number"),
        ((2, [0], [1], [1.0], [np.inf]), "no finite number"),
        ((2, [0], [1], [1.0], [1.0], [1.0]), "injected has 1 entries where 2"),
    ],
)
def test_arrays_that_tell_no_network_are_refused(arrays: tuple[object, ...], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        LargeNetwork(*arrays)  # type: ignore[arg-type]
