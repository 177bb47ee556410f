"""Arrows that a working declares, and currents round meshes, on the branches of the circuit."""

from __future__ import annotations

import pytest

from loopwright import read_working
from loopwright.reading.arrows import declared
from loopwright.reading.quantities import candidates
from loopwright.reading.working import ArrowSaid
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, circuit_of


def test_an_arrow_through_all_that_a_branch_holds_is_that_branch() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    assert declared(circuit, [ArrowSaid("i", "rail", "bus", ("Rh",))]) == {"i": {"Ih": -1}}
    assert declared(circuit, [ArrowSaid("i", "bus", "rail", ("R2", "E2"))]) == {"i": {"Ib": 1}}


def test_an_arrow_that_ends_where_no_branch_does_fits_none() -> None:
    circuit = circuit_of(BRIDGE)
    assert declared(circuit, [ArrowSaid("i", "a", "d", ("R5",))]) == {}
    assert declared(circuit, [ArrowSaid("i", "b", "d", ("R5",))]) == {}


def test_a_name_may_stand_for_a_mesh_current_with_either_sense() -> None:
    """In a bridge of three meshes one at least shares every branch with the others."""
    wheel = """
[branches]
I1 = "a, +E, R1, b"
I2 = "b, R2, c"
I3 = "c, R3, a"
I4 = "a, R4, o"
I5 = "b, R5, o"
I6 = "c, R6, o"
I7 = "o, R7, m"
I8 = "m, R8, a"
"""
    for text in (BRIDGE, wheel):
        found = candidates(circuit_of(text), "i1", turned_only=False)
        sums = [m for m in found if len(m) > 1]
        for meaning in sums:
            assert {n: -m for n, m in meaning.items()} in sums


BOTH_DOWN = circuit_of("""
find = ["I1", "I2", "I3"]
[branches]
I1 = "a, R1, +E1, g"
I2 = "a, R2, +E2, g"
I3 = "a, R3, g"
[numbers]
E1 = "12 V"
E2 = "9 V"
R1 = "12 ohm"
R2 = "15 ohm"
R3 = "4 ohm"
""")
FIRST, SECOND = "12ia + 4(ia + ib) = {}\n", "15ib + 4(ib + ia) = {}\n"


def test_an_equation_of_whole_numbers_is_not_nearly_true() -> None:
    """15/3 + 4/3 of −4 ib is −8.67, not −9: no choice of arrows may count it as rounded."""
    reading = read_working(BOTH_DOWN, FIRST.format(12) + SECOND.format(-9))
    assert [v.line for v in reading.verdicts if not v.holds] == [2]


@pytest.mark.parametrize(
    ("results", "wrong"),
    [
        ("ia = 0.917 A\nib = -0.667 A\nI1 = -0.917 A\nI2 = 0.667 A\n", 1),
        ("ia = 0.917 A\nib = -0.667 A\nI1 = 0.917 A\nI2 = -0.667 A\n", 2),
    ],
)
def test_of_arrows_that_make_as_many_lines_true_those_of_the_results_count(results: str, wrong: int) -> None:
    """One of the two equations has a wrong sign, whichever way the arrows run: the results tell which way."""
    reading = read_working(BOTH_DOWN, FIRST.format(12) + SECOND.format(-9) + results)
    first = next(v for v in reading.verdicts if not v.holds)
    assert first.line == wrong
    assert all(v.carried for v in reading.verdicts if not v.holds and v is not first)
