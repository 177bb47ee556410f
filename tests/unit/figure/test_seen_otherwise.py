"""Figures mirrored and turned: the same drawing seen otherwise, and the meshes that are told of it."""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.embedding import meshes
from loopwright.circuit.page_wishes import FIGURES
from loopwright.figure.figure import draw, where
from loopwright.figure.placement import Cell
from loopwright.problem.problem_file import read_text, written
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, LADDER, circuit_of

PLACED = CHARGE_OR_HELP + "[places]\nrail = [0, 0]\nbus = [0, 2]\n"
SAMPLES = (CHARGE_OR_HELP, LADDER, BRIDGE, PLACED)


def seen(circuit: Circuit, figure: str) -> Circuit:
    return replace(circuit, page=replace(circuit.page, figure=figure))


@pytest.mark.parametrize("figure", ["", *FIGURES])
@pytest.mark.parametrize("text", SAMPLES, ids=("bus", "ladder", "bridge", "placed"))
def test_meshes_run_clockwise_in_the_figure_as_it_stands(text: str, figure: str) -> None:
    circuit = seen(circuit_of(text), figure)
    found = where(circuit)
    assert draw(circuit).marks
    assert meshes(circuit)
    for mesh in meshes(circuit):
        ring: list[Cell] = []
        for name, sense in mesh:
            ring += found.routes[name][::sense]
        # The area of a polygon (C. F. Gauss's shoelace formula); rows count downwards.
        assert sum(x1 * y2 - x2 * y1 for (x1, y1), (x2, y2) in pairwise([*ring, ring[0]])) > 0


@pytest.mark.parametrize("text", SAMPLES, ids=("bus", "ladder", "bridge", "placed"))
def test_left_and_right_are_exchanged_then_all_is_turned(text: str) -> None:
    circuit = circuit_of(text)
    plain, both = where(circuit), where(seen(circuit, "mirrored and turned"))
    assert (both.columns, both.rows) == (plain.rows, plain.columns)
    for name, path in plain.routes.items():
        mirrored = [(plain.columns - 1 - c, r) for c, r in path]
        assert both.routes[name] == tuple((plain.rows - 1 - r, c) for c, r in mirrored)


def test_how_a_figure_stands_is_written_and_read() -> None:
    circuit = seen(circuit_of(PLACED), "mirrored and turned")
    again, _ = read_text(written(circuit))
    assert again == circuit
