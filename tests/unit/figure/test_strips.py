"""Room for a curved arrow between a dashed line and the wire across: made there and nowhere else."""

from itertools import pairwise
from pathlib import Path

import pytest

from loopwright.figure.compose import Composed, composed
from loopwright.figure.figure import where
from loopwright.figure.loop_marks import LEAST_RADIUS, LoopLine, strips
from loopwright.figure.placement import GridPath
from loopwright.graph.lines import Loop
from loopwright.methods.methods import derive
from loopwright.problem.problem_file import read

EXAMPLES = Path(__file__).parents[3] / "examples"
WHOLE: GridPath = ((0, 0), (2, 0), (2, 1), (0, 1))  # round two meshes side by side, clockwise as seen
LEFT: GridPath = ((0, 0), (1, 0), (1, 1), (0, 1))
BELOW: GridPath = ((0, 1), (2, 1), (2, 2), (0, 2))


def composed_with(stem: str, loops: tuple[Loop, ...]) -> Composed:
    circuit = read(EXAMPLES / f"{stem}.toml")
    names = [f"({k})" for k in range(1, len(loops) + 1)]
    return composed(circuit, where(circuit), loops, names, "iec", values=True)


def test_mesh_with_a_dashed_line_inside_asks_for_room_beside_it() -> None:
    columns, rows = strips([LoopLine(WHOLE, "(1)", True), LoopLine(LEFT, "(2)", False)])
    assert list(columns) == list(rows) == [(0, 1)]  # one line inside in the one direction, two in the other
    assert 2 * LEAST_RADIUS < columns[0, 1] < rows[0, 1]


@pytest.mark.parametrize("whole", [WHOLE, WHOLE[::-1]])
@pytest.mark.parametrize("mesh", [LEFT, LEFT[::-1], (*LEFT[2:], *LEFT[:2])])
def test_sense_of_travel_makes_no_difference_to_the_room(whole: GridPath, mesh: GridPath) -> None:
    usual = strips([LoopLine(WHOLE, "(1)", True), LoopLine(LEFT, "(2)", False)])
    assert strips([LoopLine(whole, "(1)", True), LoopLine(mesh, "(2)", False)]) == usual


def test_dashed_line_on_the_other_side_of_a_wire_asks_for_nothing() -> None:
    assert strips([LoopLine(WHOLE, "(1)", True), LoopLine(BELOW, "(2)", False)]) == ({}, {})


def test_longer_name_asks_for_more_room() -> None:
    short, long = (
        strips([LoopLine(WHOLE, "(1)", True), LoopLine(LEFT, name, False)])[0][0, 1]
        for name in ("(2)", "(222)")
    )
    assert short < long


@pytest.mark.parametrize("stem", ["bridge", "tide-gauge-bridge"])
def test_no_distance_but_that_beside_a_dashed_line_is_stretched(stem: str) -> None:
    loops = tuple(law.loop for law in derive(read(EXAMPLES / f"{stem}.toml")).laws if law.loop)
    found, bare = composed_with(stem, loops), composed_with(stem, ())
    for marked, plain in ((found.xs, bare.xs), (found.ys, bare.ys)):
        wider = [(b - a) - (d - c) for (a, b), (c, d) in zip(pairwise(marked), pairwise(plain), strict=True)]
        assert max(wider) <= 2.0
        assert any(abs(more) < 1e-9 for more in wider)
