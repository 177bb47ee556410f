"""Slips on the way from one line in numbers to the next are named, and results that lack a part.

The circuit: charger, battery and heater; J1 round the charger and the heater, J2 round the battery and the
heater: 9 J1 + 5 J2 = 23, 5 J1 + 8 J2 = 18, so that J1 = 2 A and J2 = 1 A.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
WORDS = "J1 round E1, R1, Rh, through R1 from rail to bus; J2 round E2, R2, Rh, through R2 from rail to bus\n"
LOOPS = "9 J1 + 5 J2 = 23\n5 J1 + 8 J2 = 18\n"
ENDS = "J1 = 2\nJ2 = 1\n"


def first_named(text: str) -> tuple[int, str]:
    """The first untrue line and the slip named first."""
    told = read_working(CIRCUIT, WORDS + text)
    first = next(v for v in told.verdicts if v.kind is ClaimKind.UNTRUE)
    return first.line, first.repairs[0].entry


@pytest.mark.parametrize(
    ("text", "line", "entry"),
    [
        (LOOPS + "72 J1 + 40 J2 = 23", 4, "one-term-multiplied"),
        (LOOPS + "72 J1 - 40 J2 = 184", 4, "moved-sign"),
        (LOOPS + "J1 = 2.556 + 0.656 J2", 4, "digits"),
        (LOOPS + "72 J1 + 40 J2 = 148", 4, "digits"),
        (LOOPS + "2 (J1 - 3) + 7 (J1 + J2) = 19\n2 J1 - 6 + J1 + 7 J2 = 19", 5, "bracket-lost"),
        (LOOPS + "47 J1 = 94\nJ1 = 47/94 = 0.5 A", 5, "fraction-inverted"),
        (LOOPS + "J1 = 2 A\nJ2 = 1 A\nIc = J1 = 3 A", 6, "digits"),
        (LOOPS + ENDS + "Ic = J1 = -2 A", 6, "minus-dropped"),
        (LOOPS + ENDS + "Ih = 2", 6, "term-missing"),
        ("23 - 4 J1 - 5 (J1 + J2) = 0\n18 - 3*4 - 5 (J2 + J1) = 0", 3, "wrong-current"),
        ("E1 - R1 R1 - Rh (J1 + J2) = 0", 2, "wrong-current"),
        ("(4 + 8) J1 + 8 J2 = 23", 2, "copied-wrong"),
        ("(R1 + Rh) J1 = E1", 2, "drop-missing"),
        ("R1 J1 + Rh (J1 + J2) = E1\nIh = J1", 3, "branch-missing"),
    ],
)
def test_slip_on_the_way_is_named(text: str, line: int, entry: str) -> None:
    assert first_named(text) == (line, entry)
