"""`loopwright loops`: the laws of a circuit: every equation, and which are enough."""

from __future__ import annotations

import argparse

from ..laws.laws import laws
from ..show.law_lines import law_lines, loop_line
from .files import circuit_from


def run(given: argparse.Namespace) -> int:
    """Prints the equations; 0, or an error for a loop that cannot be told."""
    circuit = circuit_from(given.file)
    known = laws(circuit)
    lines = [loop_line(circuit, known.loop(*given.through))] if given.through else law_lines(known)
    for line in lines:
        print(line)
    return 0
