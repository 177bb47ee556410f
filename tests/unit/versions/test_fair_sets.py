"""Twenty-one sets of versions, of three families of circuits: alike in lines and signs, every key proved."""

from __future__ import annotations

import pytest

from loopwright.checks.ledger.examine import examine
from loopwright.circuit.versions_asked import VersionsAsked
from loopwright.methods.methods import derive_in_numbers
from loopwright.solve.exact import solve
from loopwright.versions.usual import good_numbers
from loopwright.versions.versions import versions
from tests.sample_circuits import CHARGE_OR_HELP, LADDER, ONE_LOOP, circuit_of
from tests.wide_circuits import complete, unlike_ladder

FAMILIES = (ONE_LOOP, CHARGE_OR_HELP, LADDER)


@pytest.mark.slow  # a derivation and a ledger for each of two versions of each set
@pytest.mark.parametrize("text", FAMILIES, ids=("one loop", "two batteries", "ladder"))
def test_seven_sets_of_a_family_are_fair_and_their_keys_proved(text: str) -> None:
    circuit = circuit_of(text)
    usual = {n: "3 to 24 V" if n.startswith("E") else "2 to 12 ohm" for n in circuit.symbols}
    wished = ("currents with at most 2 decimals", "no resistance of 1 ohm")
    for seed in range(7):
        found = versions(circuit, 2, seed=seed, asked=VersionsAsked(usual, wished))
        assert found.complete
        lines, signs = set(), set()
        for version in found.circuits:
            solution = solve(version)
            derivation = derive_in_numbers(version, solution)
            assert derivation is not None
            lines.add(derivation.written_lines)
            values = [solution.number(current) for current in solution.currents.values()]
            assert all(value is not None and (100 * value).denominator == 1 for value in values)
            signs.add(tuple((v > 0) - (v < 0) for v in values if v is not None))
            assert examine(version).passed
        assert (len(lines), len(signs)) == (1, 1)


def test_good_numbers_need_no_table() -> None:
    found, wishes = good_numbers(circuit_of(ONE_LOOP))
    assert found.complete
    assert wishes[0] == "currents whole"


@pytest.mark.parametrize("text", [complete(5), unlike_ladder(5)], ids=["five points", "five sections"])
def test_good_numbers_of_a_large_circuit_come_with_what_a_short_look_can_grant(text: str) -> None:
    circuit = circuit_of(text)
    found, wishes = good_numbers(circuit)
    (chosen,) = found.circuits
    currents = [value.constant() for value in solve(chosen.in_numbers()).currents.values()]
    assert all(currents)
    assert "currents not zero" in wishes
    assert not any("decimal" in wish or "whole" in wish for wish in wishes)
    resistances = [v for name, v in chosen.numbers.items() if name.startswith("R")]
    assert len(set(resistances)) == len(resistances)
    assert 1 not in resistances
    assert found.looked_at < 1_000_000 < found.size


def test_good_numbers_do_not_wish_for_what_equal_parts_never_grant() -> None:
    """Half of a three-wire line: the currents of the two sides are equal, and none runs between them."""
    circuit = circuit_of("""
        [branches]
        I1 = "m, +E1, a"
        I2 = "b, +E2, m"
        I3 = "a, R1, k"
        I4 = "k, R2, b"
        I5 = "k, R3, m"
        [elements]
        E1 = "E"
        E2 = "E"
        R1 = "R"
        R2 = "R"
    """)
    found, wishes = good_numbers(circuit)
    assert found.complete
    assert wishes == ("currents whole", "no resistance of 1 ohm")
