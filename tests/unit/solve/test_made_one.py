"""What resistors come to together, and the currents of the circuit drawn with them."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.circuit.changed import at_rest
from loopwright.circuit.made_one import collapse
from loopwright.errors import BrokenPromise
from loopwright.expressions.parse import expression
from loopwright.expressions.values import ratio_of
from loopwright.solve.exact import Solution, solve
from loopwright.solve.made_one import drawn_solutions, together
from tests.sample_circuits import LADDER, NESTED, SIDE_BY_SIDE, circuit_of


@pytest.mark.parametrize(
    ("resistors", "in_series", "form"),
    [
        ("R5 R6", True, "R5 + R6"),
        ("R7 R8", False, "R7 ∥ R8"),
        ("R5 R6 R7 R8", True, "R5 + R6 + R7 ∥ R8"),
        ("R4 R5 R6 R7 R8", False, "R4 ∥ (R5 + R6 + R7 ∥ R8)"),
    ],
)
def test_a_set_comes_to_what_series_and_parallel_make_of_it(
    resistors: str, in_series: bool, form: str
) -> None:
    circuit = circuit_of(NESTED)
    found = together(circuit, resistors.split())
    assert found is not None
    assert (found.in_series, found.resistance) == (in_series, ratio_of(expression(form), circuit.field))


@pytest.mark.parametrize("resistors", ["R2 R3", "R1 R3", "R6 R7", "R5"])
def test_a_set_that_is_neither_is_refused(resistors: str) -> None:
    assert together(circuit_of(NESTED), resistors.split()) is None


def test_between_two_points_with_the_sources_at_rest_more_can_be_made_one() -> None:
    """R1 and R2 share two points only once E1 is a wire."""
    circuit = circuit_of(LADDER)
    rested = at_rest(circuit)
    assert together(circuit, ["R1", "R2"]) is None
    found = together(rested, ["R1", "R2"], keep=("a", "b"))
    assert found is not None
    assert not found.in_series


def test_an_unknown_resistor_is_told() -> None:
    with pytest.raises(KeyError, match="R9"):
        together(circuit_of(NESTED), ["R5", "R9"])


def test_currents_and_voltages_of_the_drawn_circuits_are_exact() -> None:
    """12 V, 2 ohm, then 3 ohm beside 6 ohm (2 ohm together): 3 A, 6 V across the two; worked by hand."""
    text = SIDE_BY_SIDE + '[numbers]\nE = "12 V"\nR1 = "2 ohm"\nR2 = "3 ohm"\nR3 = "6 ohm"\n'
    circuit = circuit_of(text)
    _, drawn, last = drawn_solutions(collapse(circuit), solve(circuit))
    assert drawn.currents["I1"].value(circuit.numbers) == last.currents["I1"].value(circuit.numbers) == 3
    assert drawn.voltages["R23"].value(circuit.numbers) == Fraction(6)


def test_a_wrong_current_of_the_outset_is_noticed() -> None:
    solution = solve(circuit_of(SIDE_BY_SIDE))
    wrong = Solution(
        solution.circuit, {**solution.currents, "I2": solution.currents["I3"]}, solution.determinant
    )
    with pytest.raises(BrokenPromise, match="I2"):
        drawn_solutions(collapse(solution.circuit), wrong)


def test_parts_whose_currents_do_not_add_up_are_noticed() -> None:
    found = collapse(circuit_of(SIDE_BY_SIDE))
    turned = replace(found.steps[0], chains=(("I2", 1), ("I3", -1)))
    with pytest.raises(BrokenPromise, match="R23"):
        drawn_solutions(replace(found, steps=(turned, *found.steps[1:])), solve(found.circuit))
