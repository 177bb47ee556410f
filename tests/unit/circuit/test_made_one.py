"""Resistors made one: which, in what order, under what name, and how the circuit is drawn then."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.circuit.made_one import collapse
from loopwright.expressions.writers import plain
from tests.sample_circuits import (
    BRIDGE,
    CHARGE_OR_HELP,
    DRIVEN,
    FED,
    LADDER,
    NESTED,
    OPEN_SWITCH,
    SIDE_BY_SIDE,
    STRAIGHT_ACROSS,
    circuit_of,
)

TWO_SUPPLIES = """
[branches]
I1 = "g, +E1, R1, a"
I2 = "a, R2, b"
I3 = "b, R3, g"
I4 = "g, R4, b"
I5 = "g, +E2, R5, a"
"""  # R3 and R4 side by side, with R2 in series; then the two supplies are left


def steps(text: str) -> list[str]:
    """Each step as `R23 = R2 R3/(R2 + R3)`."""
    return [f"{s.whole} = {plain.render(s.formula)}" for s in collapse(circuit_of(text)).steps]


@pytest.mark.parametrize(
    ("text", "written"),
    [
        (SIDE_BY_SIDE, ["R23 = R2 R3/(R2 + R3)", "R123 = R1 + R23"]),
        (STRAIGHT_ACROSS, ["R12 = R1 + R2", "R123 = R12 R3/(R12 + R3)"]),
        (FED, ["R345 = 1/(1/R3 + 1/R4 + 1/R5)"]),  # the current of the source is known: no last sum is needed
        (TWO_SUPPLIES, ["R34 = R3 R4/(R3 + R4)", "R234 = R2 + R34"]),
        (OPEN_SWITCH, ["R12 = R1 + R2"]),
    ],
)
def test_resistors_are_made_one_from_inside_outwards(text: str, written: list[str]) -> None:
    assert steps(text) == written


@pytest.mark.parametrize("text", [BRIDGE, LADDER, CHARGE_OR_HELP, DRIVEN])
def test_what_is_neither_in_series_nor_side_by_side_stays(text: str) -> None:
    assert steps(text) == []


def test_names_longer_than_four_figures_give_way_to_a_letter() -> None:
    assert [s.split(" =")[0] for s in steps(NESTED)] == ["R56", "R78", "R5678", "Rp", "Rq", "Rs", "Rt"]


def test_a_name_that_is_taken_gives_way_to_a_letter() -> None:
    assert steps(SIDE_BY_SIDE.replace("R1", "R23"))[0].startswith("Rp = ")


def test_the_circuit_drawn_has_the_whole_in_the_branch_that_goes_on() -> None:
    step = collapse(circuit_of(SIDE_BY_SIDE)).steps[0]
    (ring,) = step.after.branches
    assert [p.element for p in ring.passes] == ["E", "R1", "R23"]
    assert (step.branch, step.sense, step.chains) == ("I1", 1, (("I2", 1), ("I3", 1)))


def test_the_number_of_the_whole_is_exact_and_written_rounded() -> None:
    text = SIDE_BY_SIDE + '[numbers]\nE = "9 V"\nR1 = "1 ohm"\nR2 = "2 ohm"\nR3 = "5 ohm"\n'
    drawn = collapse(circuit_of(text)).steps[0].after
    assert drawn.numbers["R23"] == Fraction(10, 7)
    assert drawn.written["R23"] == "1.43 Ω"


def test_wires_become_points_and_what_they_short_is_idle() -> None:
    text = '[branches]\nI1 = "a, +E, R1, b"\nI2 = "b, A1, c"\nI3 = "b, R2, c"\nI4 = "c, R3, a"\n'
    start = collapse(circuit_of(text + '[elements]\nA1 = { kind = "ammeter" }\n')).start
    assert (start.wires, start.idle) == (("I2",), ("I3",))
