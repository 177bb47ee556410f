"""A curve as a table of points."""

from __future__ import annotations

import csv
from fractions import Fraction

import pytest

from loopwright.plots.points_table import written
from tests.unit.plots.made_plots import CURVES, all_curves, curve_plot


def rows(text: str) -> list[list[str]]:
    return list(csv.reader(text.splitlines()))


def test_the_head_names_quantities_and_units() -> None:
    text = curve_plot(*CURVES[0]).csv()
    assert text.startswith("Rh/Ω,P(Rh)/W,point\r\n")
    assert rows(curve_plot(*CURVES[3]).csv())[0] == ["Rh/Ω", "Ih/Ib", "point"]


def test_the_ends_are_the_limits_and_points_bear_their_names() -> None:
    found = rows(curve_plot(*CURVES[1]).csv())
    assert found[1] == ["0", "-6", "limit"]
    assert found[-1] == ["inf", "0.714285714", "limit"]
    assert ["14.4", "0", "reversal"] in found
    assert ["5", "-1", "own value"] in found


def test_an_end_without_bound_has_its_sign_and_a_pole_no_result() -> None:
    assert rows(curve_plot(*CURVES[6]).csv())[-1] == ["inf", "-inf", "limit"]
    assert ["14.4", "", "no bound"] in rows(curve_plot(*CURVES[3]).csv())


@pytest.mark.parametrize("plot", all_curves(), ids=lambda plot: plot.asked.as_text())
def test_every_row_is_the_closed_form_worked_there_in_rising_order(plot) -> None:  # type: ignore[no-untyped-def]
    found = [row for row in rows(plot.csv())[2:-1] if row[1]]
    values = [float(row[0]) for row in found]
    assert values == sorted(values)
    assert len(values) > 8
    for value, result, name in found:
        if not name:
            assert result == written(plot.paper.data.result(Fraction(value)))


def test_numbers_are_written_without_losing_figures() -> None:
    assert [written(Fraction(v)) for v in ("1/3", "1200", "-1/8")] == ["0.333333333", "1200", "-0.125"]
    assert float(written(Fraction(1, 3 * 10**20))) == pytest.approx(1 / 3e20, rel=1e-8)
