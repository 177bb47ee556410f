"""What of a circuit stays the same when it is renamed and redrawn, in three strengths.

Renamed: elements, symbols, currents and points bear other names, arrows run the other way. Redrawn: branches
come in another order, elements slide along their branch, points that a plain wire joins are drawn as one, a
point at which only two branches meet is drawn or left out. None of these changes a current.

Each strength is one text (`graph/canonical`), so that circuits alike are found by looking it up. Questions,
title and story play no part.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum
from hashlib import sha256

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_OF, Element, Kind, Pass
from ..expressions.values import ratio_of
from ..graph.canonical import TooSymmetric, canonical_form
from ..graph.connections import parts
from ..graph.lines import Link


class Likeness(StrEnum):
    """How like two circuits are, the most alike first."""

    NUMBERS = "the same numbers"  # every value equal; symbols without a number by which are equal
    LETTERS = "other numbers"  # equal values where the other has equal values
    SHAPE = "the same shape"  # the same kinds of elements in the same places, whatever values and senses


@dataclass(frozen=True, slots=True)
class _Met:
    """An element as its chain meets it. `values`: what stands for each of its values, by what it is."""

    kind: str
    sense: int
    values: tuple[tuple[str, str], ...]

    def back(self) -> _Met:
        """The same, met the other way."""
        return replace(self, sense=-self.sense)

    def key(self) -> tuple[str, int, tuple[tuple[str, str], ...]]:
        """For sorting."""
        return self.kind, self.sense, self.values


@dataclass(frozen=True, slots=True)
class _Chain:
    """What stands between two points, in no order."""

    start: str
    end: str
    met: tuple[_Met, ...]

    def back(self) -> _Chain:
        """The same, from its other end."""
        return _Chain(self.end, self.start, _sorted(met.back() for met in self.met))


def likeness(circuit: Circuit) -> Mapping[Likeness, str]:
    """A short text for each strength: equal for two circuits exactly where they are alike in that strength.

    Empty where a circuit has so many parts alike that it would take too long to tell.
    """
    try:
        return {strength: _form(circuit, strength) for strength in Likeness}
    except TooSymmetric:
        return {}


def chains(circuit: Circuit) -> tuple[Link, ...]:
    """What stands between points once plain wires are made points and chains are made one."""
    return tuple(
        Link(str(at), chain.start, chain.end) for at, chain in enumerate(_chains(circuit, Likeness.SHAPE))
    )


def _form(circuit: Circuit, strength: Likeness) -> str:
    found = _chains(circuit, strength)
    colours: list[str] = []
    arcs: list[tuple[int, int, str]] = []

    def vertex(colour: str) -> int:
        colours.append(colour)
        return len(colours) - 1

    joints = _joints(circuit)
    points = {p: vertex(f"point {joints.get(p, '')}") for chain in found for p in (chain.start, chain.end)}
    classes: dict[str, int] = {}
    for chain, times in Counter(map(_forward, found)).items():
        ways = (chain, chain.back())
        bare = [repr([met.key() for met in way.met if not _shared(met)]) for way in ways]
        there, back = (vertex(f"chain of {times}: {text}") for text in bare)
        arcs += [(there, back, "back"), (back, there, "back")]
        for way, origin, end in ((there, chain.start, chain.end), (back, chain.end, chain.start)):
            arcs += [(way, points[origin], "from"), (way, points[end], "to")]
        for met, count in Counter(met for met in chain.met if _shared(met)).items():
            plain = [(what, value) for what, value in met.values if not value.startswith("class ")]
            element = vertex(f"{count} of {met.kind} {plain}")
            arcs += [(there, element, f"sense {met.sense}"), (back, element, f"sense {-met.sense}")]
            for what, value in met.values:
                if value.startswith("class "):
                    if value not in classes:
                        classes[value] = vertex("class")
                    arcs.append((element, classes[value], what))
    return sha256(canonical_form(colours, arcs).encode()).hexdigest()[:32]


def _shared(met: _Met) -> bool:
    """Whether a value of the element is also that of another."""
    return any(value.startswith("class ") for _, value in met.values)


def _forward(chain: _Chain) -> _Chain:
    """The one of its two ways by which equal chains side by side are recognised."""
    return min(chain, chain.back(), key=lambda c: (c.start, c.end, [met.key() for met in c.met]))


def _joints(circuit: Circuit) -> Mapping[str, str]:
    """The points at which sections of a ladder without end meet, with what each is."""
    if circuit.ladder is None:
        return {}
    same, ladder = _same_point(circuit), circuit.ladder
    roles: dict[str, list[str]] = defaultdict(list)
    for ends, what in ((ladder.start, "begins"), (ladder.end, "ends")):
        for side, point in enumerate(ends):
            roles[same[point]].append(f"{what} {side}")
    return {point: ", ".join(role) for point, role in roles.items()}


def _same_point(circuit: Circuit) -> Mapping[str, str]:
    """For every point at which branches meet, the point that stands for it: plain wires join them."""
    wires = [b for b in circuit.branches if not b.passes]
    return parts(circuit.points, wires).part


# -- chains ---------------------------------------------------------------------------------------


def _chains(circuit: Circuit, strength: Likeness) -> list[_Chain]:
    same, told = _same_point(circuit), _Values(circuit, strength)
    found = {
        at: _Chain(same[b.start], same[b.end], _sorted(told.met(p) for p in b.passes))
        for at, b in enumerate(circuit.branches)
        if b.passes
    }
    joints = _joints(circuit)
    at_point: dict[str, list[int]] = defaultdict(list)
    for at, chain in found.items():
        at_point[chain.start].append(at)
        at_point[chain.end].append(at)
    for point, ends in at_point.items():
        if len(ends) != 2 or ends[0] == ends[1] or point in joints:
            continue
        one, other = found.pop(ends[0]), found.pop(ends[1])
        one = one if one.end == point else one.back()
        other = other if other.start == point else other.back()
        found[ends[0]] = _Chain(one.start, other.end, _sorted((*one.met, *other.met)))
        at_point[other.end] = [ends[0] if at == ends[1] else at for at in at_point[other.end]]
    return list(found.values())


def _sorted(met: Iterator[_Met] | tuple[_Met, ...]) -> tuple[_Met, ...]:
    return tuple(sorted(met, key=_Met.key))


class _Values:
    """What stands for each value of an element in one strength: `=4` for a number that counts, `class n` for
    a value that several have, `alone` for one that only one has."""

    def __init__(self, circuit: Circuit, strength: Likeness) -> None:
        self.circuit, self.strength = circuit, strength
        self.moves = {
            move.switch: str(
                [(m.before, m.after, m.at) for m in circuit.switching if m.switch == move.switch]
            )
            for move in circuit.switching
        }
        passes = [p for b in circuit.branches for p in b.passes]
        self.values = {p.element: self._values(circuit.elements[p.element]) for p in passes}
        self.times = Counter(value for values in self.values.values() for _, value in values)
        self.numbers = {value: f"class {at}" for at, value in enumerate(self.times)}

    def met(self, p: Pass) -> _Met:
        """The element of a pass as this strength sees it."""
        element = self.circuit.elements[p.element]
        kind = str(element.kind)
        if element.kind is Kind.SWITCH:
            kind += f" {'closed' if element.closed else 'open'} {self.moves.get(element.name, [])}"
        if self.strength is Likeness.SHAPE:
            return _Met(kind, 0, tuple((what, "") for what, _ in self.values[p.element]))
        told = tuple((what, self._told(value)) for what, value in self.values[p.element])
        holds = dict(told).get("start", "=0 ")
        return _Met(kind, p.sign if holds.startswith("=0 ") else 1, told)

    def _values(self, element: Element) -> tuple[tuple[str, str], ...]:
        """Every value of an element with its unit, so that volts never equal ohms."""
        found: list[tuple[str, str]] = []
        if element.kind in UNIT_OF:
            found.append(("value", self._text(self.circuit.value(element.name), UNIT_OF[element.kind])))
        if element.internal is not None:
            inside = self.circuit.internal_resistance(element.name)
            found.append(("internal", self._text(inside, UNIT_OF[Kind.RESISTOR])))
        if element.name in self.circuit.start:
            held = ratio_of(self.circuit.start[element.name], self.circuit.field)
            found.append(("start", self._text(held, "V" if element.kind is Kind.CAPACITOR else "A")))
        return tuple(found)

    def _text(self, value: Ratio, unit: str) -> str:
        if set(value.held()) <= set(self.circuit.numbers):
            return f"={value.value(self.circuit.numbers)} {unit}"
        return f"{value} {unit}"

    def _told(self, value: str) -> str:
        if value.startswith("=") and (self.strength is Likeness.NUMBERS or value.startswith("=0 ")):
            return value
        return self.numbers[value] if self.times[value] > 1 else "alone"
