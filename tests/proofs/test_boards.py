"""Lectures on every example by every method: one change a stage, all that is written is said, and heard as
the same algebra by an evaluation of our own in `tests/lectures`."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from loopwright.board.plan import board
from loopwright.board.stage import LectureAct, Plan
from loopwright.circuit.board_wishes import MINUTES
from loopwright.circuit.circuit import Circuit
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


def loops_of(circuit: Circuit) -> int:
    """How many independent loops a circuit has that is in one piece."""
    ends = [end for branch in circuit.branches for end in (branch.start, branch.end)]
    return len(circuit.branches) - len({*ends}) + 1


FEW_LOOPS = [path for path in EXAMPLES if loops_of(read(path)) <= 2]


@pytest.mark.slow
@pytest.mark.parametrize("path", FEW_LOOPS, ids=lambda path: path.stem)
def test_a_lecture_on_two_loops_at_most_fits_ten_minutes(path: Path) -> None:
    plan = board(read(path))
    assert plan.seconds <= 60 * MINUTES == 600
    assert more_than_one(plan) == []
    assert {stage.act for stage in plan.stages} >= {
        LectureAct.EQUATIONS,
        LectureAct.WORKING,
        LectureAct.LIMITS,
    }
