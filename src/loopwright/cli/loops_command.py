"""`loopwright loops`: the laws of a circuit: every equation, and which are enough."""

from __future__ import annotations

import argparse

from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..expressions.said import as_text
from ..laws.laws import laws
from ..show.law_lines import law_lines, loop_line
from ..transients.laws_in_time import laws_after_moves, storage_laws
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
    if changes(circuit):
        return _in_time(circuit, through)
    known = laws(circuit)
    return [loop_line(circuit, known.loop(*through))] if through else law_lines(known)


def _in_time(circuit: Circuit, through: list[str] | None) -> list[str]:
    after = laws_after_moves(circuit)
    if through:
        last = after[-1]
        return [loop_line(last.circuit, last.loop(*through))]
    lines: list[str] = []
    for number, known in enumerate(after, 1):
        if circuit.switching:
            lines.append(f"After move {number}" if len(after) > 1 else "After the move")
        lines += law_lines(known)
    laws_of_storages = [f"  {as_text((law,))}" for law in storage_laws(circuit)]
    return [*lines, *(["Capacitors", *laws_of_storages] if laws_of_storages else [])]
