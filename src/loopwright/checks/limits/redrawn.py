"""What becomes of a circuit that has been changed: loops left, parts that no longer meet, wires.

Stands on `circuit` and `graph`; solves nothing.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind
from ...graph.blocks import blocks
from ...graph.connections import parts, shortest_way
from ...graph.lines import Link


@dataclass(frozen=True, slots=True)
class CircuitPart:
    """Branches that share loops with one another and with no others.

    `loops`: how many independent loops they have. `sources`: batteries and current sources in them.
    """

    branches: tuple[str, ...]
    loops: int
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Redrawn:
    """A circuit as one would draw it again after a change, plain wires drawn together into points.

    `parts`: what still conducts, each part by itself. `wires`: branches that are plain wires. `idle`:
    branches that belong to no loop and so carry no current.
    """

    parts: tuple[CircuitPart, ...]
    wires: tuple[str, ...]
    idle: tuple[str, ...]

    @property
    def loops(self) -> int:
        """How many independent loops are left in all."""
        return sum(part.loops for part in self.parts)


def redraw(circuit: Circuit) -> Redrawn:
    """The circuit with its wires drawn together and its dead ends told apart.

    Two branches belong to one part when a loop holds both: when they are in one block (H. Whitney, Amer.
    J. Math. 57, 509, 1935).
    """
    live = [b for b in circuit.branches if not _is_gap(circuit, b)]
    wires = [b for b in live if is_wire(circuit, b)]
    at = parts(circuit.points, wires).part
    found: list[CircuitPart] = []
    for block in blocks([Link(b.name, at[b.start], at[b.end]) for b in live if not is_wire(circuit, b)]):
        points = {p for line in block for p in (line.start, line.end)}
        loops = len(block) - len(points) + 1
        if loops:
            inside = tuple(line.name for line in block)
            found.append(CircuitPart(inside, loops, sources_of(circuit, inside)))
    busy = {name for part in found for name in part.branches} | {b.name for b in wires}
    idle = tuple(n for n in circuit.currents if n not in busy)
    return Redrawn(tuple(found), tuple(b.name for b in wires), idle)


def sources_of(circuit: Circuit, branches: Sequence[str]) -> tuple[str, ...]:
    """The batteries and current sources of these branches, in order."""
    return tuple(
        p.element
        for name in branches
        for p in circuit.branch(name).passes
        if circuit.elements[p.element].kind in (Kind.BATTERY, Kind.CURRENT_SOURCE)
    )


def is_wire(circuit: Circuit, branch: Branch) -> bool:
    """Whether a branch is nothing but wire: no resistance, no source, no gap."""
    return (
        circuit.fixed_current(branch.name) is None
        and not sources_of(circuit, (branch.name,))
        and not circuit.resistance(branch.name)
    )


def ideal_path(circuit: Circuit, start: str, end: str, without: str, also: str = "") -> dict[str, int] | None:
    """The path from `start` to `end` through branches without resistance (wires and ideal batteries),
    as branch -> sense of travel, the last first; None when there is none, and a well-posed circuit has
    one at most.

    The branch `without` is left out; the branch `also` is taken as one that has lost its resistance.
    """
    ideal = [
        b
        for b in circuit.branches
        if b.name != without
        and circuit.fixed_current(b.name) is None
        and (b.name == also or not circuit.resistance(b.name))
    ]
    way = shortest_way(ideal, start, end)
    return None if way is None else dict(reversed(way))


def _is_gap(circuit: Circuit, branch: Branch) -> bool:
    fixed = circuit.fixed_current(branch.name)
    return fixed is not None and not fixed
