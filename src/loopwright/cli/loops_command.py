"""`loopwright loops`: the laws of a circuit: every equation, and which are enough."""

from __future__ import annotations

import argparse

from ..circuit.circuit import Circuit
from ..expressions.display import told
from ..graph.lines import same_loop
from ..laws.equations import Law, LawEquation
from ..laws.laws import Laws, laws
from ..laws.loops import met_names
from .files import circuit_from


def run(given: argparse.Namespace) -> int:
    """Prints the equations; 0, or an error for a loop that cannot be told."""
    circuit = circuit_from(given.file)
    known = laws(circuit)
    if given.through:
        law = known.loop(*given.through)
        print(_line(circuit, law))
        return 0
    print("Junctions")
    for law in known.junctions:
        spare = "" if law in known.independent_junctions else "   (follows from the others)"
        print(f"  {law.point}: {told((law.written,))}{spare}")
    for law in known.elements:
        print(f"  {law.branch} is fixed: {told((law.written,))}")
    print("Loops")
    for law in known.every_loop:
        usual = any(same_loop(law.loop, other.loop) for other in known.loops)
        print(f"{'* ' if usual else '  '}{_line(circuit, law)}")
    print(_enough(known))
    return 0


def _line(circuit: Circuit, law: LawEquation) -> str:
    return f"{' '.join(met_names(circuit, law.loop))}: {told((law.written,))}"


def _enough(known: Laws) -> str:
    count = len(known.circuit.branches)
    judged = known.judge(known.chosen)
    used = {kind: sum(law.law is kind for law in known.chosen) for kind in Law}
    parts = [f"{number} {kind}" for kind, number in used.items() if number]
    verdict = "enough" if judged.enough else f"{judged.missing} too few"
    return f"{count} currents: {' + '.join(parts)} equations (loops marked *) are {verdict}."
