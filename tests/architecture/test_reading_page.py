"""The page on reading tells every verdict and every sense of truth, and counts rightly."""

from itertools import combinations
from math import comb
from pathlib import Path

import pytest

from loopwright.laws.laws import laws
from loopwright.laws.loops import are_independent
from loopwright.reading.verdicts import ClaimKind, Truth
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, circuit_of

PAGE = (Path(__file__).parents[2] / "docs/reading.md").read_text("utf-8")


@pytest.mark.parametrize("word", [*ClaimKind, *(t for t in Truth if t is not Truth.NO)])
def test_every_verdict_and_sense_has_its_row(word: str) -> None:
    assert f"\n| {word} |" in PAGE


@pytest.mark.parametrize(
    ("text", "told"), [(CHARGE_OR_HELP, "have 192\ncorrect sets"), (BRIDGE, "has 59,392.")]
)
def test_so_many_sets_of_equations_are_right(text: str, told: str) -> None:
    """Arrows either way, junctions but one, independent loops, each in either sense."""
    known = laws(circuit_of(text))
    size, loops = known.loops_needed, [law.loop for law in known.every_loop]
    sets = sum(are_independent(chosen) for chosen in combinations(loops, size))
    junctions = comb(len(known.junctions), len(known.junctions) - 1)
    count = 2 ** len(known.circuit.branches) * junctions * sets * 2**size
    assert f"{count:,}" in told
    assert told in PAGE
