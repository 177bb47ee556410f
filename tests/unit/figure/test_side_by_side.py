"""Drawings in a row: nothing lies on anything else, and each keeps its size."""

from __future__ import annotations

from loopwright.figure.drawing import Drawing, Label, Stroke
from loopwright.figure.side_by_side import side_by_side

ONE = Drawing(30.0, 20.0, (Stroke(((0.0, 0.0), (30.0, 20.0))),))
OTHER = Drawing(40.0, 10.0, (Stroke(((0.0, 0.0), (40.0, 10.0))),))


def test_the_second_stands_to_the_right_of_the_first_and_both_below_their_names() -> None:
    both = side_by_side((ONE, OTHER), ("Just after", "Long after"))
    first, second = (mark for mark in both.marks if isinstance(mark, Stroke))
    assert max(x for x, _ in first.points) < min(x for x, _ in second.points)
    assert second.points[1][0] - second.points[0][0] == 40.0
    names = [mark for mark in both.marks if isinstance(mark, Label)]
    assert all(name.at[1] < min(y for _, y in first.points) for name in names)
    assert both.height >= max(y for _, y in first.points)
    assert both.width == max(x for x, _ in second.points)


def test_without_names_no_room_is_kept_for_them() -> None:
    assert side_by_side((ONE,), ("",)).height == ONE.height
