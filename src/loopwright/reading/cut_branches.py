"""Whether an untrue claim is right in the circuit with a branch cut, once an untrue line has set its current
to 0: what is worked on after a bridge was taken for balanced is worked in that circuit.
"""

from __future__ import annotations

from dataclasses import replace

from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind
from ..errors import FaultyMaterial
from ..expressions.nodes import Equation, Symbol
from ..expressions.values import symbols_of
from ..solve.exact import solve
from .so_far import SoFar
from .truth.meaning import UnknownName
from .truth.rounding import lone
from .truth.size import TooLong
from .truth.truth import Truths
from .verdicts import ClaimKind, Truth


def line_that_cut(so_far: SoFar, written: Equation) -> int:
    """The line that set a current to 0, where a claim is right with its branch cut; 0 where there is none."""
    if not symbols_of(written):
        return 0
    for verdict in so_far.verdicts:
        if verdict.kind is not ClaimKind.UNTRUE or verdict.carried:
            continue
        branch = _set_to_nothing(so_far, verdict.claim.written)
        truths = _cut(so_far, branch) if branch else None
        if truths is not None and _is_right(truths, written):
            return verdict.line
    return 0


def _set_to_nothing(so_far: SoFar, written: Equation) -> str:
    """The branch whose current a claim sets to 0; empty for any other claim."""
    number = lone(written.right)
    if not isinstance(written.left, Symbol) or number is None or number.value:
        return ""
    made = so_far.truths.arrows.names.get(written.left.name, {})
    return next(iter(made)) if len(made) == 1 and set(made) <= set(so_far.circuit.currents) else ""


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
    gap = Element(resistor, Kind.SWITCH, closed=False)
    return replace(circuit, elements={**circuit.elements, resistor: gap}) if resistor else None


def _is_right(truths: Truths, written: Equation) -> bool:
    try:
        truths.learn(symbols_of(written))
        found = truths.value_of(written)
        return found is not None and found.truth is not Truth.NO and truths.clash(written) is None
    except (UnknownName, TooLong, ZeroDivisionError, KeyError):
        return False
