"""What a line tells of a resistor in words, or behind its name, is a claim like any other.

Charger, battery and heater: E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω; (Ic, Ib, Ih) = (2, −1, 3) A
and V(bus, rail) = 15 V, worked by hand.
"""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind, Verdict
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)


def verdicts(text: str) -> tuple[Verdict, ...]:
    return read_working(CIRCUIT, text).verdicts


@pytest.mark.parametrize(
    ("right", "wrong", "names"),
    [
        ("through R1: (23 - 15)/4 = 2 A", "through R1: (23 - 15)/3 = 2.67 A", "Ic"),
        ("So through R1: 8/4 = 2 (from the charger)", "So through R1: 8/3 = 2.67 (from the charger)", "Ic"),
        ("the current in Rh is 15/5 = 3 A", "the current in Rh is 15/3 = 5 A", "Ih"),
        ("voltage across R1 is 2*4 = 8 V", "voltage across R1 is 2*3 = 6 V", "V(R1)"),
        ("power in Rh is 3^2*5 = 45 W", "power in Rh is 3*5 = 15 W", "P(Rh)"),
        ("Rh: 3 A", "Rh: 3.5 A", "Ih"),
        ("Rh: 15 V, 15/5 = 3 A, 45 W", "Rh: 15 V, 15/3 = 5 A, 75 W", "Ih"),
        ("- for Rh: 15/5 = 3 A", "- for Rh: 15/4 = 3.75 A", "Ih"),
    ],
)
def test_a_claim_is_made_and_judged(right: str, wrong: str, names: str) -> None:
    assert all(v.holds for v in verdicts(right))
    assert any(names in repr(v.claim.written) for v in verdicts(right))
    assert any(v.kind is ClaimKind.UNTRUE for v in verdicts(wrong))


def test_words_say_no_sense() -> None:
    assert all(
        v.holds for line in ("through R2: 3/3 = 1 A", "through R2: -3/3 = -1 A") for v in verdicts(line)
    )
    assert not all(v.holds for v in verdicts("Ib: 1 A"))  # its own name has an arrow


@pytest.mark.parametrize("line", ["R1: 4 ohm", "R1: 23 - 2*4 = 15 V", "R1: 2", "E1: 23 V"])
def test_given_values_and_potentials_behind_a_resistor_are_left(line: str) -> None:
    assert all(v.holds for v in verdicts(line))
    assert not any("V(R1)" in repr(v.claim.written) for v in verdicts(line))


def test_a_sum_told_by_that_word_is_arithmetic() -> None:
    assert [v.holds for v in verdicts("sum 2 + 1 = 3")] == [True]
    assert [v.holds for v in verdicts("sum 2 + 1 = 4")] == [False]
