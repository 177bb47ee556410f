"""What becomes of a circuit that has been changed: loops left, parts that no longer meet, wires.

Stands on `circuit` and `laws.loops`; solves nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from ...circuit.circuit import Circuit
from ...circuit.elements import Branch, Kind


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
    """A circuit as one would draw it again: plain wires drawn together into points.

    `parts`: what still conducts, each part by itself. `wires`: branches that are plain wires.
    `idle`: branches that belong to no loop and so carry no current.
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

    Two branches belong to one part when a loop holds both; the loops of a spanning tree decide it
    (the cycle space of a graph splits over its blocks; Whitney, Amer. J. Math. 57, 509, 1935).
    """
    live = [b for b in circuit.branches if not _is_gap(circuit, b)]
    wires = tuple(b.name for b in live if is_wire(circuit, b))
    group = {p: p for p in circuit.points}
    for b in live:
        if b.name in wires:
            one, other = group[b.start], group[b.end]
            group = {p: one if at == other else at for p, at in group.items()}
    drawn = {b.name: (group[b.start], group[b.end]) for b in live if b.name not in wires}
    loops = _tree_loops(drawn)
    together: dict[str, set[str]] = {}
    for loop in loops:
        merged = set(loop).union(*(together[n] for n in loop if n in together))
        together.update(dict.fromkeys(merged, merged))
    parts: list[CircuitPart] = []
    for name in drawn:
        if name in together and not any(name in part.branches for part in parts):
            inside = tuple(n for n in circuit.currents if n in together[name])
            count = sum(1 for loop in loops if loop[0] in together[name])
            parts.append(CircuitPart(inside, count, sources_of(circuit, inside)))
    idle = tuple(n for n in circuit.currents if n not in together and n not in wires)
    return Redrawn(tuple(parts), wires, idle)


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
    as branch -> sense of travel; None when there is none. A well-posed circuit has one at most.

    The branch `without` is left out; the branch `also` is taken as one that has lost its resistance.
    """
    came: dict[str, tuple[str, str, int]] = {start: ("", "", 0)}
    queue = [start]
    for point in queue:
        for b in circuit.branches:
            if b.name == without or circuit.fixed_current(b.name) is not None:
                continue
            if b.name != also and circuit.resistance(b.name):
                continue
            for at, to, sense in ((b.start, b.end, 1), (b.end, b.start, -1)):
                if at == point and to not in came:
                    came[to] = (point, b.name, sense)
                    queue.append(to)
    if end not in came:
        return None
    path: dict[str, int] = {}
    at = end
    while at != start:
        at, name, sense = came[at]
        path[name] = sense
    return path


def _is_gap(circuit: Circuit, branch: Branch) -> bool:
    fixed = circuit.fixed_current(branch.name)
    return fixed is not None and not fixed


def _tree_loops(ends: Mapping[str, tuple[str, str]]) -> list[tuple[str, ...]]:
    """The loops that a spanning forest gives, each as the names of its branches, the chord first."""
    above: dict[str, tuple[str, str]] = {}
    depth: dict[str, int] = {}
    tree: set[str] = set()
    for root in dict.fromkeys(p for pair in ends.values() for p in pair):
        if root in depth:
            continue
        depth[root] = 0
        queue = [root]
        for point in queue:
            for name, (start, end) in ends.items():
                for at, to in ((start, end), (end, start)):
                    if at == point and to not in depth:
                        above[to], depth[to] = (point, name), depth[point] + 1
                        tree.add(name)
                        queue.append(to)
    loops: list[tuple[str, ...]] = []
    for name, (one, other) in ends.items():
        if name in tree:
            continue
        loop = [name]
        while one != other:
            if depth[one] < depth[other]:
                one, other = other, one
            one, passed = above[one]
            loop.append(passed)
        loops.append(tuple(loop))
    return loops
