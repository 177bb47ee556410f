"""Symbols of elements as strokes."""

from __future__ import annotations

import pytest

from loopwright.circuit.circuit import battery
from loopwright.circuit.elements import Element, Kind
from loopwright.expressions.nodes import Symbol
from loopwright.figure.drawing import Stroke
from loopwright.figure.symbols import Axes, symbol_of

UPRIGHT = Axes((0.0, 0.0), (0.0, -1.0), (1.0, 0.0))


def strokes(element: Element, sign: int = 0) -> list[Stroke]:
    return [mark for mark in symbol_of(element, sign).marks(UPRIGHT) if isinstance(mark, Stroke)]


@pytest.mark.parametrize("sign", [1, -1])
def test_a_cross_stands_at_the_plus_terminal(sign: int) -> None:
    """Two strokes of one length that cross in the middle, on the side of the long plate."""
    long, short, level, upright = strokes(battery("E1"), sign)
    sizes = [
        abs(b[0] - a[0]) + abs(b[1] - a[1]) for a, b in ((s.points[0], s.points[1]) for s in (level, upright))
    ]
    assert sizes[0] == pytest.approx(sizes[1])
    assert sizes[0] > 1.0
    assert level.points[0][1] == level.points[1][1]
    assert upright.points[0][0] == upright.points[1][0]
    centre = (level.points[0][0] + level.points[1][0]) / 2, level.points[0][1]
    assert abs(centre[1] - long.points[0][1]) < abs(centre[1] - short.points[0][1])


def test_a_capacitor_has_two_equal_plates_and_a_coil_four_turns() -> None:
    plates = strokes(Element("C1", Kind.CAPACITOR, Symbol("C1")))
    assert len(plates) == 2
    lengths = {round(abs(s.points[0][0] - s.points[1][0]), 6) for s in plates}
    assert len(lengths) == 1
    (coil,) = strokes(Element("L1", Kind.COIL, Symbol("L1")))
    on_wire = [x for x, y in coil.points if abs(x) < 1e-6]
    assert len(on_wire) == 5
