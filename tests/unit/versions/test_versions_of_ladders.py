"""Versions of a ladder without end, whose resistance has a square root: against every choice, one by one."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from fractions import Fraction
from itertools import product
from math import isqrt

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.errors import FaultyMaterial
from loopwright.papers.answers import paper_answers
from loopwright.papers.paper import paper_key
from loopwright.papers.plan import PaperWishes, planned
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read_text
from loopwright.show.version_report import as_csv
from loopwright.versions.usual import good_numbers
from loopwright.versions.versions import how_many, versions

LADDER = """
find = ["R(a, b)"]
[branches]
I1 = "a, R1, c"
I2 = "c, R2, d"
I3 = "d, R3, b"
[elements]
R3 = "R1"
[ladder]
from = "a, b"
to = "c, d"
repeated = "without end"
"""
FIRST, SECOND = range(1, 13), range(1, 41)


def ladder(hold: Sequence[str]) -> Circuit:
    told = ", ".join(f'"{wish}"' for wish in hold)
    table = f'[versions]\nR1 = "1 to 12 ohm"\nR2 = "1 to 40 ohm"\nhold = [{told}]\n'
    circuit, findings = read_text(LADDER + table)
    assert circuit is not None, findings
    return circuit


def root_of(a: int, b: int) -> int | None:
    """√(a² + 2 a b), where it is whole: R = 2 a + R b/(R + b) has the positive root a + √(a² + 2 a b)."""
    under = a * a + 2 * a * b
    return isqrt(under) if isqrt(under) ** 2 == under else None


BY_HAND: dict[str, Callable[[int, int], bool]] = {
    "answers whole": lambda a, b: root_of(a, b) is not None,
    "R(a, b) with at most 1 decimal": lambda a, b: root_of(a, b) is not None,
    "R(a, b) > 20 ohm": lambda a, b: a > 20 or a * a + 2 * a * b > (20 - a) ** 2,
    "R(a, b) <= R2": lambda a, b: b >= a and a * a + 2 * a * b <= (b - a) ** 2,
    "2 R1 = R(a, b)": lambda a, b: root_of(a, b) == a,
    "resistances distinct": lambda a, b: False,  # both wires are alike
    "no resistance of 1 ohm": lambda a, b: a > 1 and b > 1,
}


@pytest.mark.parametrize("wish", BY_HAND)
def test_as_many_grant_a_wish_as_are_found_one_after_another(wish: str) -> None:
    found = how_many(ladder([wish]))
    assert found.whole
    assert found.versions == sum(BY_HAND[wish](a, b) for a, b in product(FIRST, SECOND))


def test_papers_have_the_resistance_and_its_key_is_proved() -> None:
    wishes = PaperWishes(forms=("html",))
    plan = planned([ladder(["answers whole"])], Roster((RosterEntry("s1"), RosterEntry("s2"))), wishes)
    for paper in plan.papers:
        assert paper_key(plan, paper).title
        a, b = (int(paper.circuits[0].numbers[name]) for name in ("R1", "R2"))
        root = root_of(a, b)
        assert root is not None
        assert [answer.value for answer in paper_answers(paper.circuits[0])] == [Fraction(a + root)]


def test_answers_are_told_and_good_numbers_found() -> None:
    assert '"R(a, b) in Ω"' in as_csv(versions(ladder(["answers whole"]), 3))
    found, wished = good_numbers(ladder([]))
    assert found.complete
    assert wished[0] == "answers whole"


def test_a_wish_that_a_root_has_no_part_in_is_told() -> None:
    with pytest.raises(FaultyMaterial, match="has a square root in it"):
        versions(ladder(["R(a, b) + R1 < 6 ohm"]), 1)
