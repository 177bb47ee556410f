"""Sets of loops: independent or not with their senses counted."""

from __future__ import annotations

from fractions import Fraction

import pytest

from loopwright.graph.lines import Loop
from loopwright.laws.loops import are_independent, as_sum

# Three branches side by side, all arrows alike: each loop goes out by one and back by another.
FIRST, SECOND, THIRD = (("I1", 1), ("I2", -1)), (("I2", 1), ("I3", -1)), (("I3", 1), ("I1", -1))
# The loops of four branches each in a bridge I1 = ab, I2 = ac, I3 = bd, I4 = cd, I5 = bc, I6 = da.
LONG: tuple[Loop, ...] = (
    (("I1", 1), ("I3", 1), ("I4", -1), ("I2", -1)),
    (("I1", 1), ("I5", 1), ("I4", 1), ("I6", 1)),
    (("I2", 1), ("I5", -1), ("I3", 1), ("I6", 1)),
)


def test_loops_that_add_up_to_nothing_with_their_senses_are_not_independent() -> None:
    """Without senses the three would be: each branch stands in two of them, and no two are the third."""
    assert are_independent((FIRST, SECOND))
    assert not are_independent((FIRST, SECOND, THIRD))


@pytest.mark.parametrize("sense", [1, -1])
def test_a_loop_travelled_the_other_way_is_no_new_loop(sense: int) -> None:
    assert not are_independent((FIRST, tuple((name, sense * s) for name, s in FIRST)))


def test_loops_that_cancel_only_without_senses_are_independent() -> None:
    """Every branch is held twice or not at all: a sum by twos is nothing, one with senses is not."""
    assert are_independent(LONG)


def test_the_multipliers_of_a_sum_have_the_signs_of_travel() -> None:
    assert as_sum(THIRD, (FIRST, SECOND)) == (Fraction(-1), Fraction(-1))
    assert as_sum(LONG[2], LONG[:2]) is None
