"""What is plotted, as blocks: each plot with its words, the form drawn, each point with a name as a line.

The limits stand in the picture and in its words. Only blocks of the document model.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..checks.ledger.ledger import LedgerEntry
from ..circuit.circuit import Circuit
from ..circuit.plots_asked import plots_asked
from ..circuit.targets import Asked
from ..expressions.nodes import Equation, Expr, Negative, Number, Symbol
from ..expressions.surd_form import surd_form
from ..expressions.tidy import tidy
from ..plots.curves import CurveData, CurvePoint, PointName
from ..plots.formulas import boundary_formula, formula_at, general_boundary
from ..plots.plot import CurvePlot, MapPlot, Plot, plotted
from ..plots.verify import curve_entries
from ..plots.verify_maps import map_entries
from ..plots.words import LONG_EXACT, rises_through
from ..quantities import rounded, simple
from ..solve.exact import Solution
from .document import Block, DisplayedLine, Heading, Paragraph, Picture, Text

_LEGEND = "In a curve the dot is the number given, and a ring is any other point that is told below it."
_SI = "The closed form with the other numbers put in, in volts, amperes, ohms and watts."


def worked_plots(circuit: Circuit) -> tuple[Plot, ...]:
    """All plots that the file asks for. Raises FaultyMaterial where one has no answer."""
    return tuple(plotted(circuit, asked) for asked in plots_asked(circuit))


def plot_entries(solution: Solution, plots: Sequence[Plot]) -> tuple[LedgerEntry, ...]:
    """The checks of these plots."""
    curves = [plot.paper.data for plot in plots if isinstance(plot, CurvePlot)]
    maps = [plot.found for plot in plots if isinstance(plot, MapPlot)]
    return (*curve_entries(solution, curves), *map_entries(solution, maps))


def plot_blocks(solution: Solution, plots: Sequence[Plot]) -> tuple[Block, ...]:
    """Each plot with what it shows."""
    blocks: list[Block] = []
    if any(isinstance(plot, CurvePlot) and _named(plot.paper.data) for plot in plots):
        blocks.append(Paragraph((_LEGEND,)))
    for plot in plots:
        blocks.append(Picture(plot.drawing, plot.words, plot.asked.as_text()))
        match plot:
            case CurvePlot():
                blocks += _curve_blocks(solution, plot.paper.data)
            case MapPlot():
                blocks += _map_blocks(solution, plot)
    return (Heading("Plots"), *blocks) if blocks else ()


def _named(data: CurveData) -> list[CurvePoint]:
    return [point for point in data.points if point.name is not PointName.OWN]


def _curve_blocks(solution: Solution, data: CurveData) -> Iterator[Block]:
    yield DisplayedLine((data.asked.target.name, tidy(data.form)), reason=(_SI,))
    for point in _named(data):
        at = _sides(solution, data, point)
        yield DisplayedLine((Symbol(data.symbol), *at), reason=_what(data, point))


def _sides(solution: Solution, data: CurveData, point: CurvePoint) -> tuple[Expr, ...]:
    """Where a point stands: its formula, the exact value where that is short, the rounded one."""
    formula = formula_at(solution, data, point)
    sides: list[Expr] = [] if formula is None else [tidy(formula)]
    unit, figures = data.units[0], data.circuit.figures
    exact = point.at.exact
    if point.at.surd is not None:
        sides.append(surd_form(point.at.surd))
    elif exact is not None and "/" in simple(exact) and len(simple(exact)) <= LONG_EXACT:
        sides.append(Number(exact, unit, simple(exact)))
    shown = rounded(point.at.near, unit, figures)
    return (*sides, Number(point.at.near, shown.symbol, shown.digits))


def _what(data: CurveData, point: CurvePoint) -> Text:
    """What the quantity does there."""
    name = data.asked.target.name
    unit, figures = data.units[1], data.circuit.figures
    if point.name is PointName.TOUCH:
        return ("There ", name, " is zero and keeps its sign.")
    if point.name is PointName.REVERSAL:
        rises = rises_through(data, point)
        if data.asked.target.kind is Asked.CURRENT:
            ways = ("against", "along") if rises else ("along", "against")
            return ("There ", name, f" turns over: {ways[0]} its arrow below, {ways[1]} it above.")
        signs = ("negative", "positive") if rises else ("positive", "negative")
        return ("There ", name, f" is zero: {signs[0]} below, {signs[1]} above.")
    near = point.result.near
    shown = rounded(near, unit, figures)
    size: Expr = Number(abs(near), shown.symbol, shown.digits.lstrip("-"))
    worth = Negative(size) if near < 0 else size
    return ("There ", name, f" is {point.name}: ", Equation(name, worth, _sign(near, shown.value)), ".")


def _sign(exact: object, shown: object) -> str:
    return "=" if exact == shown else "≈"


def _map_blocks(solution: Solution, plot: MapPlot) -> Iterator[Block]:
    found = plot.found
    for boundary in found.boundaries:
        formula = general_boundary(solution, found, boundary)
        with_numbers: Text = ()
        if formula is None:
            formula = boundary_formula(boundary.polynomial, found.asked.over)
            with_numbers = (" The other numbers are put in, in volts, amperes and ohms.",)
        does = " has no bound there." if boundary.unbounded else " is zero there, and changes its sign."
        reason: Text = ("A boundary, from a factor of the closed form: ", found.asked.target.name, does)
        yield DisplayedLine((formula.left, formula.right), reason=(*reason, *with_numbers))
