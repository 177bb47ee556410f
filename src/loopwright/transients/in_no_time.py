"""What passes in no time where nothing limits a current: the charge, the energy lost, and the same circuit
made honest by a resistance in the way.

A charge that finds no resistance has passed at once; what it loses is lost in wires, sparks and radiation,
however small these are, and is the heat in any resistance that is put in the way (common practice).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ..algebra.ratios import Ratio
from ..circuit.elements import Element, Kind, Pass
from ..errors import BrokenPromise
from ..expressions.nodes import Symbol
from .amounts import squared_area
from .transient import Transient


@dataclass(frozen=True)
class HonestCircuit:
    """The circuit with a resistance `name` in the branch `branch`: its time constant, in which the same
    energy becomes heat."""

    name: str
    branch: str
    time_constant: Ratio


@dataclass(frozen=True)
class InNoTime:
    """What passes at the move itself. `charges`: by branch, in coulombs along its arrow; `lost`: the energy
    that neither storage nor source has afterwards, in joules; `honest`: None where a resistance in the way
    would change more than the time."""

    charges: Mapping[str, Ratio]
    lost: Ratio
    honest: HonestCircuit | None


def in_no_time(stage: Transient) -> InNoTime | None:
    """What passes in no time when a stage begins; None where nothing does. Raises BrokenPromise where the
    heat in a resistance is not the energy lost without it."""
    circuit = stage.circuit
    charges = {name: course.burst for name, course in stage.currents.items() if course.burst}
    if not charges:
        return None
    lost = circuit.field.zero
    for name in circuit.storages:
        after = stage.stored(name).just_after
        lost = lost + circuit.value(name) * (stage.held[name] * stage.held[name] - after * after) / 2
    for branch, charge in charges.items():
        lost = lost + circuit.rise(branch) * charge
    return InNoTime(charges, lost, _honest(stage, tuple(charges), lost))


def _honest(stage: Transient, branches: tuple[str, ...], lost: Ratio) -> HonestCircuit | None:
    circuit = stage.circuit
    moved = {move.switch for move in circuit.switching}
    at = next((n for n in branches if moved & {p.element for p in circuit.branch(n).passes}), branches[0])
    name = "R"
    while name in (*circuit.elements, *circuit.symbols, *circuit.currents):
        name += "′"
    made = tuple(replace(b, along=(*b.along, Pass(name))) if b.name == at else b for b in circuit.branches)
    elements = {**circuit.elements, name: Element(name, Kind.RESISTOR, Symbol(name))}
    changed = replace(circuit, branches=made, elements=elements)
    held = {storage: value.at({}, changed.field) for storage, value in stage.held.items()}
    honest = Transient(changed, held)
    course = honest.currents[at]
    if course.burst or course.long_after is None or course.end or len(honest.rates) != 1:
        return None
    if changed.field.symbol(name) * squared_area(course) != lost.at({}, changed.field):
        if stage.rates or any(one.burst for one in honest.currents.values()):
            return None  # something else takes part in it
        raise BrokenPromise(f"the heat in {name} is not what is lost without it")
    return HonestCircuit(name, at, changed.field.one / honest.rates[0].plain)
