"""The slips of algebra between the lines, worked out: brackets, miscopied terms, lines combined wrongly.

A function that gives models says in its sentence what is done wrong, and gives one model for each place
where that can be done in the circuit.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import permutations

from .equation_slips import EquationRow, EquationTerm, junction_row
from .settings import EquationSlot, Model, Setting, SettingInNumbers, SlipOutcome, in_slot, of_rows


def algebra_slips(setting: Setting) -> Iterator[Model]:
    """Every slip of algebra between the lines in the setting."""
    for slot in setting.loop_slots(usual_only=True):
        yield from _brackets(setting, slot)
        yield from _miscopied(setting, slot)
        yield from _counted_wrongly(slot)
    for one, other in permutations(range(len(setting.loops)), 2):
        yield from _eliminated(setting, one, other)


def _brackets(setting: Setting, slot: EquationSlot) -> Iterator[Model]:
    """A current replaced by the others of a junction, and the brackets round these lost."""
    circuit = setting.circuit
    for i, term in enumerate(slot.row.terms):
        if not term.current:
            continue
        b = circuit.branch(term.current)
        for p in (b.start, b.end) if len(circuit.points) > 2 else (b.start,):
            junction = junction_row(circuit, p).terms
            own = next((t for t in junction if t.current == b.name), None)
            others = [t for t in junction if t.current != b.name]
            if own is None or len(others) < 2:
                continue
            put = [replace(term, current=t.current, sign=-term.sign * t.sign * own.sign) for t in others]
            rest = [*slot.row.terms[:i], *slot.row.terms[i + 1 :]]
            for j, lost in enumerate(put):
                bare = [*put[:j], EquationTerm(lost.sign, lost.current), *put[j + 1 :]]
                place = f"{lost.current} without its factor where {term.written} is put in by junction {p}"
                yield in_slot("bracket-lost", place, slot, [*rest, *bare])
                flipped = [*put[:j], replace(lost, sign=-lost.sign), *put[j + 1 :]]
                place = f"sign of {lost.current} lost where {term.written} is put in by junction {p}"
                yield in_slot("minus-bracket", place, slot, [*rest, *flipped])


def _counted_wrongly(slot: EquationSlot) -> Iterator[Model]:
    """A term counted twice, or a drop without its resistance."""
    for i, term in enumerate(slot.row.terms):
        yield in_slot("term-twice", f"{term.written} twice", slot, [*slot.row.terms, term])
        if term.current:
            bare = [*slot.row.terms[:i], EquationTerm(term.sign, term.current), *slot.row.terms[i + 1 :]]
            yield in_slot("factor-missing", f"{term.current} for {term.written}", slot, bare)


def _miscopied(setting: Setting, slot: EquationSlot) -> Iterator[Model]:
    """One element written for another of its kind in one term."""
    for i, term in enumerate(slot.row.terms):
        alike = setting.resistors if term.current else setting.batteries
        for name in alike if not term.internal else ():
            if name != term.element:
                terms = [*slot.row.terms[:i], replace(term, element=name), *slot.row.terms[i + 1 :]]
                yield in_slot("copied-wrong", f"{name} for {term.element} in {term.written}", slot, terms)


def _eliminated(setting: Setting, one: int, other: int) -> Iterator[Model]:
    """Two loop equations combined to get rid of a shared current; the first is kept beside."""
    a, b = setting.loop_rows[one], setting.loop_rows[other]
    shared = {t.current for t in a.terms if t.current} & {t.current for t in b.terms if t.current}
    rest = tuple(row for i, row in enumerate(setting.rows) if row is not b)
    for name in sorted(shared, key=setting.circuit.currents.index):
        in_a, in_b = ([t for t in row.terms if t.current == name] for row in (a, b))
        if {(t.element, t.internal) for t in in_a} != {(t.element, t.internal) for t in in_b}:
            continue
        same = in_a[0].sign == in_b[0].sign
        turn = 1 if same else -1  # right: subtract where the signs are the same
        out = [t for t in a.terms if t.current != name]
        out += [replace(t, sign=t.sign * turn) for t in b.terms if t.current != name]
        told = f"{a.name} and {b.name}, {a.name} kept"
        verb = "added" if same else "subtracted"
        place = f"{verb} to remove {name}: {told}"
        whole = (*rest, EquationRow(f"the sum of {told}", tuple(out)))
        yield of_rows("added-for-subtracted", place, "the line that combines two loops", whole)
        once = (*rest, EquationRow(f"the sum of {told}", (*out, *in_a)))
        place = f"{name} counted once in the sum of {told}"
        yield of_rows("shared-once", place, "the line that combines two loops", once)
    yield from _unscaled(setting, a, b, shared)


def _unscaled(setting: Setting, a: EquationRow, b: EquationRow, shared: set[str]) -> Iterator[Model]:
    """`a` multiplied by a resistance of the shared current in `b`, but for one term."""
    factors = [t for t in b.terms if t.current in shared]
    for factor in factors[:1]:
        for term in a.terms:
            yield _scaled_but(setting, a, term, factor)


def _scaled_but(setting: Setting, row: EquationRow, term: EquationTerm, factor: EquationTerm) -> Model:
    others = tuple(other for other in setting.rows if other is not row)

    def at(point: SettingInNumbers) -> SlipOutcome:
        size = abs(point.coefficient(factor))
        scaled = {n: v * size for n, v in point.row(row).items()}
        scaled[term.current] += point.coefficient(term) * (1 - size)
        return point.outcome(others, [scaled])

    place = f"{row.name} times {factor.written.split()[-1]} but for {term.written}"
    return Model("one-term-multiplied", place, f"{row.name} multiplied", at)
