"""A map as it is drawn: its labels, its boundaries, its hatching."""

from __future__ import annotations

import csv
from fractions import Fraction

import pytest

from loopwright.figure.drawing import Label, Stroke
from loopwright.plots.map_picture import boundary_lines
from tests.unit.plots.test_curve_picture import box, texts
from tests.unit.plots.test_sign_map import MAPS, mapped

DRAWN = [mapped(f"sign of {m[0]} over {m[1]}, {m[2]}") for m in MAPS]


def test_regions_are_labelled_with_the_way_a_current_runs() -> None:
    assert {"Ib runs bus to rail", "Ib runs rail to bus"} <= set(texts(DRAWN[0].drawing))


def test_both_scales_bear_their_ends_and_the_numbers_given() -> None:
    found = texts(DRAWN[0].drawing)
    assert {"R1", "Rh", "4.00 Ω", "5.00 Ω"} <= set(found)
    assert found.count("0") == found.count("∞") == 2


@pytest.mark.parametrize("plot", DRAWN, ids=lambda plot: plot.asked.as_text())
def test_no_label_lies_on_another_or_off_the_page(plot) -> None:  # type: ignore[no-untyped-def]
    drawing = plot.drawing
    labels = [box(m) for m in drawing.marks if isinstance(m, Label)]
    assert all(a >= 0 and b >= 0 and c <= drawing.width and d <= drawing.height for a, b, c, d in labels)
    for k, one in enumerate(labels):
        for other in labels[k + 1 :]:
            assert one[2] <= other[0] or other[2] <= one[0] or one[3] <= other[1] or other[3] <= one[1]


@pytest.mark.parametrize("plot", DRAWN, ids=lambda plot: plot.asked.as_text())
def test_boundaries_are_drawn_where_the_quantity_is_zero_or_unbounded(plot) -> None:  # type: ignore[no-untyped-def]
    found = plot.found
    for boundary in found.boundaries:
        for line in boundary_lines(found, boundary):
            for point in line:
                if all(0.01 < share < 0.99 for share in point):
                    beside = [
                        boundary.polynomial.value(
                            {
                                name: scale.value(Fraction(share) * (1 + side * Fraction(1, 1000)))
                                for name, scale, share, side in zip(
                                    found.asked.over, found.scales, point, sides, strict=True
                                )
                            }
                        )
                        for sides in ((1, -1), (-1, 1), (1, 1), (-1, -1))
                    ]
                    assert min(beside) <= 0 <= max(beside)


def test_only_where_it_is_negative_is_a_map_hatched() -> None:
    hatching = [m for m in DRAWN[0].drawing.marks if isinstance(m, Stroke) and m.weight == 0.12]
    assert hatching
    assert not [m for m in DRAWN[3].drawing.marks if isinstance(m, Stroke) and m.weight == 0.12]


def test_points_of_the_boundary_are_a_table_with_units() -> None:
    rows = list(csv.reader(DRAWN[0].csv().splitlines()))
    assert rows[0] == ["R1/Ω", "Rh/Ω", "line"]
    between = [(float(a), float(b)) for a, b, _ in rows[1:] if float(b) > 0 and a != "inf" and b != "inf"]
    assert len(between) > 4
    assert all(b == pytest.approx(18 * a / 5, rel=1e-4) for a, b in between)
