"""The circuit redrawn for one moment: just after, a capacitor is a source of its voltage and a coil one of
its current; long after, a capacitor is a gap and a coil a wire. Solved afresh, without the rate s."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from ..algebra.ratios import Ratio
from ..circuit.changed import with_ends_named
from ..circuit.circuit import Circuit
from ..circuit.diagnose import VOLTAGES_UNSETTLED, faults
from ..circuit.elements import Branch, Element, Kind, Pass
from ..errors import FaultyMaterial
from ..expressions.tidy import tidy
from ..solve.exact import Solution, solve_posed


def just_after(circuit: Circuit, held: Mapping[str, Ratio]) -> Circuit:
    """The circuit just after the move, its storages replaced by what they hold."""
    elements = dict(circuit.elements)
    signs: dict[str, int] = {}
    for name, value in held.items():
        capacitor = circuit.elements[name].kind is Kind.CAPACITOR
        if not value:
            elements[name] = Element(name, Kind.AMMETER if capacitor else Kind.SWITCH, closed=False)
            signs[name] = 0
            continue
        kind = Kind.BATTERY if capacitor else Kind.CURRENT_SOURCE
        elements[name] = Element(name, kind, tidy(value))
        signs[name] = -1 if capacitor else 1
    return as_sources(circuit, elements, signs)


def as_sources(circuit: Circuit, elements: Mapping[str, Element], signs: Mapping[str, int]) -> Circuit:
    """The circuit at one moment, with other elements in the places of its storages. `signs`: of the
    storages, how each is met along its branch."""
    branches = tuple(_signed(b, signs) for b in circuit.branches)
    return replace(circuit, elements=elements, branches=branches, start={}, switching=(), find=(), in_time=())


def long_after(circuit: Circuit) -> Circuit:
    """The circuit when nothing changes any more: capacitors gaps, coils wires with what resistance they
    have."""
    elements = dict(circuit.elements)
    for name in circuit.storages:
        element = circuit.elements[name]
        if element.kind is Kind.CAPACITOR:
            elements[name] = Element(name, Kind.SWITCH, closed=False)
        elif element.internal is not None:
            elements[name] = Element(name, Kind.RESISTOR, element.internal)
        else:
            elements[name] = Element(name, Kind.AMMETER)
    return replace(circuit, elements=elements, start={}, switching=(), find=(), in_time=())


def solved_afresh(redrawn: Circuit, field_of: Circuit) -> Solution | None:
    """The solution of a redrawn circuit, in the field of the circuit it was drawn from; None where it has no
    one answer. Coils in series that agree have one, though nothing settles how their voltages divide."""
    posed = redrawn.worked_in(field_of.field, field_of)
    wrong = any(fault.code not in VOLTAGES_UNSETTLED for fault in posed.remembered(faults))
    return None if wrong else solve_posed(posed)


def seen_by(circuit: Circuit, storage: str) -> Ratio | None:
    """The resistance that a storage sees at its terminals with it taken out, every source at rest and every
    other storage as it is long after, its own resistance included; None where it is infinite."""
    named, (a, b) = with_ends_named(long_after(circuit), storage)
    probed = named.worked_in(circuit.field, circuit)
    try:
        seen = Solution(probed, {}, circuit.field.one).resistance(a, b, without=(storage,))
    except FaultyMaterial:
        return None
    return seen.at({}, circuit.field) + circuit.internal_resistance(storage)


def _signed(branch: Branch, signs: Mapping[str, int]) -> Branch:
    if not any(p.element in signs for p in branch.passes):
        return branch
    along = tuple(
        Pass(i.element, signs[i.element]) if isinstance(i, Pass) and i.element in signs else i
        for i in branch.along
    )
    return replace(branch, along=along)
