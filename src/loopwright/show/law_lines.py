"""The laws of a circuit as lines of plain text: every equation, and which are enough."""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..expressions.said import as_text
from ..graph.lines import same_loop
from ..laws.equations import Law, LawEquation
from ..laws.laws import Laws
from ..laws.loops import met_names


def law_lines(known: Laws) -> list[str]:
    """Junctions, fixed currents, every loop (`*`: of the usual set), and how many are enough."""
    lines = ["Junctions"]
    for law in known.junctions:
        spare = "" if law in known.independent_junctions else "   (follows from the others)"
        lines.append(f"  {law.point}: {as_text((law.written,))}{spare}")
    lines += [f"  {law.branch} is fixed: {as_text((law.written,))}" for law in known.elements]
    lines.append("Loops")
    for law in known.every_loop:
        usual = any(same_loop(law.loop, other.loop) for other in known.loops)
        lines.append(f"{'* ' if usual else '  '}{loop_line(known.circuit, law)}")
    return [*lines, _enough(known)]


def loop_line(circuit: Circuit, law: LawEquation) -> str:
    """A loop by what is met on the way, with its equation."""
    return f"{' '.join(met_names(circuit, law.loop))}: {as_text((law.written,))}"


def _enough(known: Laws) -> str:
    count = len(known.circuit.branches)
    judged = known.judge(known.chosen)
    used = {kind: sum(law.law is kind for law in known.chosen) for kind in Law}
    parts = [f"{number} {kind}" for kind, number in used.items() if number]
    verdict = "enough" if judged.enough else f"{judged.missing} too few"
    return f"{count} currents: {' + '.join(parts)} equations (loops marked *) are {verdict}."
