"""A plot on the page, in HTML: what was chosen, drawn and in words, and the ways to take it along.

A curve and a map are drawn by `plots`, and their blocks are those of the sheet. Knows no web.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from html import escape
from json import dumps
from urllib.parse import urlencode

from ..circuit.circuit import Circuit
from ..circuit.plots_asked import MOST_PLOTS
from ..errors import BrokenPromise
from ..expressions.said import counted
from ..expressions.terms import in_terms
from ..plots.plot import Plot, plot
from ..sheet.document import Block, Document, Heading, Paragraph, Picture
from ..sheet.html import fragments
from ..sheet.plot_blocks import plot_blocks, plot_entries
from ..sheet.printable import is_printable
from ..sheet.sheets import roles
from ..solve.exact import solve, well_posed
from .answer import formulas_of, own_lines
from .equations import ForPage
from .plot_choice import kept_plots
from .read_once import sound


def request(of: str, over: str, beside: str = "") -> str:
    """What is chosen, as a problem file asks for it: a curve, or with a second value a map."""
    return f"sign of {of} over {over}, {beside}" if beside else f"{of} against {over}"


def plotted(text: str, asked: str, middle: float | None = None) -> ForPage:
    """A plot as a part of the page, with what it says in words (`said`). `middle`: what stands in the middle
    of the scale, as on the value's own line; the file's number when not given.

    Raises FaultyMaterial where the text is no sound circuit, or the plot cannot be drawn.
    """
    circuit = sound(text)
    found = drawn(circuit, asked, middle)
    title = found.asked.as_text()
    blocks = list(_blocks(circuit, found))
    document = Document("", tuple(blocks), roles(circuit))
    sections, _ = fragments(document)
    formulas = formulas_of(document)
    html = "".join(own_lines(part, "plot", formulas) for _, part in sections)
    picture = _out("svg", title, middle, "the picture as SVG")
    points = _out("csv", title, middle, "its points as CSV")
    return {
        "html": f"{html}<p>{_keep(circuit, title)} Take away {picture}, {points}.</p>",
        "said": in_terms(found.words, circuit.page.terms, circuit.own_words),
    }


def drawn(circuit: Circuit, asked: str, middle: float | None = None) -> Plot:
    """The plot of a request on a scale with this value in its middle."""
    if middle is None or not 0 < middle < float("inf"):
        return plot(circuit, asked)
    return plot(circuit, asked, middle=Fraction(middle))


def _blocks(circuit: Circuit, found: Plot) -> Iterator[Block]:
    """The plot as the sheet has it, and by how many checks it is proved; of a circuit whose closed forms are
    too long to print, the picture and its words."""
    if not is_printable(well_posed(circuit)):
        yield Picture(found.drawing, found.words, found.asked.as_text())
        yield from map(Paragraph, found.sentences)
        return
    solution = solve(circuit)
    yield from (block for block in plot_blocks(solution, [found]) if not isinstance(block, Heading))
    checks = [entry for entry in plot_entries(solution, [found]) if entry.passed is not None]
    failed = [entry.title for entry in checks if not entry.passed]
    if failed:
        raise BrokenPromise(f"a plot failed its check: {failed[0]}")
    agree = "agrees" if len(checks) == 1 else "agree"
    yield Paragraph((f"{counted(len(checks), 'independent check')} {agree}.".capitalize(),))


def _keep(circuit: Circuit, title: str) -> str:
    """The button that puts the plot on the sheet, or takes it off."""
    there = title in {asked.as_text() for asked in kept_plots(circuit)}
    if not there and len(circuit.plots) >= MOST_PLOTS:
        return f"The sheet holds {MOST_PLOTS} plots already."
    act = escape(dumps({"do": "plot", "request": title, "keep": not there}))
    words = "take it off the sheet" if there else "put it on the sheet"
    return f'<button type="button" id="keep-plot" data-act="{act}">{words}</button>'


def _out(form: str, title: str, middle: float | None, words: str) -> str:
    """A link by which the plot is taken away; the page puts the paper before it."""
    asked = urlencode({"form": form, "plot": title} | ({} if middle is None else {"middle": repr(middle)}))
    return f'<a download data-out="out?{escape(asked)}">{words}</a>'
