"""A law written after resistances were made one is told as that law, and counts as one.

24 V and 2 Ω feed 24 Ω beside 4 Ω, that with 6 Ω beside 12 Ω: 4 Ω, 8 Ω, 6 Ω. By hand I1 = 3 A, I2 = 0.75 A,
I3 = 2.25 A, I4 = 1.5 A, I5 = 0.75 A, V(a, g) = 18 V.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.said import as_text
from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, circuit_of

CIRCUIT = circuit_of(FAR_END.replace('R2 = "8 ohm"', 'R2 = "24 ohm"'))


@pytest.mark.parametrize(
    ("line", "kind", "said"),
    [
        ("24 - 2 I1 - 8 I3 = 0", ClaimKind.LOOP, "R4 and R5 made one"),
        ("24 I2 = 8 I3", ClaimKind.LOOP, "R4 and R5 made one"),
        ("8 I3 - 24 (I1 - I3) = 0", ClaimKind.LOOP, "R4 and R5 made one"),
        ("24 - 2 I1 = 6 I1", ClaimKind.TRUE, ""),  # one current alone is a result
    ],
)
def test_a_law_of_a_smaller_drawing(line: str, kind: ClaimKind, said: str) -> None:
    (verdict,) = read_working(CIRCUIT, line).verdicts
    assert verdict.kind is kind
    assert said in as_text(verdict.said)


@pytest.mark.parametrize("line", ["24 - 2 I1 - 12 I3 = 0", "24 + 2 I1 - 8 I3 = 0", "24 I2 = 22 I3"])
def test_what_is_no_law_of_any_drawing_is_denied(line: str) -> None:
    (verdict,) = read_working(CIRCUIT, line).verdicts
    assert verdict.kind is ClaimKind.UNTRUE


def test_a_combination_of_laws_by_no_whole_number_is_none() -> None:
    (verdict,) = read_working(CIRCUIT, "24 - 2 I1 - 18 I2 - 2 I3 = 0").verdicts  # true: 3 to 1 of two loops
    assert verdict.kind is ClaimKind.TRUE


def test_these_laws_are_enough_for_the_currents_they_name() -> None:
    both = "I1 = I2 + I3\n24 - 2 I1 - 8 I3 = 0\n24 I2 = 8 I3"
    assert read_working(CIRCUIT, both).enough.enough
    short = read_working(CIRCUIT, both.replace("24 I2 = 8 I3", "24 I2 = -8 I3"))
    assert not short.enough.enough
    assert "one equation is missing" in " ".join(map(as_text, short.enough.said))


def test_a_last_current_follows_by_the_junction_rule_only_from_lines_that_are_worked() -> None:
    worked = read_working(
        CIRCUIT, "Va = 18 V against g\nI1 = (24 - 18)/2 = 3 A\nI2 = 18/24 = 0.75 A\nI3 = 2.25 A"
    )
    assert worked.verdicts[-1].kind is ClaimKind.FOLLOWS
    told = read_working(CIRCUIT, "I1 = 3 A\nI2 = 0.75 A\nI3 = 2.25 A")
    assert told.verdicts[-1].kind is ClaimKind.TRUE
