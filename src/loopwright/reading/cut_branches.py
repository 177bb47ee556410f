"""Whether an untrue claim is right in the circuit with a branch cut, once an untrue line has set its current
to 0: what is worked on after a bridge was taken for balanced is worked in that circuit.
"""

from __future__ import annotations

from dataclasses import replace

from ..circuit.changed import taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..errors import FaultyMaterial
from ..expressions.nodes import Equation
from ..expressions.values import symbols_of
from ..solve.exact import solve
from .so_far import SoFar
from .truth.truth import Truths
from .verdicts import ClaimKind


def line_that_cut(so_far: SoFar, written: Equation) -> int:
    """The line that set a current to 0, where a claim is right with its branch cut; 0 where there is none."""
    if not symbols_of(written):
        return 0
    for verdict in so_far.verdicts:
        if verdict.kind is not ClaimKind.UNTRUE or verdict.carried:
            continue
        branch = so_far.at_nothing(verdict.claim.written)
        truths = _cut(so_far, branch) if branch else None
        if truths is not None and _is_right(truths, written):
            return verdict.line
    return 0


def _cut(so_far: SoFar, branch: str) -> Truths | None:
    """What is true with a branch cut at its first resistor; None where that leaves no circuit."""
    if branch not in so_far.cut:
        cut = _with_gap(so_far.circuit, branch)
        try:
            arrows = replace(so_far.truths.arrows, changed=())
            found = Truths(solve(cut), arrows, so_far.truths.policy, ()) if cut is not None else None
        except FaultyMaterial:
            found = None
        so_far.cut[branch] = found
    return so_far.cut[branch]


def _with_gap(circuit: Circuit, branch: str) -> Circuit | None:
    met = (p.element for p in circuit.branch(branch).passes)
    resistor = next((e for e in met if circuit.elements[e].kind is Kind.RESISTOR), "")
    return taken_out(circuit, (resistor,)) if resistor else None


def _is_right(truths: Truths, written: Equation) -> bool:
    try:
        return truths.is_right(written)
    except KeyError:  # a name that the circuit with the gap has not
        return False
