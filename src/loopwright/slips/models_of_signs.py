"""The slips of signs, worked out: terms, sources, whole lines with a sign reversed, results misreported.

A function that gives models says in its sentence what is done wrong, and gives one model for each place
where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import combinations

from ..circuit.elements import Kind
from .equation_slips import EquationRow, EquationTerm, loop_row
from .settings import (
    EquationSlot,
    Model,
    Setting,
    SettingInNumbers,
    SlipOutcome,
    in_slot,
    of_rows,
    of_values,
    turned,
    voltage_name,
)

VOLTAGES = 4  # points up to which every voltage between two is looked at


def sign_slips(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    """Every slip of signs in the setting; `here` are the numbers given."""
    for slot in setting.loop_slots():
        yield from _in_loop(setting, slot)
    for slot in setting.junction_slots():
        for i, term in enumerate(slot.row.terms):
            yield in_slot("junction-sign", f"sign of {term.written}", slot, _with(slot.row, i, turned(term)))
            if slot.usual:
                yield _moved(slot, i)
    yield from _sources(setting)
    yield from _meshes(setting)
    yield from _negatives(here)
    yield from _voltages(setting, here)
    yield from _grounds(setting)
    yield from _charging(setting, here)


def _with(row: EquationRow, at: int, term: EquationTerm) -> list[EquationTerm]:
    return [*row.terms[:at], term, *row.terms[at + 1 :]]


def _in_loop(setting: Setting, slot: EquationSlot) -> Iterator[Model]:
    terms = slot.row.terms
    for i, term in enumerate(terms):
        entry = "drop-sign" if term.current else "source-sign"
        yield in_slot(entry, f"sign of {term.written}", slot, _with(slot.row, i, turned(term)))
        if slot.usual:
            yield _moved(slot, i)
    if any(t.sign < 0 for t in terms if not t.current):
        plus = [t if t.current else replace(t, sign=1) for t in terms]
        yield in_slot("sources-all-plus", "all sources", slot, plus)
    if len({t.sign for t in terms if t.current}) > 1:
        minus = [replace(t, sign=-1) if t.current else t for t in terms]
        yield in_slot("drops-all-minus", "all drops", slot, minus)
        other = [replace(t, sign=-1) if t.current else turned(t) for t in terms]
        yield in_slot("drops-all-minus", "all drops, travelled the other way,", slot, other)
    for at in range(2, len(terms) - 1):
        tail = [*terms[:at], *map(turned, terms[at:])]
        yield in_slot("sense-turned", f"from {terms[at].written} on", slot, tail)


def _moved(slot: EquationSlot, at: int) -> Model:
    term = slot.row.terms[at]
    rows = slot.holding(EquationRow(slot.row.name, tuple(_with(slot.row, at, turned(term)))))
    place = f"{term.written} of {slot.row.name} keeps its sign when moved"
    return of_rows("moved-sign", place, f"a rearranged form of {slot.row.name}", rows)


def _sources(setting: Setting) -> Iterator[Model]:
    """A source signed wrongly wherever it stands, and all batteries at once."""

    def set_with(names: Sequence[str]) -> tuple[EquationRow, ...]:
        return tuple(
            replace(
                row,
                terms=tuple(turned(t) if t.element in names and not t.current else t for t in row.terms),
            )
            for row in setting.rows
        )

    sources = [t.element for row in setting.fixed for t in row.terms if t.element]
    for name in (*setting.batteries, *sources):
        yield of_rows("source-sign", f"{name} the wrong way round throughout", "the loops", set_with([name]))
    if setting.batteries:
        rows = set_with(setting.batteries)
        yield of_rows("terminals-swapped", "all batteries the wrong way round", "the figure", rows)


def _meshes(setting: Setting) -> Iterator[Model]:
    """Loop currents combined wrongly in a branch that two loops share."""
    if not setting.is_plain:
        return
    names = [f"round {i + 1}" for i in range(len(setting.loops))]
    sums = tuple(
        EquationRow(
            f"{b.name} by loop currents",
            (
                EquationTerm(-1, b.name),
                *(
                    EquationTerm(dict(p)[b.name], n)
                    for n, p in zip(names, setting.loops, strict=True)
                    if b.name in dict(p)
                ),
            ),
        )
        for b in setting.circuit.branches
    )
    for b in setting.circuit.branches:
        sharing = [i for i, loop in enumerate(setting.loops) if b.name in dict(loop)]
        if len(sharing) != 2 or not setting.circuit.resistance(b.name):
            continue
        for wrong in ([sharing[0]], [sharing[1]], sharing):
            rows = [*sums]
            for i, loop in enumerate(setting.loops):
                terms: list[EquationTerm] = []
                for t in loop_row(setting.circuit, loop).terms:
                    for j, other in enumerate(setting.loops) if t.current else ():
                        if t.current in dict(other):
                            sign = t.sign * dict(other)[t.current]
                            flip = t.current == b.name and i in wrong and j != i
                            terms.append(replace(t, sign=-sign if flip else sign, current=names[j]))
                    if not t.current:
                        terms.append(t)
                rows.append(EquationRow(f"loop {i + 1}", tuple(terms)))
            where = " and ".join(setting.loop_rows[i].name for i in wrong)
            yield _mesh_model(f"loop currents combined wrongly in {b.name}, {where}", tuple(rows), names)


def _mesh_model(place: str, rows: tuple[EquationRow, ...], names: Sequence[str]) -> Model:
    def at(point: SettingInNumbers) -> SlipOutcome:
        return point.outcome(rows, extra=names)

    return Model("mesh-sum", place, place.rpartition(", ")[2], at)


def _negatives(here: SettingInNumbers) -> Iterator[Model]:
    """What is done with negative results."""
    negative = [name for name, value in here.right.items() if value < 0]
    groups = [[name] for name in negative] + ([negative] if len(negative) > 1 else [])
    for names in groups:
        told = " and ".join(names)
        yield _reported("double-flip", f"{told}: arrow turned and minus kept", "the arrows drawn", names)
        yield _reported("minus-dropped", f"minus of {told} dropped", "the last line", names)
        yield _reported("negative-impossible", f"{told} set to 0", "the last line", names, 0)


def _reported(entry: str, place: str, line: str, names: Sequence[str], factor: int = -1) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        right = point.right
        return {n: v * factor if n in names and v < 0 else v for n, v in right.items()}

    return of_values(entry, place, line, values)


def _voltages(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    points = setting.circuit.points
    for a, b in combinations(points, 2) if len(points) <= VOLTAGES else ():
        if here.voltage(a, b):
            yield _turned_voltage(a, b)


def _turned_voltage(a: str, b: str) -> Model:
    name = voltage_name(a, b)
    place = f"{name} taken from {a} to {b} the other way"
    return of_values(
        "voltage-order", place, "the last line", lambda p: {name: -(p.voltage(a, b) or Fraction(0))}
    )


def _grounds(setting: Setting) -> Iterator[Model]:
    """Two ends of a branch both at zero: one equation too many."""
    done: set[frozenset[str]] = set()
    for b in setting.circuit.branches:
        ends = frozenset((b.start, b.end))
        if len(ends) < 2 or ends in done or setting.circuit.fixed_current(b.name) is not None:
            continue
        done.add(ends)
        across = loop_row(setting.circuit, ((b.name, 1),))
        if across.terms:
            rows = (*setting.rows, EquationRow(f"V({b.start}, {b.end}) = 0", across.terms))
            place = f"{b.start} and {b.end} both at zero"
            yield of_rows("two-grounds", place, "the choice of the zero of potential", rows)


def _charging(setting: Setting, here: SettingInNumbers) -> Iterator[Model]:
    """Batteries being charged: terminal voltage and power signed as if they supplied."""
    for b in setting.driven:
        if len([p for p in b.passes if p.sign]) != 1 or b.start == b.end:
            continue
        sign = next(p.sign for p in b.passes if p.sign)
        battery = next(p.element for p in b.passes if p.sign)
        if setting.circuit.elements[battery].kind is not Kind.BATTERY or here.right[b.name] * sign >= 0:
            continue
        high, low = (b.end, b.start) if sign > 0 else (b.start, b.end)
        if setting.circuit.resistance(b.name):
            yield _terminal_voltage(b.name, battery, high, low)
        if not setting.circuit.internal_resistance(battery):
            yield _supplied(b.name, battery)


def _terminal_voltage(branch: str, battery: str, high: str, low: str) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        lost = abs(point.right[branch]) * point.resistance(branch)
        return {voltage_name(high, low): point.values[battery, False] - lost}

    told = f"{voltage_name(high, low)} as {battery} less the drop in its internal resistance"
    place = f"{told}, though it is being charged"
    return of_values("charging-voltage", place, f"the voltage of {battery}", values)


def _supplied(branch: str, battery: str) -> Model:
    def values(point: SettingInNumbers) -> Mapping[str, Fraction]:
        return {f"P({battery})": point.values[battery, False] * abs(point.right[branch])}

    place = f"{battery} counted as supplying though it is being charged"
    return of_values("source-supplies", place, "the powers", values)
