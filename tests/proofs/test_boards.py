"""Lectures on every example by every method: one change a stage, all that is written is said, and heard as
the same algebra by an evaluation of our own in `tests/lectures`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loopwright.board.plan import board
from loopwright.board.stage import Plan
from loopwright.circuit.board_wishes import MINUTES
from loopwright.methods.methods import METHODS
from loopwright.problem.problem_file import read
from tests.lectures import misheard, more_than_one, unsaid

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))


def lectures() -> Iterator[tuple[str, Plan]]:
    """Every example by every method that serves it, nothing left out; what goes its own way as it does."""
    for path in EXAMPLES:
        circuit = read(path)
        if circuit.ladder is not None or circuit.storages:
            yield path.stem, board(circuit, minutes=0)
            continue
        for method in METHODS:
            if not method.why_not(circuit):
                yield f"{path.stem} by {method.name}", board(circuit, methods=[method.name], minutes=0)


@pytest.mark.slow
def test_every_lecture_changes_one_thing_a_stage_and_says_all_that_it_writes() -> None:
    troubles: list[str] = []
    examples: set[str] = set()
    methods: set[str] = set()
    formulas = 0
    for name, plan in lectures():
        wrong, count = misheard(plan)
        troubles += [f"{name}: {trouble}" for trouble in (*more_than_one(plan), *unsaid(plan), *wrong)]
        formulas += count
        examples.add(name.split(" by ")[0])
        methods |= {*plan.methods}
    assert troubles == []
    assert examples == {path.stem for path in EXAMPLES}
    assert methods == {method.name for method in METHODS}
    assert formulas > 4000


@pytest.mark.slow
@pytest.mark.parametrize("name", ["charge-or-help", "harbour-light"])
def test_a_lecture_on_two_loops_fits_ten_minutes_also_where_it_is_told_from_its_sheet(name: str) -> None:
    plan = board(read(next(path for path in EXAMPLES if path.stem == name)))
    assert plan.seconds <= 60 * MINUTES
    assert more_than_one(plan) == []
