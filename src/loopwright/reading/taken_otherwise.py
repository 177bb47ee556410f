"""Whether an untrue claim is right in the circuit that an untrue line above takes for the one drawn: with a
branch cut, once it has set its current to 0 (what is worked on after a bridge was taken for balanced is
worked in that circuit) or opened the branches of sources at rest, or with a wire for a resistance that it
leaves out.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace
from itertools import combinations

from ..circuit.changed import taken_out
from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind
from ..errors import FaultyMaterial
from ..expressions.nodes import ZERO, Equation, put_in
from ..expressions.values import symbols_of
from ..solve.exact import solve
from .so_far import SoFar
from .truth.changed import part
from .truth.meaning import level
from .truth.truth import Truths
from .verdicts import Arrows, ClaimKind, Verdict
from .working import AS_DRAWN, CircuitChange, Claim

CUT = "superposed-open"  # an idea of the circuit, which gives more than one line
MOST_AT_REST = 3  # batteries whose branches are tried as cut, some or all of them
_LEFT_OUT = ("drop-missing", "inside-forgotten", "term-missing")


def line_that_took_it_so(so_far: SoFar, claim: Claim) -> int:
    """The line that set a current to 0, opened the branches of sources at rest or left a resistance out,
    where a claim is right with the branches cut or a wire for the resistance; 0 where there is none."""
    if not symbols_of(claim.written):
        return 0
    for verdict in so_far.verdicts:
        if verdict.kind is not ClaimKind.UNTRUE or verdict.carried:
            continue
        branch = so_far.at_nothing(verdict.claim.written)
        taken: Iterable[Truths | None] = (
            [_cut(so_far, (branch,), AS_DRAWN)] if branch else _without_what_is_left_out(so_far, verdict)
        )
        for truths in (*taken, *_opened(so_far, verdict, claim)):
            if truths is not None and _is_right(truths, claim.written):
                return verdict.line
    return 0


def _opened(so_far: SoFar, verdict: Verdict, claim: Claim) -> Iterator[Truths | None]:
    """What is true in a part of the working with the branches cut of some of the batteries that are at rest
    in it, for another claim of that part."""
    setting = verdict.claim.setting
    if not setting.at_zero or setting != claim.setting or CUT not in {r.entry for r in verdict.repairs[:1]}:
        return
    circuit = so_far.circuit
    batteries = [name for name in setting.at_zero if circuit.elements[name].kind is Kind.BATTERY]
    own = list(dict.fromkeys(circuit.branch_of(name).name for name in batteries))[:MOST_AT_REST]
    for size in range(len(own), 0, -1):
        for chosen in combinations(own, size):
            yield _cut(so_far, chosen, setting)


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


def _cut(so_far: SoFar, branches: tuple[str, ...], setting: CircuitChange) -> Truths | None:
    """What is true with branches cut at their first resistors, as drawn or in a changed circuit; None where
    that leaves no circuit."""
    key = " ".join((*branches, setting.words))
    if key not in so_far.taken_otherwise:
        cut = _with_gaps(so_far.circuit, branches)
        arrows = _arrows_in(so_far, setting)
        so_far.taken_otherwise[key] = None if cut is None else _true_of(so_far, cut, arrows)
    return so_far.taken_otherwise[key]


def _arrows_in(so_far: SoFar, setting: CircuitChange) -> Arrows:
    """The arrows of the circuit as drawn and of one changed circuit, without those of any other."""
    arrows, circuit = so_far.truths.arrows, so_far.circuit
    drawn = {*circuit.currents, *map(level, circuit.named_points)}
    known = drawn | {part(name, setting) for name in drawn}
    names = {name: made for name, made in arrows.names.items() if known.issuperset(made)}
    return replace(arrows, names=names, changed=(setting,) if setting else ())


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
            found = _true_of(so_far, wired.worked_in(circuit.field), so_far.truths.arrows)
        so_far.taken_otherwise[name] = found
    return so_far.taken_otherwise[name]


def _true_of(so_far: SoFar, circuit: Circuit, arrows: Arrows) -> Truths | None:
    """What is true of a circuit with the names of the working; None where it has no answer."""
    try:
        return Truths(solve(circuit), arrows, so_far.truths.policy, ())
    except (FaultyMaterial, KeyError):
        return None


def _with_gaps(circuit: Circuit, branches: tuple[str, ...]) -> Circuit | None:
    gaps: list[str] = []
    for branch in branches:
        met = (p.element for p in circuit.branch(branch).passes)
        gaps += [e for e in met if circuit.elements[e].kind is Kind.RESISTOR][:1]
    return taken_out(circuit, tuple(gaps)) if len(gaps) == len(branches) else None


def _is_right(truths: Truths, written: Equation) -> bool:
    try:
        return truths.is_right(written)
    except KeyError:  # a name that the circuit with the gap has not
        return False
