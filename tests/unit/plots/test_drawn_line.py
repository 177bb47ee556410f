"""The drawn line against the exact curve, point by point."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import pytest

from loopwright.plots.curve_picture import TALL, WITHIN
from tests.unit.plots.made_plots import CURVES, curve_plot


@pytest.mark.parametrize(("circuit", "request_text"), CURVES, ids=[text for _, text in CURVES])
def test_the_drawn_line_is_nowhere_further_from_the_exact_curve_than_stated(
    circuit: str, request_text: str
) -> None:
    paper = curve_plot(circuit, request_text).paper
    low, high = paper.frame
    worst = Fraction(0)
    for line in paper.lines:
        for (t1, y1), (t2, y2) in pairwise(line):
            for k in range(1, 16):
                t = t1 + (t2 - t1) * k / 16
                exact = paper.data.result(paper.scale.value(t))
                worst = max(worst, abs(y1 + (y2 - y1) * k / 16 - exact))
    assert 0 < float(worst / (high - low)) * TALL <= WITHIN


def test_points_with_a_name_are_points_of_the_line() -> None:
    paper = curve_plot(*CURVES[0]).paper
    drawn = {float(t) for line in paper.lines for t, _ in line}
    assert {paper.scale.share(p.at.near) for p in paper.data.points} <= drawn


def test_a_curve_without_bound_is_broken_at_its_pole_and_stays_in_the_frame() -> None:
    paper = curve_plot(*CURVES[3]).paper
    low, high = paper.frame
    first, second = paper.lines
    pole = paper.scale.share(paper.data.poles[0].at.near)
    assert float(first[-1][0]) < pole < float(second[0][0])
    assert all(low <= y <= high for y in (first[-1][1], second[0][1]) for y in (round(y, 9),))
    assert abs(float(first[-1][1] - low)) < 1e-9
    assert abs(float(second[0][1] - high)) < 1e-9
