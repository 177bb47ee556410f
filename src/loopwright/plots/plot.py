"""`plot`: a curve or a map as a result that shows itself, and gives its drawing, its words and its points."""

from __future__ import annotations

from abc import ABC, abstractmethod
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Any

from ..circuit.circuit import Circuit
from ..circuit.plots_asked import PlotAsked, plot_asked
from ..expressions.said import Said
from ..figure.drawing import Drawing
from ..figure.svg import svg
from ..shown import Shown
from .curve_data import curve_data
from .curve_picture import CurveOnPaper, curve_picture, on_paper
from .map_picture import map_picture
from .map_words import map_in_words, map_sentences
from .maps import SignMap
from .points_table import boundary_table, points_table
from .sign_map import sign_map
from .words import curve_in_words, curve_sentences


class Plot(Shown, ABC):
    """A plot of a circuit: what is asked, worked exactly."""

    circuit: Circuit
    asked: PlotAsked

    @property
    @abstractmethod
    def sentences(self) -> tuple[Said, ...]:
        """What it shows, one fact a sentence."""

    @property
    @abstractmethod
    def words(self) -> str:
        """The same as one text, for those who do not see it."""

    @property
    @abstractmethod
    def drawing(self) -> Drawing:
        """The plot as strokes, in millimetres."""

    @abstractmethod
    def csv(self) -> str:
        """Its points as comma-separated values, the head with units."""

    def svg(self) -> str:
        """The plot as SVG, with its description."""
        return svg(self.drawing, self.asked.as_text(), self.words)


@dataclass(frozen=True)
class CurvePlot(Plot):
    """A quantity against one value from 0 to ∞. `paper.data` holds it exactly."""

    circuit: Circuit
    asked: PlotAsked
    paper: CurveOnPaper

    @cached_property
    def sentences(self) -> tuple[Said, ...]:
        """What it shows, in the order of the value moved."""
        return curve_sentences(self.paper.data)

    @cached_property
    def words(self) -> str:
        """The same as one text."""
        return curve_in_words(self.paper.data)

    @cached_property
    def drawing(self) -> Drawing:
        """The curve drawn."""
        return curve_picture(self.paper)

    def csv(self) -> str:
        """The points of the drawn line, the ends and the points with a name."""
        return points_table(self.paper)

    def draw_on(self, axes: Any) -> None:
        """Draws the curve on the axes of a plotting library that you have loaded, such as those of
        Matplotlib: the same points on the same scale, its ticks at the values with a name."""
        data, scale = self.paper.data, self.paper.scale
        unit, result_unit = data.units
        for line in self.paper.lines:
            axes.plot([float(share) for share, _ in line], [float(result) for _, result in line])
        ticks = {0.0: "0", 1.0: "∞"} | {
            scale.share(p.at.near): f"{float(p.at.near):.{self.circuit.figures}g}" for p in data.points
        }
        axes.set_xticks(list(ticks), list(ticks.values()))
        axes.set_xlabel(f"{data.symbol} in {unit}")
        axes.set_ylabel(
            f"{self.asked.target.as_text()} in {result_unit}" if result_unit else self.asked.as_text()
        )


@dataclass(frozen=True)
class MapPlot(Plot):
    """The sign of a quantity over two values from 0 to ∞. `found` holds it exactly."""

    circuit: Circuit
    asked: PlotAsked
    found: SignMap

    @cached_property
    def sentences(self) -> tuple[Said, ...]:
        """Its boundaries, and a point of each region."""
        return map_sentences(self.found)

    @cached_property
    def words(self) -> str:
        """The same as one text."""
        return map_in_words(self.found)

    @cached_property
    def drawing(self) -> Drawing:
        """The map drawn."""
        return map_picture(self.found)

    def csv(self) -> str:
        """The points of the boundaries."""
        return boundary_table(self.found)


def plot(circuit: Circuit, request: str, *, middle: Fraction | None = None) -> Plot:
    """The plot that a request such as `"P(Rh) against Rh"` asks for, in the circuit's numbers.

    `middle`: the value in the middle of the scale, in SI units; the file's own number when not given. Raises
    FaultyMaterial where the request cannot be read, a number is missing, or the circuit has no one answer.
    """
    asked = plot_asked(request, circuit)
    return plotted(circuit, asked, middle)


def plotted(circuit: Circuit, asked: PlotAsked, middle: Fraction | None = None) -> Plot:
    """The plot of a request that was read already."""
    if asked.is_map:
        return MapPlot(circuit, asked, sign_map(circuit, asked))
    return CurvePlot(circuit, asked, on_paper(curve_data(circuit, asked), middle))
