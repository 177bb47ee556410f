"""A curve as it is drawn: its labels, its marks, its room."""

from __future__ import annotations

import re

import pytest

from loopwright.figure.drawing import Drawing, Label, Round, Stroke
from loopwright.figure.lettering import width_of
from tests.unit.plots.made_plots import CURVES, all_curves, curve_plot


def texts(drawing: Drawing) -> list[str]:
    return ["".join(run.text for run in m.runs) for m in drawing.marks if isinstance(m, Label)]


def box(label: Label) -> tuple[float, float, float, float]:
    wide = width_of(label)
    left = label.at[0] - {"start": 0.0, "middle": 0.5, "end": 1.0}[label.anchor] * wide
    return left, label.at[1] - label.size / 2, left + wide, label.at[1] + label.size / 2


def test_limits_the_number_given_and_the_greatest_are_labelled_from_the_closed_form() -> None:
    found = texts(curve_plot(*CURVES[0]).drawing)
    assert {"0", "∞", "59.2 W", "45.0 W", "1.71 Ω", "5.00 Ω", "P(Rh)", "Rh"} <= set(found)


def test_the_limit_at_infinity_and_the_reversal_are_labelled() -> None:
    found = texts(curve_plot(*CURVES[1]).drawing)
    assert {"714 mA", "−6.00 A", "14.4 Ω", "−1.00 A"} <= set(found)


def test_the_number_given_is_a_filled_dot_and_other_points_are_rings() -> None:
    rounds = [m.filled for m in curve_plot(*CURVES[0]).drawing.marks if isinstance(m, Round)]
    assert sorted(rounds) == [False, True]


def test_a_pole_is_a_dashed_line_up_and_down() -> None:
    plot = curve_plot(*CURVES[3])
    x = plot.paper.x(plot.paper.scale.share(plot.paper.data.poles[0].at.near))
    dashed = [m for m in plot.drawing.marks if isinstance(m, Stroke) and m.dash and len(m.points) == 2]
    assert any(m.points[0][0] == m.points[1][0] == x for m in dashed)
    assert not any(isinstance(m, Round) and m.centre[0] == x for m in plot.drawing.marks)


@pytest.mark.parametrize("plot", all_curves(), ids=lambda plot: plot.asked.as_text())
def test_all_marks_lie_on_the_page_and_no_label_on_another(plot) -> None:  # type: ignore[no-untyped-def]
    drawing = plot.drawing
    labels = [box(m) for m in drawing.marks if isinstance(m, Label)]
    strokes = [p for m in drawing.marks if isinstance(m, Stroke) for p in m.points]
    assert all(0 <= x <= drawing.width and 0 <= y <= drawing.height for x, y in strokes)
    assert all(a >= 0 and b >= 0 and c <= drawing.width and d <= drawing.height for a, b, c, d in labels)
    for k, one in enumerate(labels):
        for other in labels[k + 1 :]:
            apart = one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]
            assert apart, (one, other)


def test_the_drawing_has_words_and_no_styles_of_its_own() -> None:
    svg = curve_plot(*CURVES[0]).svg()
    assert "<title>P(Rh) against Rh</title>" in svg
    assert "P(Rh) is greatest at Rh = 12/7 Ω" in svg
    assert re.search(r"\sstyle=|<style|<script", svg) is None


def test_the_same_plot_gives_the_same_bytes() -> None:
    assert curve_plot(*CURVES[4]).svg() == curve_plot(*CURVES[4]).svg()
