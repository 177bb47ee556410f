"""Whether an untrue claim is right in the circuit that an untrue line above takes for the one drawn: with a
branch cut, once it has set its current to 0 (what is worked on after a bridge was taken for balanced is
worked in that circuit), or with a wire for a resistance that it leaves out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from ..circuit.changed import taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind
from ..errors import FaultyMaterial
from ..expressions.nodes import ZERO, Equation, put_in
from ..expressions.values import symbols_of
from ..solve.exact import solve
from .so_far import SoFar
from .truth.truth import Truths
from .verdicts import ClaimKind, Verdict

_LEFT_OUT = ("drop-missing", "inside-forgotten", "term-missing")


def line_that_took_it_so(so_far: SoFar, written: Equation) -> int:
    """The line that set a current to 0 or left a resistance out, where a claim is right with the branch cut
    or a wire for the resistance; 0 where there is none."""
    if not symbols_of(written):
        return 0
    for verdict in so_far.verdicts:
        if verdict.kind is not ClaimKind.UNTRUE or verdict.carried:
            continue
        branch = so_far.at_nothing(verdict.claim.written)
        taken = [_cut(so_far, branch)] if branch else _without_what_is_left_out(so_far, verdict)
        if any(truths is not None and _is_right(truths, written) for truths in taken):
            return verdict.line
    return 0


def _without_what_is_left_out(so_far: SoFar, verdict: Verdict) -> Iterator[Truths]:
    """What is true with a wire for a resistance that an untrue line leaves out."""
    if not verdict.repairs or verdict.repairs[0].entry not in _LEFT_OUT:
        return
    for name in so_far.circuit.elements:
        truths = _wired(so_far, name)
        if truths is None or not _is_right(truths, verdict.claim.written):
            continue
        for own, meant in so_far.meaning.items():
            if name in symbols_of(meant):
                truths.define(own, put_in(meant, {name: ZERO}))
        yield truths


def _cut(so_far: SoFar, branch: str) -> Truths | None:
    """What is true with a branch cut at its first resistor; None where that leaves no circuit."""
    if branch not in so_far.taken_otherwise:
        cut = _with_gap(so_far.circuit, branch)
        so_far.taken_otherwise[branch] = None if cut is None else _true_of(so_far, cut, with_changes=False)
    return so_far.taken_otherwise[branch]


def _wired(so_far: SoFar, name: str) -> Truths | None:
    """What is true with a wire for a resistor, or for what a battery has inside; None for anything else, and
    where that leaves no circuit."""
    if name not in so_far.taken_otherwise:
        circuit = so_far.circuit
        element = circuit.elements[name]
        wire = (
            Element(name, Kind.AMMETER) if element.kind is Kind.RESISTOR else replace(element, internal=None)
        )
        found = None
        if wire != element:
            elements = {**circuit.elements, name: wire}
            wired = replace(
                circuit, elements=elements, find=(), expect=(), sought=(), given=(), lettered=None
            )
            found = _true_of(so_far, wired.worked_in(circuit.field), with_changes=True)
        so_far.taken_otherwise[name] = found
    return so_far.taken_otherwise[name]


def _true_of(so_far: SoFar, circuit: Circuit, *, with_changes: bool) -> Truths | None:
    """What is true of a circuit with the names of the working; None where it has no answer."""
    arrows = so_far.truths.arrows if with_changes else replace(so_far.truths.arrows, changed=())
    try:
        return Truths(solve(circuit), arrows, so_far.truths.policy, ())
    except (FaultyMaterial, KeyError):
        return None


def _with_gap(circuit: Circuit, branch: str) -> Circuit | None:
    met = (p.element for p in circuit.branch(branch).passes)
    resistor = next((e for e in met if circuit.elements[e].kind is Kind.RESISTOR), "")
    return taken_out(circuit, (resistor,)) if resistor else None


def _is_right(truths: Truths, written: Equation) -> bool:
    try:
        return truths.is_right(written)
    except KeyError:  # a name that the circuit with the gap has not
        return False
