"""Parts of a superposition: what each source makes alone, and groups of sources."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.errors import BrokenPromise
from loopwright.solve.alone import alone, each_alone
from loopwright.solve.exact import Solution, solve
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, DRIVEN, EQUAL_CELLS, LADDER, circuit_of


def test_each_battery_alone_makes_its_part_of_every_current() -> None:
    """Worked by hand with E1 shorted and E2 shorted in turn: all parts are 47ths of an ampere."""
    solution = solve(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))
    one, other = each_alone(solution)
    found = [[solution.number(p.current(n)) for n in ("Ic", "Ib", "Ih")] for p in (one, other)]
    assert found == [[Fraction(n, 47) for n in row] for row in ([184, 115, 69], [-90, -162, 72])]


def test_a_battery_at_rest_still_drops_its_internal_voltage() -> None:
    """E1 alone: 9 V drives through r1 = 1 ohm and r2 = 2 ohm beside R = 2 ohm, 4.5 A; half of it in r2."""
    text = EQUAL_CELLS.replace('{ value = "E", internal = "r" }', '{ value = "9 V", internal = "1 ohm" }', 1)
    text = text.replace('{ value = "E", internal = "r" }', '{ value = "6 V", internal = "2 ohm" }')
    circuit = circuit_of(text + 'R = "2 ohm"\n')
    part = alone(circuit, ["E1"])
    assert part.current("Ic").value(circuit.numbers) == Fraction(9, 2)
    assert part.across("E2").value(circuit.numbers) == Fraction(9, 2)
    assert part.voltage("Ih").value(circuit.numbers) == Fraction(9, 2)


def test_a_current_source_at_rest_is_a_gap_with_a_voltage() -> None:
    """E alone drives E/(R1 + R2 + R3) against I4; J at rest has the voltage of R1 across it."""
    circuit = circuit_of(DRIVEN)
    part = alone(circuit, ["E"])
    e, total = circuit.value("E"), sum((circuit.value(n) for n in ("R1", "R2", "R3")), circuit.field.zero)
    assert part.current("I1") == 0
    assert part.across("J") == -(e / total) * circuit.value("R1")


def test_groups_of_sources_add_up_like_single_ones() -> None:
    solution = solve(circuit_of(LADDER))
    (both,) = each_alone(solution, [("E1", "E2")])
    assert both.currents == solution.currents


@pytest.mark.parametrize("groups", [[("E1",)], [("E1",), ("E1", "E2")]])
def test_groups_that_leave_out_or_repeat_a_source_are_refused(groups: list[tuple[str, ...]]) -> None:
    with pytest.raises(ValueError, match="each of E1, E2 once"):
        each_alone(solve(circuit_of(LADDER)), groups)


def test_what_is_no_source_is_refused() -> None:
    with pytest.raises(ValueError, match="R1: no source of this circuit, which has E1, E2"):
        alone(circuit_of(LADDER), ["R1"])


def test_parts_are_held_against_the_whole() -> None:
    solution = solve(circuit_of(LADDER))
    wrong = {**solution.currents, "I3": -solution.currents["I3"]}
    with pytest.raises(BrokenPromise, match="the parts of I3"):
        each_alone(Solution(solution.circuit, wrong, solution.determinant))
