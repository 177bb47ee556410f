"""The verb `plot`, and what its result can do."""

from __future__ import annotations

from fractions import Fraction

import pytest

import loopwright
from loopwright.errors import FaultyMaterial
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS, circuit_of
from tests.unit.plots.made_plots import CURVES, curve_plot

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)


def test_it_shows_itself_in_words_where_it_is_printed_and_drawn_in_a_notebook() -> None:
    found = loopwright.plot(CIRCUIT, "Ib against Rh")
    assert str(found).splitlines()[0] == "As Rh → 0, Ib → −6.00 A."
    html = found._repr_html_()
    assert html.startswith("<svg ")
    assert "turns over" in html


def test_another_middle_moves_the_scale_and_nothing_else() -> None:
    one = loopwright.plot(CIRCUIT, "Ib against Rh")
    other = loopwright.plot(CIRCUIT, "Ib against Rh", middle=Fraction(20))
    assert one.words == other.words
    assert one.svg() != other.svg()


def test_a_request_that_cannot_be_drawn_is_refused_in_words() -> None:
    with pytest.raises(FaultyMaterial, match="is to be plotted, but"):
        loopwright.plot(circuit_of(CHARGE_OR_HELP), "Ib against Rh")


class Axes:
    """What is asked of the axes of a plotting library."""

    def __init__(self) -> None:
        self.lines: list[tuple[list[float], list[float]]] = []
        self.ticks: tuple[list[float], list[str]] = ([], [])
        self.names: list[str] = []

    def plot(self, x: list[float], y: list[float]) -> None:
        self.lines.append((x, y))

    def set_xticks(self, at: list[float], names: list[str]) -> None:
        self.ticks = (at, names)

    def set_xlabel(self, name: str) -> None:
        self.names.append(name)

    def set_ylabel(self, name: str) -> None:
        self.names.append(name)


def test_the_exact_points_are_drawn_on_the_axes_of_another_library() -> None:
    axes = Axes()
    curve_plot(*CURVES[0]).draw_on(axes)
    ((x, y),) = axes.lines
    assert (x[0], x[-1], y[0], y[-1]) == (0, 1, 0, 0)
    assert max(y) == pytest.approx(6627 / 112)
    assert axes.ticks == ([0.0, 1.0, pytest.approx(12 / 47), 0.5], ["0", "∞", "1.71", "5"])
    assert axes.names == ["Rh in Ω", "P(Rh) in W"]
