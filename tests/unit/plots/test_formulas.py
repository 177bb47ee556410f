"""Where a curve turns over or is greatest, in all symbols."""

from __future__ import annotations

from loopwright.expressions.tidy import tidy
from loopwright.expressions.writers import plain
from loopwright.plots.curves import PointName
from loopwright.plots.formulas import formula_at
from loopwright.solve.exact import solve
from tests.unit.plots.made_plots import CURVES, curve_plot


def told(which: int) -> dict[PointName, str]:
    data = curve_plot(*CURVES[which]).paper.data
    found = {p.name: formula_at(solve(data.circuit), data, p) for p in data.points}
    return {name: plain.render(tidy(form)) for name, form in found.items() if form is not None}


def test_a_reversal_is_a_formula_in_the_other_symbols() -> None:
    assert told(1) == {PointName.REVERSAL: "E2 R1/(E1 − E2)"}


def test_the_load_of_greatest_power_is_the_resistance_it_sees() -> None:
    assert told(0) == {PointName.GREATEST: "R1 R2/(R1 + R2)"}


def test_a_zero_at_a_square_root_has_none() -> None:
    assert PointName.REVERSAL not in told(4)
