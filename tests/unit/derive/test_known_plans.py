"""A plan known from other numbers is the one that a search from scratch would find."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from unittest.mock import patch

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.versions_asked import VersionsAsked
from loopwright.derive.known_plans import KnownPlans
from loopwright.derive.search import by_branch_currents, lines_by_branch_currents, plain_numbers
from loopwright.derive.steps import Derivation
from loopwright.methods.methods import derive_in_numbers
from loopwright.problem.problem_file import read_text, written
from loopwright.solve.exact import Solution, solve
from loopwright.versions.versions import versions
from tests.sample_circuits import BRIDGE, circuit_of

LADDER_OF_TWO = """
    [branches]
    I1 = "a, +E1, R1, b"
    I2 = "b, R2, a"
    I3 = "b, R3, c"
    I4 = "c, R4, a"
    I5 = "c, R5, +E2, a"
"""
FOUR_SIDE_BY_SIDE = """
    [branches]
    I1 = "a, +E1, R1, b"
    I2 = "a, +E2, R2, b"
    I3 = "a, +E3, R3, b"
    I4 = "b, R4, a"
"""
ONE_SOURCE = """
    [branches]
    I1 = "a, +E, R1, b"
    I2 = "b, R2, a"
    I3 = "b, R3, a"
"""
THREE_ALIKE = """
    [branches]
    I1 = "a, +E1, R1, b"
    I2 = "a, +E2, R2, b"
    I3 = "b, R3, c"
    I4 = "c, R4, a"
    I5 = "c, R5, a"
    I6 = "c, R6, a"
    [elements]
    E2 = "E1"
    R2 = "R1"
    R5 = "R4"
    R6 = "R4"
"""
THREE_LOOPS = {"bridge": BRIDGE, "ladder": LADDER_OF_TWO, "side by side": FOUR_SIDE_BY_SIDE}


def _derived(circuit: Circuit, solution: Solution) -> Derivation:
    return by_branch_currents(plain_numbers(circuit, replace(solution, circuit=circuit)).solution)


@pytest.mark.parametrize("name", THREE_LOOPS)
def test_a_known_plan_is_the_one_that_would_be_found(name: str) -> None:
    """In 150 sets of numbers each, small ones and decimals among them, so that terms cancel now and then."""
    circuit = circuit_of(THREE_LOOPS[name])
    solution, chance, known = solve(circuit), random.Random(97), 0
    recalled = KnownPlans.recalled

    def heard(self: KnownPlans, *given: object) -> object:
        nonlocal known
        found = recalled(self, *given)  # type: ignore[arg-type]
        known += found is not None
        return found

    for _ in range(150):
        amounts = {
            n: Fraction(chance.choice([2, 3, 4, 5, 6, 8, 8, 12]), chance.choice([1] * 20 + [2]))
            for n in circuit.symbols
        }
        numbers = circuit.with_numbers(amounts, {})
        with patch.object(KnownPlans, "recalled", heard):
            found = _derived(numbers, solution)
        afresh = _derived(replace(circuit, numbers=amounts, written={}), solution)
        assert found.steps == afresh.steps
    assert known > 10


def test_a_plan_is_not_taken_over_where_other_terms_cancel() -> None:
    """The same number of figures throughout; but with all arms of the bridge alike no current runs across."""
    circuit = circuit_of(BRIDGE)
    solution = solve(circuit)
    plans = []
    for arms in ((2, 3, 7, 5), (3, 3, 3, 3), (2, 3, 7, 5)):
        resistances = dict(zip(("R1", "R2", "R3", "R4"), map(Fraction, arms), strict=True))
        numbers = circuit.with_numbers({"E": Fraction(8), "R5": Fraction(9), **resistances}, {})
        found = _derived(numbers, solution)
        assert found.steps == _derived(replace(numbers), solution).steps
        plans.append(found.steps)
    assert plans[0] == plans[2] != plans[1]


@pytest.mark.parametrize("text", [*THREE_LOOPS.values(), ONE_SOURCE, THREE_ALIKE])
def test_lines_are_counted_without_all_being_written(text: str) -> None:
    """Also where one source drives parts made one, and where currents are told from symmetry."""
    circuit = circuit_of(text)
    solution, chance = solve(circuit), random.Random(31)
    for _ in range(12):
        amounts = {n: Fraction(chance.choice([2, 3, 4, 5, 6, 8, 12])) for n in circuit.symbols}
        numbers = circuit.with_numbers(amounts, {})
        plain = plain_numbers(numbers, replace(solution, circuit=numbers))
        assert lines_by_branch_currents(plain.solution) == by_branch_currents(plain.solution).written_lines


@pytest.mark.slow  # 360 versions read and worked from their files
@pytest.mark.parametrize("name", THREE_LOOPS)
def test_the_lines_of_versions_are_those_of_their_own_derivation(name: str) -> None:
    """Each version read afresh from its own file, and worked with nothing remembered."""
    circuit = circuit_of(THREE_LOOPS[name])
    usual = {n: "6 to 30 V" if n.startswith("E") else "2 to 12 ohm" for n in circuit.symbols}
    wishes = ("currents with at most 2 decimals", "currents not zero")
    found = versions(circuit, 120, seed=5, asked=VersionsAsked(usual, wishes))
    assert found.complete
    for version in found.versions:
        own, _ = read_text(written(version.circuit))
        assert own is not None
        worked = derive_in_numbers(own)
        assert worked is not None
        assert worked.written_lines == version.lines
