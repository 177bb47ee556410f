"""What the reader makes of a stranger's workings does not get worse than the figures measured below.

These are no bars of what is good enough but what held when they were measured, for the seeds below; whoever
mends the reader puts the better figures in. `python -m tests.strangers` gives them for any other seeds.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from tests.strangers.draw import draw
from tests.strangers.tally import tally_of
from tests.strangers.writers import hands_of

COUNT, FIRST = 10, 20_000


@dataclass(frozen=True, slots=True)
class Held:
    """Of so many right and so many wrong workings of a method: how many right ones are accused or not read at
    the most, and have full marks at the least; how many wrong ones pass at the most; in how many, at the
    least, the first wrong line is found and its slip named; and how many lines that follow are credited."""

    accused: int
    not_read: int
    full_marks: int
    passed: int
    found: int
    named: int
    credited: int


MEASURED = {
    "branch": Held(0, 0, 10, 0, 10, 10, 13),
    "loop": Held(0, 0, 9, 0, 10, 10, 53),
    "node": Held(0, 0, 10, 1, 9, 9, 33),
    "superposition": Held(0, 0, 10, 0, 10, 9, 49),
    "collapse": Held(0, 0, 10, 0, 9, 8, 16),
    "equivalent": Held(0, 0, 10, 0, 10, 8, 19),
    "determinants": Held(0, 0, 9, 0, 10, 9, 39),
}


@pytest.mark.slow
@pytest.mark.parametrize("method", MEASURED)
def test_reading_of_a_stranger_gets_no_worse(method: str) -> None:
    seeds = range(FIRST, FIRST + COUNT)
    tally = tally_of(draw(method, hands_of(s), s, wrong=wrong) for s in seeds for wrong in (False, True))
    counts, held = tally.counts, MEASURED[method]
    assert counts["broken"] == 0
    assert counts["accused"] <= held.accused
    assert counts["not read"] <= held.not_read
    assert counts["passed"] <= held.passed
    assert counts["full marks"] >= held.full_marks
    assert counts["found"] >= held.found
    assert counts["named"] >= held.named
    assert counts["credited"] >= held.credited
