"""A circuit as Kirchhoff's trees need it: parts that current shares nothing between, and who drives what.

Branches without resistance are drawn together to one point; what then hangs together by single points
only falls into parts, each with its own determinant. A source drives every part through which its
current must pass: from a point of the part to a point of it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch
from ..graph.blocks import blocks
from ..graph.connections import parts, shortest_way
from ..graph.forests import TreeBlock
from ..graph.lines import Link, from_point, to_point
from .currents import NoUniqueSolution


@dataclass(frozen=True, slots=True)
class SourcePush:
    """What one source does to one part of the circuit: its current leaves it at point `start` and comes
    back to it at `end`, both numbered within the part.

    `source`: the branch that holds it. `ends`: the two points of each branch of the part; where the source
    is an ideal battery, its own two ends are told apart here, though they are one point of the part. `bit`:
    the bit of the source's own branch where that belongs to the part, else 0.
    """

    source: str
    start: int
    end: int
    ends: tuple[tuple[int, int], ...]
    bit: int


@dataclass(frozen=True, slots=True)
class NetworkPart:
    """One part of the circuit that shares no current with the others. `names`: its branches, in the order
    of the bits of `block`; `pushes`: the sources that drive it."""

    block: TreeBlock
    names: tuple[str, ...]
    pushes: tuple[SourcePush, ...]


@dataclass(frozen=True, slots=True)
class Network:
    """A circuit taken apart. `wires`: for each branch without resistance, the currents (branch -> sign)
    whose sum it carries by the junction rule, since no part holds it."""

    parts: tuple[NetworkPart, ...]
    wires: Mapping[str, Mapping[str, int]]


def network(circuit: Circuit) -> Network:
    """Takes a circuit apart. Raises NoUniqueSolution for a loop without resistance and for a source of
    current without a way back."""
    fixed = {
        b.name: amount for b in circuit.branches if (amount := circuit.fixed_current(b.name)) is not None
    }
    free = [b for b in circuit.branches if b.name not in fixed]
    wires = [b for b in free if not circuit.resistance(b.name)]
    drawn = parts(circuit.points, wires)
    if len(wires) != len(circuit.points) - len(drawn.groups()):
        raise NoUniqueSolution("a loop without resistance")
    at = drawn.part
    drawn_together = [Link(b.name, at[b.start], at[b.end]) for b in free if circuit.resistance(b.name)]
    sources = [circuit.branch(name) for name, amount in fixed.items() if amount]
    ways = {b.name: _way(drawn_together, at[b.end], at[b.start], b.name) for b in sources}
    found = []
    for group in blocks(drawn_together):
        number = {p: i for i, p in enumerate(dict.fromkeys(p for b in group for p in (b.start, b.end)))}
        ends = tuple((number[b.start], number[b.end]) for b in group)
        pushes = [
            SourcePush(b.name, ends[i][1], ends[i][0], ends, 1 << i)
            for i, b in enumerate(group)
            if circuit.rise(b.name)
        ]
        for battery in wires:
            if circuit.rise(battery.name) and at[battery.start] in number:
                pushes.append(
                    _split(circuit, battery, wires, group, number[at[battery.start]], len(number), ends)
                )
        names = {b.name for b in group}
        for name, way in ways.items():
            here = [(number[a], number[z]) for n, a, z in way if n in names]
            if here:
                pushes.append(SourcePush(name, here[0][0], here[-1][1], ends, 0))
        found.append(NetworkPart(TreeBlock(len(number), ends), tuple(b.name for b in group), tuple(pushes)))
    carrying = [b for b in circuit.branches if b.name not in {w.name for w in wires}]
    return Network(tuple(found), {w.name: _cut(circuit, w, wires, carrying) for w in wires})


def _way(lines: list[Link], start: str, end: str, source: str) -> list[Link]:
    """The shortest way from start to end as (branch, point left, point reached). `source`: the branch told
    in NoUniqueSolution where there is no way."""
    way = shortest_way(lines, start, end)
    if way is None:
        raise NoUniqueSolution(source)
    by_name = {line.name: line for line in lines}
    return [Link(n, from_point(by_name[n], s), to_point(by_name[n], s)) for n, s in way]


def _side(circuit: Circuit, wire: Branch, wires: list[Branch]) -> set[str]:
    """The points joined to the start of a wire by the other wires."""
    joined = parts(circuit.points, [w for w in wires if w is not wire])
    return {p for p in circuit.points if joined.joined(p, wire.start)}


def _split(
    circuit: Circuit,
    battery: Branch,
    wires: list[Branch],
    group: tuple[Link, ...],
    here: int,
    new: int,
    ends: tuple[tuple[int, int], ...],
) -> SourcePush:
    """What an ideal battery does to a part at whose point `here` it lies: its ends are two points there."""
    side = _side(circuit, battery, wires)
    told_apart = []
    for b, (start, end) in zip(group, ends, strict=True):
        whole = circuit.branch(b.name)
        told_apart.append((new if whole.start in side else start, new if whole.end in side else end))
    return SourcePush(battery.name, here, new, tuple(told_apart), 0)


def _cut(circuit: Circuit, wire: Branch, wires: list[Branch], carrying: list[Branch]) -> dict[str, int]:
    """The currents whose signed sum a wire carries: those into the points on the side of its start."""
    side = _side(circuit, wire, wires)
    crossing = {b.name: (b.end in side) - (b.start in side) for b in carrying}
    return {name: sign for name, sign in crossing.items() if sign}
