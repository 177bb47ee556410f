"""What is known of a figure before it is put together is never more than what comes out."""

from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.embedding import meshes
from loopwright.figure.crowding import Board, Crowding, Overlay
from loopwright.figure.figure import where
from loopwright.figure.loop_marks import beside_dashed, least_hidden, loop_lines
from loopwright.figure.slots import legs_of
from loopwright.figure.spacing import ends
from loopwright.graph.lines import Loop
from loopwright.graph.loops import simple_loops
from loopwright.problem.problem_file import read
from tests.strategies import circuits

EXAMPLES = sorted((Path(__file__).parents[3] / "examples").glob("*.toml"))
STRETCHES = list(product((14.0, 19.0, 31.0), repeat=2))


def keeps_its_bounds(circuit: Circuit, loops: tuple[Loop, ...]) -> int:
    """Asserts both bounds at several distances; the number of figures with a dashed line among them."""
    placement = where(circuit)
    legs = legs_of(circuit, placement, resistors="iec", values=True)
    lines = loop_lines(circuit, placement, loops, [str(k) for k in range(len(loops))])
    crowding, clear = Crowding(circuit, placement, legs, Overlay(lines)), ends(legs)
    dashed = 0
    for across, down in STRETCHES:
        xs, ys = ([gap * k for k in range(20)] for gap in (across, down))
        found = crowding.tried(legs, clear, xs, ys, float("inf"))
        assert found is not None
        assert crowding.least_width(legs, clear, xs, range(20)) <= found.width
        if len(found.loops.dashed) == sum(line.round_several for line in lines[:2]) > 0:
            board = Board(crowding, legs, clear, xs, ys)
            boxes = [board.on(some) for some in beside_dashed(lines, legs)]
            assert least_hidden(lines, board.at, boxes) <= found.hidden + 1e-9
            dashed += 1
    return dashed


def two_loops(circuit: Circuit) -> tuple[Loop, ...]:
    """A mesh, and the longest loop."""
    longest = sorted(simple_loops(circuit.branches), key=len)[-1:]
    return (*meshes(circuit)[:1], *longest)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_bounds_hold_for_examples(path: Path) -> None:
    circuit = read(path)
    keeps_its_bounds(circuit, two_loops(circuit))


@given(circuits(loops=3, points=4), st.data())
@settings(max_examples=40)
def test_bounds_hold_for_random_circuits(circuit: Circuit, data: st.DataObject) -> None:
    every = list(simple_loops(circuit.branches))
    keeps_its_bounds(circuit, tuple(data.draw(st.permutations(every))[:2]))


def test_bridge_has_its_dashed_line_measured() -> None:
    circuit = next(read(path) for path in EXAMPLES if path.stem == "bridge")
    assert keeps_its_bounds(circuit, two_loops(circuit)) > 0
