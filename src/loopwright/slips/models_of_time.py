"""What slips with capacitors and coils lead to: wrong time constants, starts, ends, courses and amounts.

Each model gives the value that somebody comes to who makes the slip, exactly in the circuit's symbols where
it
has such a value; which of them a working made is for `reading/`. The slips: common practice, no source, and
those of `catalogue` with their own.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from itertools import combinations

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Element, Kind
from ..errors import FaultyMaterial
from ..solve.exact import Solution
from ..transients.redrawn import long_after, seen_by, solved_afresh
from ..transients.transient import Transient

MOST_RESISTORS = 6  # of which combinations are tried


@dataclass(frozen=True, slots=True)
class WrongValue:
    """What a slip gives: its key in the catalogue, what was done in words, and the value."""

    entry: str
    said: str
    value: Ratio


def _resistors(circuit: Circuit) -> list[str]:
    """The resistors that branches meet, in order."""
    met = dict.fromkeys(p.element for b in circuit.branches for p in b.passes)
    return [name for name in met if circuit.elements[name].kind is Kind.RESISTOR][:MOST_RESISTORS]


def wrong_seen(stage: Transient, storage: str) -> Iterator[WrongValue]:
    """Resistances that are taken for the one that a storage sees, but are not."""
    circuit = stage.circuit
    true = seen_by(circuit, storage)
    for entry, said, value in _seen_otherwise(circuit, storage):
        if value is not None and value and value.at({}, circuit.field) != true:
            yield WrongValue(entry, said, value.at({}, circuit.field))


def _seen_otherwise(circuit: Circuit, storage: str) -> Iterator[tuple[str, str, Ratio | None]]:
    names = _resistors(circuit)
    values = {name: circuit.value(name) for name in names}
    true = seen_by(circuit, storage)
    feels = {n for n in names if true is not None and _matters(circuit, true, n)}
    for name in names:
        yield "nearest-resistance", f"{name} alone is taken for what {storage} sees", values[name]
    without = _without_internals(circuit)
    if without is not circuit:
        yield "inside-forgotten", "the resistance inside an element is not counted", seen_by(without, storage)
    sources = [n for n, e in circuit.elements.items() if e.kind is Kind.BATTERY]
    for source in sources:
        said = f"the battery {source} is taken out as a gap instead of as a wire"
        yield "battery-left-in", said, _gap(circuit, source, storage)
    for some, shown, value in _combined(values):
        idle = [n for n in some if n not in feels]
        if idle and len(idle) < len(some):
            said = f"{idle[0]} is counted in, which {storage} does not see"
            yield "bypassed-counted", said, value
        else:
            yield "seen-combined", f"{shown} is taken for what {storage} sees", value


def _matters(circuit: Circuit, true: Ratio, name: str) -> bool:
    return any(s in true.held() for s in circuit.value(name).held())


def _without_internals(circuit: Circuit) -> Circuit:
    inside = {n: replace(e, internal=None) for n, e in circuit.elements.items() if e.internal is not None}
    return replace(circuit, elements={**circuit.elements, **inside}) if inside else circuit


def _gap(circuit: Circuit, source: str, storage: str) -> Ratio | None:
    opened = {**circuit.elements, source: Element(source, Kind.SWITCH, closed=False)}
    try:
        return seen_by(replace(circuit, elements=opened), storage)
    except (FaultyMaterial, KeyError):
        return None


def _combined(values: Mapping[str, Ratio]) -> Iterator[tuple[tuple[str, ...], str, Ratio]]:
    """Sums and parallel combinations of two, three or all of the resistances."""
    names = tuple(values)
    for count in range(2, min(len(names), 4) + 1):
        for some in combinations(names, count):
            total = values[some[0]]
            below = values[some[0]].field.one / values[some[0]]
            for name in some[1:]:
                total = total + values[name]
                below = below + values[name].field.one / values[name]
            yield some, " + ".join(some), total
            yield some, " ∥ ".join(some), total.field.one / below
            if count == 2:
                continue
            for lone in some:
                rest = [n for n in some if n != lone]
                sums = values[rest[0]]
                ones = values[rest[0]].field.one / values[rest[0]]
                for name in rest[1:]:
                    sums = sums + values[name]
                    ones = ones + values[name].field.one / values[name]
                beside = " ∥ ".join(rest)
                yield some, f"{lone} + {beside}", values[lone] + ones.field.one / ones
                in_row = " + ".join(rest)
                yield some, f"{lone} ∥ ({in_row})", values[lone] * sums / (values[lone] + sums)


def wrong_time_constants(stage: Transient, storage: str) -> Iterator[WrongValue]:
    """Time constants that slips lead to."""
    circuit = stage.circuit
    value, seen = circuit.value(storage), seen_by(circuit, storage)
    capacitor = circuit.elements[storage].kind is Kind.CAPACITOR
    if seen is None or not seen:
        return
    true = seen * value if capacitor else value / seen
    other = {
        "τ = R/C": seen / value, "τ = C/R": value / seen, "τ = L R": seen * value, "τ = R/L": seen / value,
        "τ = 1/(R C)": true.field.one / true,
    }  # fmt: skip
    wanted = ("τ = R/C", "τ = C/R", "τ = 1/(R C)") if capacitor else ("τ = L R", "τ = R/L")
    for form in wanted:
        if other[form] != true:
            yield WrongValue("tau-form", f"{form} is used", other[form])
    for wrong in wrong_seen(stage, storage):
        yield WrongValue(wrong.entry, wrong.said, wrong.value * value if capacitor else value / wrong.value)
    for name in _resistors(circuit):
        r = circuit.value(name)
        if r != seen:
            for other_way in (value / r, r / value) if capacitor else (value * r, r / value):
                said = "the resistance and the storage are combined the wrong way"
                yield WrongValue("tau-form", said, other_way)
    others = [s for s in circuit.storages if s != storage]
    for one in others:
        if circuit.elements[one].kind is circuit.elements[storage].kind:
            both = circuit.value(one) + value
            wrong_one = both * seen if capacitor else both / seen
            yield WrongValue("storages-apart", f"{one} is counted with {storage}", wrong_one)


_FELT = "{} is given a time constant of its own, but the others are felt in it"


def wrong_joint_constants(stage: Transient) -> Iterator[WrongValue]:
    """Time constants that slips lead to where several storages have theirs in common."""
    circuit = stage.circuit
    kinds = {circuit.elements[s].kind for s in circuit.storages}
    rates = [rate.inverse() for rate in stage.rates] if stage.is_whole else []
    true = [tau.plain for tau in rates if not tau.factor]
    if len(true) == 1 and kinds == {Kind.CAPACITOR}:
        yield from _row_or_beside(circuit, true[0])
    for storage in circuit.storages:
        capacitor = circuit.elements[storage].kind is Kind.CAPACITOR
        value, seen = circuit.value(storage), seen_by(circuit, storage)
        own = (seen * value if capacitor else value / seen) if seen else None
        for name in _resistors(circuit):
            alone = circuit.value(name) * value if capacitor else value / circuit.value(name)
            if own in true and alone not in true:
                said = f"{name} alone is taken for what {storage} sees"
                yield WrongValue("nearest-resistance", said, alone)
            elif alone not in true:
                yield WrongValue("storages-apart", _FELT.format(storage), alone)
        if own is not None and own not in true:
            yield WrongValue("storages-apart", _FELT.format(storage), own)
    for tau in true:
        if tau * tau != circuit.field.one:
            yield WrongValue("tau-form", "it is upside down", circuit.field.one / tau)


def _row_or_beside(circuit: Circuit, true: Ratio) -> Iterator[WrongValue]:
    """With capacitors added that are in a row, or taken in a row that stand side by side."""
    farads = [circuit.value(s) for s in circuit.storages]
    total, ones = farads[0], farads[0].field.one / farads[0]
    for one in farads[1:]:
        total, ones = total + one, ones + one.field.one / one
    row = ones.field.one / ones
    for joined, other, said in (
        (row, total, "the capacitors are in a row, but their capacitances are added"),
        (total, row, "the capacitors are side by side, but they are taken as in a row"),
    ):
        seen = true / joined
        if not set(seen.held()) & {name for one in farads for name in one.held()}:
            yield WrongValue("capacitors-combined", said, seen * other)
            for name in _resistors(circuit):
                if circuit.value(name) != seen:
                    said_of = f"{name} alone is taken for what the capacitors see"
                    yield WrongValue("nearest-resistance", said_of, circuit.value(name) * joined)


def redrawn_wrongly(stage: Transient, *, start: bool) -> Iterator[tuple[str, str, Solution]]:
    """Circuits that are taken for the one just after (`start`) or long after the move, but are not."""
    circuit = stage.circuit
    kinds = {circuit.elements[s].kind for s in circuit.storages}
    zero = circuit.field.zero
    coil = Kind.COIL in kinds
    bare = _without_internals(circuit)
    if bare is not circuit:
        said = "the resistance inside an element is not counted"
        other = Transient(bare.worked_in(circuit.field), stage.held)
        yield from _solved("inside-forgotten", said, other.start if start else other.end)
    held_otherwise = dict.fromkeys(circuit.storages, zero)
    if start:
        if any(stage.held.values()):
            entry = "coil-current-jumps" if coil else "currents-for-charge"
            said = "the coil is taken to have lost its current" if coil else "the capacitor is taken as empty"
            yield from _solved(entry, said, Transient(circuit, held_otherwise).start)
        yield from _solved(
            "coil-always" if coil else "capacitor-always",
            "the coil is taken as a wire already" if coil else "the capacitor is taken as a gap already",
            stage.end,
        )
        return
    yield from _solved(
        "coil-always" if coil else "capacitor-always",
        "the coil is taken as a gap for ever" if coil else "the capacitor is taken as a wire for ever",
        Transient(circuit, held_otherwise).start,
    )
    yield from _solved("ends-exchanged", "the value just after is taken for the one long after", stage.start)
    if coil:
        closed = long_after(circuit)
        gaps = {s: Element(s, Kind.SWITCH, closed=False) for s in circuit.storages}
        opened = replace(closed, elements={**closed.elements, **gaps})
        yield from _solved(
            "coil-always", "the coil is taken as a gap for ever", solved_afresh(opened, circuit)
        )


def _solved(entry: str, said: str, solution: Solution | None) -> Iterator[tuple[str, str, Solution]]:
    if solution is not None:
        yield entry, said, solution
