"""Quantities in order: what is proved for all positive values, on what it depends, and with numbers.

Ranking tasks of this kind are common practice in introductory courses, no source.
"""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import combinations

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.rankings import ranking
from loopwright.circuit.targets import Asked, Target
from loopwright.errors import FaultyMaterial
from loopwright.expressions.writers import plain
from loopwright.solve.asked import value_of
from loopwright.solve.exact import solve
from loopwright.solve.ranking import RankedPair, Ranking, rank
from tests.proofs.test_random_circuits import posed
from tests.random_workings import value_of as number_of
from tests.sample_circuits import circuit_of

DIVIDED = '[branches]\nI1 = "b, +E, R1, a"\nI2 = "a, R2, b"\nI3 = "a, R3, b"\n'
NUMBERS = '[numbers]\nE = "12 V"\nR1 = "2 ohm"\nR2 = "6 ohm"\nR3 = "3 ohm"\n'


def ranked(text: str, circuit: Circuit) -> Ranking:
    return rank(solve(circuit), ranking(text, circuit))


def names(found: Ranking) -> list[list[str]]:
    return [[target.as_text() for target in group] for group in found.order]


def test_the_current_of_the_source_is_the_greatest_whatever_the_values() -> None:
    found = ranked("rank I2, I1", circuit_of(DIVIDED))
    assert names(found) == [["I1"], ["I2"]]
    assert found.pairs[0].sign == 1
    assert not found.in_numbers


def test_where_the_values_decide_the_condition_is_told_for_every_two() -> None:
    found = ranked("rank P(R2), P(R3)", circuit_of(DIVIDED))
    assert found.order == ()
    condition = found.pairs[0].condition
    assert condition is not None
    assert plain.render(condition) == "R3 > R2"


def test_numbers_settle_the_order_and_the_condition_stays() -> None:
    found = ranked("rank P(R1), P(R2) and P(R3)", circuit_of(DIVIDED + NUMBERS))
    assert names(found) == [["P(R1)"], ["P(R3)"], ["P(R2)"]]
    assert found.in_numbers
    assert [pair.here for pair in found.pairs] == [1, 1]
    assert [pair.settled for pair in found.pairs] == [False, False]


def test_what_equal_parts_share_is_equal_for_all_values() -> None:
    equal = DIVIDED + '[elements]\nR2 = "R"\nR3 = "R"\n'
    found = ranked("rank I1, I2, I3", circuit_of(equal))
    assert names(found) == [["I1"], ["I2", "I3"]]
    assert found.pairs[-1].equal


def test_currents_are_ranked_by_size_whichever_way_they_run() -> None:
    turned = DIVIDED.replace('I1 = "b, +E, R1, a"', 'I1 = "a, -E, R1, b"')
    found = ranked("rank I1, I2", circuit_of(turned))
    assert names(found) == [["I1"], ["I2"]]


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("rank P(R1)", "file/ranking-of-one"),
        ("rank I1, P(R1)", "file/ranking-of-unlike"),
        ("rank P(R1), P(R9)", "file/unknown-target"),
    ],
)
def test_what_cannot_be_put_in_order_is_told(text: str, code: str) -> None:
    with pytest.raises(FaultyMaterial) as caught:
        ranking(text, circuit_of(DIVIDED))
    assert [f.code for f in caught.value.findings] == [code]


def holds(pair: RankedPair, at: dict[str, Fraction], values: dict[Target, Fraction]) -> bool:
    """Whether what is said of a pair is so at these numbers."""
    by_size = pair.first.kind is Asked.CURRENT
    one, other = (abs(v) if by_size else v for v in (values[pair.first], values[pair.second]))
    if pair.equal:
        return one == other
    if pair.sign:
        return (
            one == other if one == other and pair.touching is not None else (one > other) == (pair.sign > 0)
        )
    assert pair.condition is not None
    greater = number_of(pair.condition.left, at) > number_of(pair.condition.right, at)
    return (one > other) == greater or one == other


@pytest.mark.parametrize("seed", range(12))
def test_what_is_said_of_two_quantities_is_so_at_random_numbers(seed: int) -> None:
    solution = posed(seed)
    circuit = solution.circuit
    chance = random.Random(seed)
    resistors = [n for n, e in circuit.elements.items() if e.kind == "resistor"][:3]
    asked = [Target(Asked.CURRENT, (n,)) for n in circuit.currents[:3]]
    heats = [Target(Asked.POWER, (n,)) for n in resistors]
    for group in (asked, heats):
        if len(group) < 2:
            continue
        exact = {each: value_of(solution, each) for each in group}
        pairs = [rank(solution, two).pairs[0] for two in combinations(group, 2)]
        for _ in range(20):
            at = {n: Fraction(chance.randint(1, 60), chance.randint(1, 9)) for n in circuit.symbols}
            values = {each: value.value(at) for each, value in exact.items()}
            assert [pair for pair in pairs if not holds(pair, at, values)] == []
