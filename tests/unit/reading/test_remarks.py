"""What is said of each line of a working, from readings made by hand."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from loopwright.expressions.said import as_text
from loopwright.reading.remarks import Standing, counter_said
from loopwright.reading.verdicts import ClaimKind, Counter
from loopwright.reading.working import Trouble, Working, WrittenLine
from tests.unit.reading.made_readings import CARRIED, GOOD, JUNCTION, LEFT, WRONG_SIGN, reading

WRONG = reading(JUNCTION, LEFT, WRONG_SIGN, *CARRIED)


def test_a_line_that_could_not_be_read_says_where() -> None:
    lines = (*WRONG.working.lines, WrittenLine(8, "Ic = ((3", trouble=Trouble("a bracket is not closed", 5)))
    last = replace(WRONG, working=Working(lines)).remarks[-1]
    assert last.standing is Standing.UNREAD
    assert as_text(last.remarks[-1]) == "Not read: a bracket is not closed (at sign 6)."


def test_the_worst_of_several_claims_is_what_the_line_comes_to() -> None:
    standings = [each.standing for each in reading(*GOOD, ("Ic = Ib", ClaimKind.UNDECIDED, {})).remarks]
    assert standings[-2:] == [Standing.SAID, Standing.OPEN]


def test_numbers_that_show_an_untruth_carry_their_units() -> None:
    counter = Counter({"E1": Fraction(23), "Ib": Fraction(-1, 3)}, Fraction(2), Fraction(5, 2))
    assert as_text(counter_said(counter, WRONG.names)) == (
        "With E1 = 23 V and Ib = −333.3 mA the left side comes to 2 and the right side to 2.5."
    )
