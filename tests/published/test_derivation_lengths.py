"""Derivations in numbers take no more lines than a textbook, or one more.

The worked solutions were not at hand line by line: the counts are from memory of the sections named, one for
each equation that stands on a line of its own (laws, resistances made one, voltages on the way, results).
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.derive.steps import Move
from loopwright.methods.methods import derive, derive_in_numbers
from tests.published.fact_circuits import build, facts_of

FACTS = facts_of("published.json")
SERIES_PARALLEL = {
    # University Physics 2, Example 10.4: R2 with R3, the whole, I, the drop, what is left, I2
    "up-wire-drop": 6,
    # University Physics 2, sec. 10.2: two combinations, the whole, I1, V1, V2, I2, I3
    "up-four-resistors": 8,
    # University Physics 2, Example 10.3: the whole, I and three currents
    "up-parallel-three": 5,
    # Lessons In Electric Circuits I, ch. 7: two combinations, the whole, I, two voltages, four currents
    "kuphaldt-series-parallel-24": 10,
}
SEVERAL_LOOPS = {
    # University Physics 2, sec. 10.3: three laws, the loops in numbers, one combination, three results
    "up-two-source-24-29": 9,
    # College Physics 2e, Example 21.5: three laws, two in numbers, two solved, one put in, two results more
    "cp-21-5": 10,
    # Lessons In Electric Circuits I, ch. 10 (branch currents): three laws, two regrouped, three results
    "kuphaldt-28-7": 8,
    # Lessons In Electric Circuits I, ch. 10 (meshes): three loops, three in standard form, three results, six
    # currents of branches
    "kuphaldt-bridge-24": 15,
}
TABLE = {**SERIES_PARALLEL, **SEVERAL_LOOPS}


@pytest.mark.parametrize("name", TABLE)
def test_a_derivation_is_at_most_one_line_longer_than_the_book(name: str) -> None:
    derivation = derive_in_numbers(build(FACTS[name], "as chains").circuit)
    assert derivation is not None
    lines = sum(1 + len(step.apart) for step in derivation.steps)
    assert lines <= TABLE[name] + 1


@pytest.mark.parametrize("name", SERIES_PARALLEL)
def test_series_parallel_circuits_take_four_lines_or_one_for_each_combination_and_current(name: str) -> None:
    circuit = build(FACTS[name], "as chains").circuit
    derivation = derive(circuit)
    made = sum(step.move is Move.MAKE_ONE for step in derivation.steps)
    assert derivation.written_lines == made + len(circuit.currents)
    assert len(circuit.currents) > 4 or derivation.written_lines <= 4
    assert replace(derivation, steps=()).laws == ()
