"""The automatic layout: a flat arrangement bent into right angles, the first source upright at the left.

What does not lie flat is laid without as few branches as can be, and those are led through afterwards.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import combinations

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch
from ..circuit.embedding import embedding
from ..graph.connections import parts
from ..graph.rotations import Embedding
from .bends import FigureShape, shape_of
from .compaction import NORTH, SOUTH, grid_of, ways_of
from .placement import Cell, GridPath, Placement, packed, straightened
from .routing import led_through
from .skeleton import EdgeDart, Skeleton, skeleton_of

_MOST_LED_THROUGH = 4


def automatic(circuit: Circuit) -> Placement:
    """A placement without crossings where the circuit lies flat, with few and hops otherwise."""
    found = embedding(replace(circuit, places={}) if circuit.places else circuit)
    if found is not None:
        return _flat(circuit, found, whole_crosses=True)
    for flat in _flat_remainders(circuit):
        found = embedding(flat)
        if found is not None:
            kept = {b.name for b in flat.branches}
            rest = [b for b in circuit.branches if b.name not in kept]
            return led_through(_flat(flat, found, whole_crosses=False), rest)
    raise ValueError("too many branches cross for a figure")


def _flat_remainders(circuit: Circuit) -> Iterator[Circuit]:
    """The circuit without a few branches, as few as can be first, and with all its parts and points."""
    whole = parts(circuit.points, circuit.branches).groups()
    for count in range(1, _MOST_LED_THROUGH + 1):
        for out in combinations(reversed(circuit.branches), count):
            rest = tuple(b for b in circuit.branches if b not in out)
            if parts(circuit.points, rest).groups() == whole and _points(rest) == set(circuit.points):
                yield replace(circuit, branches=rest, places={})


def _points(branches: Sequence[Branch]) -> set[str]:
    return {p for b in branches for p in (b.start, b.end)}


def _flat(circuit: Circuit, found: Embedding, whole_crosses: bool) -> Placement:
    routes: dict[str, GridPath] = {}
    dots: dict[str, tuple[Cell, ...]] = {}
    bars: list[tuple[str, GridPath]] = []
    shift = 0
    for part in parts(circuit.points, circuit.branches).groups():
        skeleton, outside = skeleton_of(circuit, found, part, whole_crosses)
        lead = next((rim[0][0] for rim in found.rims if circuit.branch(rim[0][0]).start in part), "")
        shape = shape_of(skeleton, outside, lead)
        nodes, paths = grid_of(skeleton, shape, _upright(circuit, found, skeleton, shape))
        for edge, (a, _, branch) in enumerate(skeleton.edges):
            path = straightened(tuple((c + shift, r) for c, r in paths[edge]))
            if branch:
                routes[branch] = path
            else:
                bars.append((skeleton.nodes[a], path))
        for node, (c, r) in nodes.items():
            point = skeleton.nodes[node]
            dots[point] = (*dots.get(point, ()), (c + shift, r))
        shift = 2 + max(c for path in (*routes.values(), *(p for _, p in bars)) for c, _ in path)
    return packed(Placement(routes, dots, tuple(bars)))


def _upright(
    circuit: Circuit, found: Embedding, skeleton: Skeleton, shape: FigureShape
) -> tuple[EdgeDart, int]:
    """How the figure is to stand: one dart and the direction it leaves its node by, such that bars and lone
    wires lie level and the first branch of the rim rises at the left, as far as can be."""
    number = {branch: i for i, (_, _, branch) in enumerate(skeleton.edges) if branch}
    rim = next((rim for rim in found.rims if rim[0][0] in number), None)
    lead = (0, +1) if rim is None else (number[rim[0][0]], rim[0][1])
    lone = {number[rim[0][0]] for rim in found.rims if len(rim) == 2 and rim[0][0] == rim[1][0] in number}
    whole = ways_of(skeleton, shape, (lead, NORTH))
    level = {e for e, (_, _, branch) in enumerate(skeleton.edges) if not branch} | lone

    def strain(turn: int) -> int:
        """How badly the figure stands when it is turned so often to the right."""
        steps = [[(way + turn) % 4 for way in ways] for ways in whole]
        leaning = sum(way in (NORTH, SOUTH) for e in level for way in steps[e])
        ways = steps[lead[0]] if lead[1] > 0 else [(way + 2) % 4 for way in reversed(steps[lead[0]])]
        middle = ways[(len(ways) - 1) // 2 : len(ways) // 2 + 1]
        return 2 * leaning + 3 * (NORTH not in ways) + (NORTH not in middle)

    return lead, (NORTH + min(range(4), key=strain)) % 4
