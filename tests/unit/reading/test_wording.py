"""What is said of a line that follows."""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.verdicts import How
from loopwright.reading.wording import of_following


@pytest.mark.parametrize(
    ("used", "along", "said"),
    [
        ((3,), ("I3",), "Follows from line 3 and the potentials along I3."),
        ((), ("I3",), "Follows from the potentials along I3."),
        ((1, 2), (), "Follows from lines 1 and 2: their sum."),
    ],
)
def test_the_lines_and_the_branches_that_were_used_are_named(
    used: tuple[int, ...], along: tuple[str, ...], said: str
) -> None:
    assert as_text(of_following(How.SUM, used, along)) == said
