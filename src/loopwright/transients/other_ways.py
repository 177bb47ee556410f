"""Checks of a stage by other circuits: nothing stored and sources at rest, coils for capacitors, storages
scaled, begun where it ends; and what of a charge must stay where it is.

Where a check solves a circuit afresh it does so with numbers put in, those of the circuit or small whole
ones, and compares exactly.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd
from ..checks.ledger.ledger import LedgerEntry, found_wrong, listed, not_applicable
from ..circuit.changed import at_rest
from ..circuit.circuit import Circuit
from ..circuit.elements import STORAGES, Kind
from ..errors import FaultyMaterial
from ..expressions.said import counted
from .amounts import same_course, scaled, slope_of, starts_at, summed
from .course import Course, Decay, course
from .image import image
from .redrawn import just_after, solved_afresh
from .transient import Transient

ENDS_ALONE = "more than two rates depend on one another: in symbols only the ends are told"
_FACTOR = 3  # how many times larger storages are made


# -- where it begins -------------------------------------------------------------------------------


def first_slope(stage: Transient) -> LedgerEntry:
    """How fast each store begins to change, from the circuit redrawn just after; with one time constant, that
    the tangent there meets the end after it."""
    code, title = "time/first-slope", "First slope"
    method = "I/C and V/L in the circuit redrawn just after, against the first slope of what is stored"
    circuit, solved, wrong = stage.circuit, stage.start, list[str]()
    if not stage.is_whole:
        return not_applicable(code, title, method, ENDS_ALONE)
    if solved is None:
        return not_applicable(code, title, method, "something must jump: there is no first slope")
    tangents = True
    for name in circuit.storages:
        held, current = stage.stored(name), solved.currents[circuit.branch_of(name).name]
        drives = current
        if circuit.elements[name].kind is Kind.COIL:
            try:
                drives = solved.across(name) - current * circuit.internal_resistance(name)
            except FaultyMaterial:
                return not_applicable(code, title, method, f"nothing decides the voltage of {name}")
        slope = drives / circuit.value(name)
        if not starts_at(slope_of(held), slope):
            wrong.append(name)
        elif len(held.decays) == 1 and held.long_after is not None and held.decays[0].is_plain:
            wrong += [] if slope == held.decays[0].rate.plain * (held.end - stage.held[name]) else [name]
        else:
            tangents = False
    told = f"the same for {listed(list(circuit.storages))}"
    return found_wrong(
        code, title, method, wrong, f"{told}; times τ it is end less start" if tangents else told
    )


def charge_kept(stage: Transient) -> LedgerEntry:
    """That the charge on the plates of every part that capacitors cut off never changes."""
    code, title = "time/charge", "Charge kept"
    method = "the charge on all plates of each part that only capacitors and gaps join to the rest"
    circuit, wrong, told = stage.circuit, list[str](), 0
    if not stage.is_whole:
        return not_applicable(code, title, method, ENDS_ALONE)
    for island in _islands(circuit):
        plates = [(stage.stored(name), sign, circuit.value(name)) for name, sign in island.items()]
        if not plates:
            continue
        told += 1
        begun = circuit.field.zero
        for name, sign in island.items():
            begun = begun + stage.held[name] * circuit.value(name) * sign
        whole = summed(*((scaled(held, farads), sign) for held, sign, farads in plates))
        still = Course(begun, (), circuit.field.zero, circuit.field.zero, error=whole.error)
        if not same_course(replace(whole, burst=circuit.field.zero), still):
            wrong.append(listed(list(island)))
    if not told:
        return not_applicable(code, title, method, "no part is joined to the rest by capacitors alone")
    return found_wrong(code, title, method, wrong, f"it stays in {counted(told, 'part')}")


def _islands(circuit: Circuit) -> list[dict[str, int]]:
    """The parts of a circuit that hang together without capacitors and gaps: each by the capacitors at its
    edge, +1 where the arrow comes from it, so that it holds the plate that is charged along the arrow."""
    part: dict[str, str] = {}

    def found(spot: str) -> str:
        while part.setdefault(spot, spot) != spot:
            spot = part[spot]
        return spot

    ends: dict[str, tuple[str, str]] = {}
    for b in circuit.branches:
        here = b.start
        for k, met in enumerate(b.passes, 1):
            there = b.end if k == len(b.passes) else f"{b.name}\0{k}"
            found(here), found(there)
            if circuit.elements[met.element].kind is Kind.CAPACITOR:
                ends[met.element] = (here, there)
            elif not circuit.elements[met.element].is_gap:
                part[found(here)] = found(there)
            here = there
        if not b.passes:
            part[found(b.start)] = found(b.end)
    islands: dict[str, dict[str, int]] = {}
    for name, (here, there) in ends.items():
        if found(here) != found(there):
            islands.setdefault(found(here), {})[name] = 1
            islands.setdefault(found(there), {})[name] = -1
    return list(islands.values())


# -- the storages changed --------------------------------------------------------------------------


def storages_scaled(stage: Transient) -> LedgerEntry:
    """That storages so many times larger only make all times so many times longer: for smaller and smaller
    ones everything is at its end at once, for larger and larger ones it stays as just after."""
    code, title = "time/scaled", "Storages to 0 and to infinity"
    method = (
        "every C and L taken k times: all times grow k times; for C, L → 0 the end is there at once, "
        "for C, L → ∞ the start stays"
    )
    circuit = stage.circuit
    symbols = [s for s in circuit.symbols if circuit.role(s) in STORAGES]
    if not symbols or not stage.is_whole:
        return not_applicable(code, title, method, "the storages have no symbols of their own here")
    field = circuit.field
    larger = {s: field.symbol(s) * _FACTOR for s in symbols}
    wrong = []
    for name, one in stage.currents.items():
        slower = tuple(
            Decay(
                d.amplitude * field.number(Fraction(1, _FACTOR**d.power)),
                d.rate * field.number(Fraction(1, _FACTOR)),
                d.power,
            )
            for d in one.decays
        )
        wanted = Course(one.end, slower, one.slope / _FACTOR, one.burst * _FACTOR)
        if not same_course(_put_in(one, larger), wanted):
            wrong.append(name)
    return found_wrong(code, title, method, wrong, f"so it is for {counted(len(stage.currents), 'current')}")


def _put_in(one: Course, values: Mapping[str, Ratio]) -> Course:
    """A course with other values of some symbols."""

    def put(amount: Surd) -> Surd:
        return Surd(amount.plain.at(values), amount.factor.at(values), amount.under.at(values))

    decays = tuple(Decay(put(d.amplitude), put(d.rate), d.power) for d in one.decays)
    return Course(one.end.at(values), decays, one.slope.at(values), one.burst.at(values))


def exchanged(stage: Transient) -> LedgerEntry:
    """That with coils for capacitors and capacitors for coils every current has its two ends exchanged, and
    each rate is one over what it was (L C = 1 s²); what a storage held stands beside it as a source."""
    code, title = "time/exchanged", "Coils for capacitors"
    method = (
        "solved again with L = 1 s²/C for each C and C = 1 s²/L for each L: start and end change places, "
        "and the time constants multiply to 1 s²"
    )
    bare, claims = stage.point.circuit, stage.point.currents
    if any(d.power or not d.rate for c in claims.values() for d in c.decays):
        return not_applicable(code, title, method, "two rates are equal")
    other = image(bare, stage.point.held, exchanged=True, posed=True).currents
    wrong = []
    for name, one in claims.items():
        found, minus = course(other[name], bare.field), bare.field.number(-1)
        decays = tuple(Decay(d.amplitude * minus, d.rate.inverse()) for d in one.decays)
        wanted = Course(one.just_after, decays, one.burst, one.slope)
        rounded = one.error or found.error
        good = starts_at(found, one.end) and starts_at(one, found.end)
        wrong += [] if good and (rounded or same_course(found, wanted)) else [name]
    told = f"so it is for {counted(len(claims), 'current')}"
    return found_wrong(code, title, method, wrong, told)


# -- other starts ----------------------------------------------------------------------------------


def standing(stage: Transient) -> LedgerEntry:
    """That the stage, begun with what it ends with, does not change."""
    code, title = "time/standing", "Begun where it ends"
    method = (
        "storages holding what they come to long after: every current stands at its end, and nothing stored "
        "changes"
    )
    bare, claims = stage.point.circuit, stage.point.currents
    ends: dict[str, Ratio] = {}
    for name in bare.storages:
        held = stage.stored(name)
        if held.long_after is None:
            return not_applicable(code, title, method, f"{name} grows without limit")
        ends[name] = bare.field.number(held.end.value(stage.point.numbers))
    solved = solved_afresh(just_after(bare, ends), bare)
    if solved is None:
        return not_applicable(code, title, method, "with sources for the storages it has no one answer")
    wrong = [name for name, one in claims.items() if solved.currents[name] != one.end]
    for name, held_at_end in ends.items():
        current = solved.currents[bare.branch_of(name).name]
        if bare.elements[name].kind is Kind.COIL:
            try:
                current = solved.across(name) - held_at_end * bare.internal_resistance(name)
            except FaultyMaterial:
                continue
        wrong += [name] if current else []
    return found_wrong(
        code, title, method, wrong, f"nothing moves in {counted(len(claims), 'branch', 'branches')}"
    )


def superposed(stage: Transient) -> LedgerEntry:
    """That every current is the sum of what the sources alone and what the stores alone make."""
    code, title = "time/superposed", "Start alone and sources alone"
    method = "solved with nothing stored, and with all sources at rest; their sum"
    if not any(stage.held.values()):
        return not_applicable(code, title, method, "nothing is stored at the start")
    bare, claims = stage.point.circuit, stage.point.currents
    driven = image(bare, dict.fromkeys(bare.storages, bare.field.zero), posed=True).currents
    free = image(at_rest(bare).worked_in(bare.field), stage.point.held, posed=True).currents
    wrong = [n for n, one in claims.items() if not same_course(one, course(driven[n] + free[n], bare.field))]
    return found_wrong(code, title, method, wrong, f"all {len(claims)} currents are the sum of the two")
