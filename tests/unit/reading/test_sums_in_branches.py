"""A resistance of the working's own made of what whole branches come to, written as one number each.

The circuit: 6 V behind 2 and 9 kΩ, 5 V behind 2 and 1.5 kΩ, 24 V behind 2.5 kΩ, side by side.
"""

from __future__ import annotations

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import circuit_of

CIRCUIT = """
find = ["I1", "I2", "I3"]
[branches]
I1 = "a, -E1, r1, R1, b"
I2 = "b, +E2, r2, R2, a"
I3 = "a, -E3, R3, b"
[numbers]
r1 = "2 kohm"
R1 = "9 kohm"
E1 = "6 V"
r2 = "2 kohm"
R2 = "1.5 kohm"
E2 = "5 V"
R3 = "2.5 kohm"
E3 = "24 V"
"""
RIGHT = "only E3:\nRp = 1/(1/11 + 1/3.5) = 2.655 kΩ\nI3' = -24/(2.5 + 2.655) = -4.656 mA"
WRONG = "only E3:\nRp = 1/11 + 1/3.5 = 0.3766 kΩ\nI3' = -24/(2.5 + 0.3766) = -8.343 mA"


def slips(text: str) -> list[tuple[int, str]]:
    verdicts = read_working(circuit_of(CIRCUIT), text).verdicts
    return [
        (v.line, v.repairs[0].entry if v.repairs else "")
        for v in verdicts
        if v.kind is ClaimKind.UNTRUE and not v.carried
    ]


def test_branches_side_by_side_are_made_one() -> None:
    assert slips(RIGHT) == []


def test_reciprocal_that_is_not_undone_is_found_where_it_is_written() -> None:
    assert slips(WRONG) == [(2, "reciprocal-left")]


def test_branches_added_that_lie_side_by_side_are_found() -> None:
    added = RIGHT.replace("1/(1/11 + 1/3.5) = 2.655", "11 + 3.5 = 14.5")
    assert slips(added)[0][0] == 2
