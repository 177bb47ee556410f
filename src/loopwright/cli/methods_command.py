"""`loopwright methods`: which methods serve a circuit, what each takes to write, and which is shortest."""

from __future__ import annotations

import argparse

from ..circuit.circuit import Circuit
from ..methods.compare import compare
from ..sheet.printable import is_printable
from ..show.comparison_text import comparison_in_text
from ..solve.exact import solve, well_posed
from .files import circuit_from, show
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the comparison; 0, or an error for a circuit that cannot be worked."""
    circuit = circuit_from(given.file)
    show(watched(lambda tell: _told(circuit, tell), given.longest))
    return 0


def _told(circuit: Circuit, tell: TellProgress) -> str:
    tell("closed forms")
    in_numbers = not is_printable(well_posed(circuit)) and circuit.has_all_numbers
    solution = solve(circuit)
    tell("methods")
    return comparison_in_text(compare(circuit, solution, in_numbers=in_numbers))
