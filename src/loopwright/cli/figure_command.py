"""`loopwright figure`: the circuit drawn as SVG, or described in words."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..figure.svg import svg
from ..findings import Finding
from ..laws.loops import default_loops
from ..whole_files import write
from .files import circuit_from, show, stem_of
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Writes the figure or its description."""
    circuit = circuit_from(given.file, given.terms)
    content = watched(lambda tell: _drawn(circuit, given, tell), given.longest)
    if given.output == "-" or (given.words and not given.output):
        show(content)
        return 0
    path = Path(given.output or f"{stem_of(given.file)}.svg")
    write(path, content)
    show(str(path))
    return 0


def _drawn(circuit: Circuit, given: argparse.Namespace, tell: TellProgress) -> str:
    tell("figure")
    if given.words:
        return describe(circuit)
    if not is_drawn(circuit):
        raise FaultyMaterial(
            Finding(
                "figure/too-large",
                "The circuit has too many branches, or too many that cross, to be laid out.",
                "Give every point its place under [places], or ask for --words.",
            )
        )
    loops = default_loops(circuit) if given.loops else ()
    drawing = draw(circuit, resistors=given.resistors, loops=loops)
    return svg(drawing, title=circuit.title, description=describe(circuit))
