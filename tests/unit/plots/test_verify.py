"""Each check of plots fails when what it is about is made wrong, and no other need notice."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.algebra.real_roots import PositiveRoot, known
from loopwright.plots.curves import CurveData, CurveEnd, CurvePoint, PointName
from loopwright.plots.verify import curve_entries
from loopwright.solve.exact import solve
from tests.unit.plots.made_plots import CURVES, all_curves, curve_plot

POWER, CURRENT, DIFFERENCE = (curve_plot(*CURVES[n]).paper.data for n in (0, 1, 4))
CODES = ["plots/forms", "plots/own-value", "plots/limits", "plots/zeros", "plots/extremes"]


def failed(curve: CurveData) -> list[str]:
    return [e.code for e in curve_entries(solve(curve.circuit), [curve]) if e.passed is False]


@pytest.mark.parametrize("plot", all_curves(), ids=lambda plot: plot.asked.as_text())
def test_true_curves_pass_every_check(plot) -> None:  # type: ignore[no-untyped-def]
    entries = curve_entries(solve(plot.circuit), [plot.paper.data])
    assert [e.code for e in entries] == CODES
    assert all(e.passed for e in entries)


def with_points(curve: CurveData, change: Callable[[CurvePoint], CurvePoint | None]) -> CurveData:
    return replace(curve, points=tuple(new for p in curve.points if (new := change(p)) is not None))


def moved(point: CurvePoint) -> CurvePoint:
    at = known(point.at.near + Fraction(1, 1000))
    root = None if point.root is None else PositiveRoot(at, point.root.factor, point.root.times)
    return replace(point, at=at, root=root)


def test_a_limit_that_is_wrong_is_caught_at_either_end() -> None:
    first, last = CURRENT.ends
    assert failed(replace(CURRENT, ends=(CurveEnd(Fraction(6)), last))) == ["plots/limits"]
    assert failed(replace(CURRENT, ends=(first, CurveEnd(None, 1)))) == ["plots/limits"]


def test_a_result_at_the_number_given_that_is_wrong_is_caught() -> None:
    wrong = with_points(
        CURRENT, lambda p: replace(p, result=known(Fraction(1))) if p.name is PointName.OWN else p
    )
    assert failed(wrong) == ["plots/own-value"]


@pytest.mark.parametrize("curve", [CURRENT, DIFFERENCE], ids=["fraction", "square root"])
def test_a_reversal_that_is_moved_or_missing_is_caught(curve: CurveData) -> None:
    turned = PointName.REVERSAL
    assert failed(with_points(curve, lambda p: moved(p) if p.name is turned else p)) == ["plots/zeros"]
    assert "plots/zeros" in failed(with_points(curve, lambda p: None if p.name is turned else p))


def test_an_extreme_that_is_moved_missing_or_called_its_opposite_is_caught() -> None:
    top = PointName.GREATEST
    changes: list[Callable[[CurvePoint], CurvePoint | None]] = [
        lambda p: moved(p) if p.name is top else p,
        lambda p: None if p.name is top else p,
        lambda p: replace(p, name=PointName.LEAST) if p.name is top else p,
        lambda p: replace(p, result=known(Fraction(59))) if p.name is top else p,
    ]
    for change in changes:
        assert failed(with_points(POWER, change)) == ["plots/extremes"]


def test_another_form_is_caught() -> None:
    assert "plots/forms" in failed(replace(CURRENT, form=CURRENT.form * 2))
