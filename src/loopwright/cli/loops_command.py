"""`loopwright loops`: the laws of a circuit: every equation, and which are enough."""

from __future__ import annotations

import argparse

from ..circuit.circuit import Circuit
from ..laws.laws import laws
from ..show.law_lines import law_lines, loop_line
from .files import circuit_from, show, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the equations; 0, or an error for a loop that cannot be told."""
    circuit = circuit_from(given.file, given.terms)
    lines = watched(lambda tell: _lines(circuit, given.through, tell), given.longest)
    show(told_for(circuit, "\n".join(lines)))
    return 0


def _lines(circuit: Circuit, through: list[str] | None, tell: TellProgress) -> list[str]:
    tell("loops")
    known = laws(circuit)
    return [loop_line(circuit, known.loop(*through))] if through else law_lines(known)
