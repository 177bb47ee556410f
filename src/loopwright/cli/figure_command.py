"""`loopwright figure`: the circuit drawn as SVG, or described in words."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..errors import FaultyMaterial
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..figure.svg import svg
from ..findings import Finding
from ..laws.loops import default_loops
from .files import circuit_from, show, stem_of, write


def run(given: argparse.Namespace) -> int:
    """Writes the figure or its description."""
    circuit = circuit_from(given.file)
    if given.words:
        content = describe(circuit)
    else:
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
        content = svg(drawing, title=circuit.title, description=describe(circuit))
    if given.output == "-" or (given.words and not given.output):
        show(content)
        return 0
    path = Path(given.output or f"{stem_of(given.file)}.svg")
    write(path, content)
    print(path)
    return 0
