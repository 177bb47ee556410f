"""`loopwright plot`: a quantity against one value, or its sign over two, as SVG, as points or in words."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..circuit.circuit import Circuit
from ..plots.plot import plot
from ..whole_files import write
from .files import circuit_from, show, stem_of, told_for
from .watch import TellProgress, watched

_BY_ENDING = {".csv": "csv", ".txt": "say"}


def run(given: argparse.Namespace) -> int:
    """Writes the plot in the form that is asked for, or that the name of the file ends in."""
    circuit = circuit_from(given.file, given.terms)
    form = given.form or _BY_ENDING.get(Path(given.output).suffix.lower(), "svg")
    content = watched(lambda tell: _plotted(circuit, given.request, form, tell), given.longest)
    if given.output == "-" or (form == "say" and not given.output):
        show(content)
        return 0
    path = Path(given.output or f"{stem_of(given.file)}-plot.{form}")
    write(path, content)
    show(str(path))
    return 0


def _plotted(circuit: Circuit, request: str, form: str, tell: TellProgress) -> str:
    tell("plot")
    found = plot(circuit, request)
    match form:
        case "csv":
            return found.csv()
        case "say":
            return told_for(circuit, found.words)
        case _:
            return found.svg()
