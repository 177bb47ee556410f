"""Which check catches which slip.

The figures to confirm: over six families of circuits and every single sign reversed or term left out
(148 slips), both limits of a resistance shared by two loops catch 148, the power balance 143, a loop
not used 92, the junctions 56. They are computed, not published; the equation sets are named here.
"""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from loopwright.graph.lines import Loop
from loopwright.laws.loops import loop_through
from loopwright.slips.coverage import Coverage, coverage
from tests.sample_circuits import CHARGE_OR_HELP, DRIVEN, LADDER, ONE_LOOP, REAL_BRIDGE, circuit_of

LOADED = '[branches]\nI1 = "b, +E, R1, a"\nI2 = "a, R2, b"\nI3 = "a, R3, b"\n'
THREE = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "b, +E2, R2, a"\nI3 = "b, +E3, R3, a"\nI4 = "a, R4, b"\n'
FAMILIES: dict[str, tuple[str, Sequence[str], tuple[int, int, int, int, int]]] = {
    "charge or help": (CHARGE_OR_HELP, ("Ic Ih", "Ib Ih"), (18, 18, 18, 12, 6)),
    "one battery": (LOADED, ("I1 I2", "I2 I3"), (16, 16, 13, 10, 6)),
    "battery in both loops": (CHARGE_OR_HELP, ("Ic Ib", "Ib Ih"), (20, 20, 20, 14, 6)),
    "three batteries and a load": (THREE, ("I1 I4", "I2 I4", "I3 I4"), (26, 26, 26, 18, 8)),
    "bridge": (REAL_BRIDGE, ("I I1 I3", "I1 I2 I5", "I3 I4 I5"), (38, 38, 36, 20, 18)),
    "ladder": (LADDER, ("I1 I2", "I2 I3 I4", "I4 I5"), (30, 30, 30, 18, 12)),
}


def table(problem: str, loops: Sequence[str]) -> Coverage:
    circuit = circuit_of(problem)
    chosen: list[Loop] = [loop_through(circuit, names.split()) for names in loops]
    return coverage(circuit, chosen)


def figures(found: Coverage) -> tuple[int, int, int, int, int]:
    shared = [len(row.caught) for row in found.rows if row.shared and not row.part_of]
    others = [len(found.row(check).caught) for check in ("power balance", "loops not used", "every junction")]
    return (len(found.slips), min(shared), others[0], others[1], others[2])


@pytest.mark.parametrize("family", FAMILIES)
def test_each_family_has_the_stated_coverage(family: str) -> None:
    problem, loops, expected = FAMILIES[family]
    assert figures(table(problem, loops)) == expected


def test_all_families_together() -> None:
    stated = [expected for _, _, expected in FAMILIES.values()]
    assert [sum(column) for column in zip(*stated, strict=True)] == [148, 148, 143, 92, 56]


@pytest.mark.parametrize("family", FAMILIES)
def test_one_shared_resistance_at_both_ends_is_the_smallest_set(family: str) -> None:
    found = coverage(circuit_of(FAMILIES[family][0]))
    assert len(found.smallest_set) == 1
    assert found.row(found.smallest_set[0]).shared
    assert found.never == ()


@pytest.mark.parametrize("family", FAMILIES)
def test_dimensions_catch_no_slip_of_sign_or_term(family: str) -> None:
    assert coverage(circuit_of(FAMILIES[family][0])).row("dimensions and scaling").caught == frozenset()


def test_a_resistance_in_one_loop_misses_a_slip() -> None:
    found = coverage(circuit_of(CHARGE_OR_HELP))
    assert len(found.row("R1 to 0 and to infinity").caught) == len(found.slips) - 1


def test_the_junction_rule_catches_junction_slips_only() -> None:
    found = coverage(circuit_of(CHARGE_OR_HELP))
    caught = [found.slips[i].as_text() for i in found.row("every junction").caught]
    assert all("junction" in told for told in caught)


def test_the_smallest_set_really_catches_all() -> None:
    found = coverage(circuit_of(DRIVEN))
    caught = frozenset[int]().union(*(found.row(check).caught for check in found.smallest_set))
    assert caught == frozenset(range(len(found.slips))) - {
        i for i, slip in enumerate(found.slips) if slip in found.never
    }


def test_one_loop_is_kept_by_its_power_balance() -> None:
    assert coverage(circuit_of(ONE_LOOP)).smallest_set == ("power balance",)


def test_the_table_is_the_same_every_time() -> None:
    one, other = (coverage(circuit_of(LADDER)) for _ in range(2))
    assert str(one) == str(other)
    assert str(one).splitlines()[-1].startswith("smallest set: ")
