"""The slips in equations and connections, worked out: what is left out, confused or wrongly combined.

A function that gives models says in its sentence what is done wrong, and gives one model for each place
where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations, permutations

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..graph.lines import Loop
from .equation_slips import EquationRow, EquationTerm, junction_row, loop_row
from .models_of_reduction import reduction_slips
from .settings import (
    EquationSlot,
    Model,
    Setting,
    SettingInNumbers,
    SlipOutcome,
    in_slot,
    of_rows,
    of_values,
    voltage_name,
)

LABELS = 6  # branches up to which one name for two currents is looked at


def system_slips(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    """Every slip in equations and connections in the setting; `here` are the numbers given."""
    yield from _too_few(setting)
    for slot in setting.loop_slots():
        yield from _left_out(slot)
        yield from _wrong_current(setting, slot)
    for chosen in setting.loop_sets:
        yield from _own_current(setting, chosen)
    for slot in setting.junction_slots():
        for i, term in enumerate(slot.row.terms):
            rest = [*slot.row.terms[:i], *slot.row.terms[i + 1 :]]
            yield in_slot("branch-missing", f"{term.written} left out", slot, rest)
    yield from _throughout(setting)
    yield from _one_name(setting)
    yield from reduction_slips(setting)
    yield from _no_current(setting)
    yield from _bridge(setting)
    yield from _divider(setting)


def _too_few(setting: Setting) -> Iterator[Model]:
    """Sets that are not enough: left open, or patched with a guess."""
    junctions, loops, fixed = setting.junctions, setting.loop_rows, setting.fixed
    for at, row in enumerate(junctions):
        rest = (*junctions[:at], *junctions[at + 1 :])
        for spare in setting.spare_loops[:1]:
            rows = (*rest, *loops, loop_row(setting.circuit, spare), *fixed)
            yield of_rows("loops-only", f"a loop more in the place of {row.name}", row.name, rows)
    left = [junction_row(setting.circuit, p) for p in setting.circuit.points]
    for again in [row for row in left if row.terms and row not in junctions][:1]:
        for at, row in enumerate(loops):
            rows = (*junctions, again, *loops[:at], *loops[at + 1 :], *fixed)
            place = f"{again.name} in the place of {row.name}"
            yield of_rows("junction-twice", place, again.name, rows)
    for at, row in enumerate(loops):
        for name, _ in setting.loops[at]:
            guess = EquationRow(f"{name} = 0", (EquationTerm(1, name),))
            rows = (*junctions, *loops[:at], *loops[at + 1 :], guess, *fixed)
            yield of_rows("too-few", f"{name} = 0 in the place of {row.name}", row.name, rows)
    names = set(setting.circuit.currents)
    for count in range(1, len(setting.loops)):
        for chosen in combinations(setting.known_loops, count):
            if {name for loop in chosen for name, _ in loop} == names:
                written = [loop_row(setting.circuit, loop) for loop in chosen]
                place = f"only {' and '.join(row.name for row in written)}"
                yield of_rows("cover-rule", place, "the count of loops", (*junctions, *written, *fixed))
                return


def _left_out(slot: EquationSlot) -> Iterator[Model]:
    for i, term in enumerate(slot.row.terms):
        rest = [*slot.row.terms[:i], *slot.row.terms[i + 1 :]]
        entry = "drop-missing" if term.current else "source-missing"
        yield in_slot(entry, f"{term.written} left out", slot, rest)


def _wrong_current(setting: Setting, slot: EquationSlot) -> Iterator[Model]:
    """The drops of one branch of a loop with the current of another branch of it."""
    senses = dict(slot.loop)
    neighbours = {
        frozenset((a[0], b[0])) for a, b in zip(slot.loop, (*slot.loop[1:], *slot.loop[:1]), strict=True)
    }
    for name, other in permutations(senses, 2):
        if not any(t.current == name for t in slot.row.terms):
            continue
        terms = [
            replace(t, current=other, sign=-senses[other]) if t.current == name else t for t in slot.row.terms
        ]
        yield in_slot("wrong-current", f"{other} for {name} in its drop", slot, terms)
        has_both = setting.circuit.resistance(name) and setting.circuit.resistance(other)
        if slot.usual and has_both and frozenset((name, other)) in neighbours:
            place = f"{name} and {other} as one current through a series chain"
            yield in_slot("false-series", place, slot, terms)


def _own_current(setting: Setting, chosen: Sequence[Loop]) -> Iterator[Model]:
    """Each loop with one current all the way round: that of a branch in no other loop of the set."""
    count = {n: sum(n in dict(loop) for loop in chosen) for n in setting.circuit.currents}
    own = [next((pair for pair in loop if count[pair[0]] == 1), None) for loop in chosen]
    if len(chosen) < 2 or any(pair is None for pair in own):
        return
    rows: list[EquationRow] = []
    for loop, pair in zip(chosen, own, strict=True):
        row = loop_row(setting.circuit, loop)
        if pair is not None:
            terms = [
                replace(t, current=pair[0], sign=-pair[1]) if count.get(t.current, 0) > 1 else t
                for t in row.terms
            ]
            rows.append(EquationRow(row.name, tuple(terms)))
    place = f"own current in what is shared, in {' and '.join(row.name for row in rows)}"
    whole = (*setting.junctions, *rows, *setting.fixed)
    yield of_rows("wrong-current", place, "the loops", whole, usual=chosen == setting.loops)


def _throughout(setting: Setting) -> Iterator[Model]:
    """An element left out of every equation."""
    for name in (*setting.resistors, *setting.batteries):
        resistor = name in setting.resistors
        rows = tuple(
            replace(
                row,
                terms=tuple(t for t in row.terms if t.element != name or bool(t.current) is not resistor),
            )
            for row in setting.rows
        )
        if any(rows[i] != row for i, row in enumerate(setting.rows)):
            entry = "drop-missing" if resistor else "source-missing"
            yield of_rows(entry, f"{name} left out throughout", "the loops", rows)
            if resistor:
                yield of_rows(
                    "points-confused", f"the ends of {name} taken for one point", "the figure", rows
                )


def _one_name(setting: Setting) -> Iterator[Model]:
    names = setting.circuit.currents
    for one, other in combinations(names, 2) if len(names) <= LABELS else ():
        same = EquationRow(f"{one} = {other}", (EquationTerm(1, one), EquationTerm(-1, other)))
        place = f"one name for {one} and {other}"
        yield of_rows("label-twice", place, "the names of the currents", (*setting.rows, same))


# -- gaps, shorts, bridges, dividers ---------------------------------------------------------------


def _no_current(setting: Setting) -> Iterator[Model]:
    """Wires without current, gaps without voltage, gaps with current."""
    circuit = setting.circuit
    for b in circuit.branches:
        switches = [p.element for p in b.passes if circuit.elements[p.element].is_gap]
        if switches and b.start != b.end and not circuit.rise(b.name):
            place = f"no voltage across the open branch of {b.name}"
            yield _flat("open-no-voltage", place, b)
            yield _flat("voltage-needs-current", place, b)
        for name in switches:
            if circuit.elements[name].kind is Kind.SWITCH:
                closed = replace(
                    circuit,
                    elements={**circuit.elements, name: replace(circuit.elements[name], closed=True)},
                )
                yield from on_circuit("current-to-gap", f"{b.name} as if {name} were closed", closed)
        wire = not circuit.resistance(b.name) and not circuit.rise(b.name)
        if wire and circuit.fixed_current(b.name) is None and (rows := setting.cut(b.name)):
            yield of_rows("short-no-current", f"no current in the wire {b.name}", "the loops", rows)


def _flat(entry: str, place: str, b: Branch) -> Model:
    name = voltage_name(b.start, b.end)
    return of_values(entry, place, f"the line for {name}", lambda point: {name: Fraction(0)})


def on_circuit(entry: str, place: str, circuit: Circuit) -> Iterator[Model]:
    """The slip of working another circuit with the same currents; nothing where that has no laws."""
    changed = Setting(circuit)

    def at(point: SettingInNumbers) -> SlipOutcome:
        return SettingInNumbers(changed, point.symbols).outcome(changed.rows)

    yield Model(entry, place, "the figure", at)


def _bridge(setting: Setting) -> Iterator[Model]:
    """Four points, each two joined by one branch, and one battery: the branch across from it."""
    circuit = setting.circuit
    ends = {frozenset((b.start, b.end)) for b in circuit.branches}
    shape = len(circuit.points) == 4 and len(circuit.branches) == 6 == len(ends)
    if not shape or len(setting.driven) != 1:
        return
    source = setting.driven[0]
    middle = next(b for b in circuit.branches if not {b.start, b.end} & {source.start, source.end})
    if circuit.fixed_current(middle.name) is not None:
        return
    if rows := setting.cut(middle.name):
        yield of_rows("bridge-balanced", f"{middle.name} set to 0 without a test", f"{middle.name} = 0", rows)
        yield of_rows("bridge-reduced", f"arms in series, {middle.name} left out", "the figure", rows)
    joined = tuple(
        replace(row, terms=tuple(t for t in row.terms if t.current != middle.name or not t.element))
        for row in setting.rows
    )
    if circuit.resistance(middle.name):
        yield of_rows("bridge-reduced", f"arms in parallel, {middle.name} as a wire", "the figure", joined)


def _divider(setting: Setting) -> Iterator[Model]:
    """A divider with its load left out, and shares of a current taken the wrong way round."""
    if setting.side_by_side and len(setting.driven) == 1 and len(setting.passive) == 2:
        for load, kept in permutations(setting.passive):
            yield _unloaded(setting.driven[0], kept, load)
    for one, other in combinations(setting.circuit.branches, 2):
        together = {one.start, one.end} == {other.start, other.end} and one.start != one.end
        fixed = any(setting.circuit.fixed_current(b.name) is not None for b in (one, other))
        if together and not fixed and all(setting.circuit.resistance(b.name) for b in (one, other)):
            yield _shared(one, other, inverted=True)
            if one in setting.driven or other in setting.driven:
                yield _shared(one, other, inverted=False)


def _unloaded(source: Branch, kept: Branch, load: Branch) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        chain = point.resistance(source.name) + point.resistance(kept.name)
        current = point.rise(source.name) / chain
        sign = 1 if source.end == kept.start else -1
        fall = current * sign * point.resistance(kept.name)
        across = fall if load.start == kept.start else -fall
        return {
            source.name: current,
            kept.name: current * sign,
            load.name: across / point.resistance(load.name),
            voltage_name(kept.start, kept.end): fall,
        }

    place = f"divider rule for {source.name} and {kept.name} although {load.name} is connected"
    return of_values("loaded-divider", place, f"the voltage across {kept.name}", values)


def _shared(one: Branch, other: Branch, *, inverted: bool) -> Model:
    """Two branches side by side: their sum kept, shared out by their own or by the other's resistance."""

    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        sense = 1 if one.start == other.start else -1
        total = point.right[one.name] + sense * point.right[other.name]
        r, s = point.resistance(one.name), point.resistance(other.name)
        share = (r if inverted else s) / (r + s)
        return {**point.right, one.name: total * share, other.name: total * (1 - share) * sense}

    how = "by their own resistance" if inverted else "as by resistances alone, batteries left aside"
    place = f"{one.name} and {other.name} shared out {how}"
    return of_values("divider-inverted", place, f"the line for {one.name}", values)
