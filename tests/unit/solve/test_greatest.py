"""The load for the greatest power and the current of a short circuit."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.errors import FaultyMaterial
from loopwright.solve.exact import Solution, solve
from loopwright.solve.greatest import greatest_powers, matches_open_and_short, short_circuits
from tests.sample_circuits import circuit_of

BRANCHES = '[branches]\nI1 = "b, +E1, R1, a"\nI2 = "a, R2, b"\nI3 = "b, R3, +E2, a"\n'


def solved(find: str, branches: str = BRANCHES) -> Solution:
    return solve(circuit_of(f"find = {find}\n{branches}"))


def test_the_load_for_greatest_power_is_the_resistance_it_sees() -> None:
    solution = solved('["R2 for greatest P(R2)"]')
    (found,) = greatest_powers(solution)
    assert found.at == solution.resistance("a", "b", ("R2",))
    assert matches_open_and_short(found, solution)


def test_no_resistance_near_it_takes_more() -> None:
    (found,) = greatest_powers(solved('["greatest P(R2)"]'))
    numbers = {"E1": Fraction(12), "E2": Fraction(5), "R1": Fraction(4), "R3": Fraction(6)}
    best, most = found.at.value(numbers), found.greatest.value(numbers)
    around = [found.power.value({**numbers, "R2": best * k / 100}) for k in (1, 50, 99, 101, 200, 9000)]
    assert max(around) < most == found.power.value({**numbers, "R2": best})


def test_a_false_load_is_noticed() -> None:
    solution = solved('["greatest P(R2)"]')
    (found,) = greatest_powers(solution)
    assert matches_open_and_short(replace(found, at=found.at * 2), solution) is False


def test_a_power_that_only_falls_has_no_greatest_value() -> None:
    with pytest.raises(FaultyMaterial, match=r"P\(R2\) has no one greatest value at a positive R1"):
        greatest_powers(solved('["R1 for greatest P(R2)"]', BRANCHES.replace(", +E2", "")))


def test_a_short_circuit_is_worked_from_outside_and_with_its_wire() -> None:
    (found,) = short_circuits(solved('["short-circuit I(a, b)"]'))
    assert found.current == found.afresh
    values = {"E1": 12, "E2": 6, "R1": 4, "R2": 7, "R3": 6}
    assert found.current.value(values) == 4  # 12 V/4 Ω and 6 V/6 Ω


def test_nothing_limits_the_current_across_an_ideal_battery() -> None:
    with pytest.raises(FaultyMaterial, match="No resistance limits the current"):
        short_circuits(solved('["short-circuit I(a, b)"]', BRANCHES.replace("+E1, R1", "+E1")))


def test_a_greatest_power_in_numbers_takes_every_number_but_that_of_the_load() -> None:
    numbers = '[numbers]\nE1 = "12 V"\nE2 = "5 V"\nR1 = "4 ohm"\nR3 = "6 ohm"\n'
    (found,) = greatest_powers(solved('["R2 for greatest P(R2)"]', BRANCHES + numbers))
    (symbolic,) = greatest_powers(solved('["R2 for greatest P(R2)"]'))
    values = {"E1": Fraction(12), "E2": Fraction(5), "R1": Fraction(4), "R3": Fraction(6)}
    assert found.at.value(values) == symbolic.at.value(values) == Fraction(12, 5)
