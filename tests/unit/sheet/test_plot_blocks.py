"""Plots on a sheet: in which editions, in every writer, and nothing published that a check refutes."""

from __future__ import annotations

from dataclasses import replace

import pytest

from loopwright.errors import BrokenPromise
from loopwright.plots.plot import CurvePlot
from loopwright.sheet import build, plot_blocks
from loopwright.sheet.build import FullSheet, sheet
from loopwright.sheet.document import DisplayedLine, Heading, Picture
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

PLOTTED = (
    'plots = ["P(Rh) against Rh", "Ib against Rh", "sign of Ib over R1, Rh"]\n' + CHARGE_OR_HELP_IN_NUMBERS
)
CHECKS = ["forms", "own-value", "limits", "zeros", "extremes", "regions", "boundaries"]


def full(text: str = PLOTTED, edition: str = "") -> FullSheet:
    worked = sheet(circuit_of(text), edition=edition)
    assert isinstance(worked, FullSheet)
    return worked


@pytest.mark.parametrize("edition", ["solution", "instructor"])
def test_plots_stand_in_the_solution_and_the_instructors_sheet(edition: str) -> None:
    worked = full(edition=edition)
    captions = [b.caption for b in worked.document.blocks if isinstance(b, Picture)]
    assert captions[-3:] == ["P(Rh) against Rh", "Ib against Rh", "sign of Ib over R1, Rh"]
    codes = [e.code for e in worked.ledger.entries if e.code.startswith("plots/")]
    assert codes == [f"plots/{check}" for check in CHECKS]
    assert worked.ledger.passed


def test_a_problem_edition_says_nothing_of_them() -> None:
    text = sheet(circuit_of(PLOTTED), edition="problem").markdown()
    assert "Plots" not in text
    assert "against Rh" not in text
    assert "greatest" not in text


def test_points_with_a_name_are_lines_with_their_formula() -> None:
    lines = full().markdown().replace(r"\mathrm{h}", "h")
    assert r"R_{h} = \frac{R_{1} \, R_{2}}{R_{1} + R_{2}} = \frac{12}{7}\,\mathrm{\Omega} \approx" in lines
    assert r"R_{h} = \frac{\mathcal{E}_{2} \, R_{1}}{\mathcal{E}_{1} - \mathcal{E}_{2}} = 14.4" in lines


def test_every_writer_has_them() -> None:
    worked = full()
    assert worked.html().count("<svg ") == 4
    assert worked.pdf().startswith(b"%PDF")
    assert r"\section*{Plots}" in worked.latex() or "Plots" in worked.latex()
    assert "## Plots" in worked.markdown()
    assert "R sub h equals start fraction R sub one times R sub two" in worked.spoken()


def test_a_sheet_without_the_section_works_none() -> None:
    worked = full(PLOTTED + '[sheet]\nsections = ["results"]\n')
    assert worked.plots == ()
    assert not any(isinstance(b, Heading) and b.words == "Plots" for b in worked.document.blocks)


def test_a_square_root_is_a_line_of_its_own() -> None:
    worked = full('plots = ["P(R1) - P(R2) against E1"]\n' + CHARGE_OR_HELP_IN_NUMBERS)
    lines = [b for b in worked.document.blocks if isinstance(b, DisplayedLine)]
    assert any(r"\sqrt{3}" in worked.latex() and b.relations[-1] == "≈" for b in lines if len(b.sides) == 3)


def test_a_plot_that_is_not_true_stops_the_sheet(monkeypatch: pytest.MonkeyPatch) -> None:
    def wrong(circuit):  # type: ignore[no-untyped-def]
        plots = plot_blocks.worked_plots(circuit)
        first = plots[0]
        assert isinstance(first, CurvePlot)
        data = replace(first.paper.data, points=first.paper.data.points[1:])
        return (replace(first, paper=replace(first.paper, data=data)), *plots[1:])

    monkeypatch.setattr(build, "worked_plots", wrong)
    with pytest.raises(BrokenPromise, match="number of extremes"):
        full()
