"""The shape of an orthogonal figure: which corners stand at the nodes and how often each edge bends.

Source: R. Tamassia, "On embedding a graph in the grid with the minimum number of bends", SIAM Journal
on Computing 16, 1987: right angles flow from nodes to faces, and a bend hands one from a face to its
neighbour. Costs are ours: bends outwards before bends inwards, and bars straight.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..graph.min_cost_flow import FlowNetwork
from ..graph.rotations import faces
from .skeleton import EdgeDart, Skeleton

_BENDS = (100, 104, 140, 200, 300, 400)  # the first bend of an edge, the second, ...
_LEAD = (96, 98, 140, 200, 300, 400)
_WIRE = 900  # a bend in a bar
_CORNERS = (0, 3, 9)  # each right angle more than the first that a face gets at one node


@dataclass(frozen=True, slots=True)
class FigureShape:
    """Which way every line of a figure goes, before there are lengths. `angles`: for each dart, the right
    angles of the face at its right hand where it leaves its node. `turns`: for each edge, followed from its
    first node, its bends in order: +1 to the right, −1 to the left."""

    angles: dict[EdgeDart, int]
    turns: list[tuple[int, ...]]


def shape_of(skeleton: Skeleton, outside: set[EdgeDart], lead: str = "") -> FigureShape:
    """The shape with the fewest and neatest bends.

    `outside`: darts of the outermost face. `lead`: the branch that had best make a whole side of the
    figure, with a corner at both ends. Raises ValueError for a skeleton that has no shape (a node of more
    than four edges).
    """
    walks = faces(skeleton.rotation)
    outer = max(range(len(walks)), key=lambda f: (len(outside & set(walks[f])), len(walks[f])))
    face_of = {dart: f for f, walk in enumerate(walks) for dart in walk}
    count = len(skeleton.nodes)
    network = FlowNetwork(count + len(walks))
    corners: dict[EdgeDart, list[int]] = {}
    for node, darts in enumerate(skeleton.rotation):
        network.supply(node, 4 - len(darts))
        for dart in darts:
            f = face_of[dart]  # the face clockwise of the dart lies at its right hand
            fee = 0 if f == outer else 1
            if f == outer and any(face_of[d] == face_of[(d[0], -d[1])] for d in darts):
                fee = 150  # what hangs on a single line stands straight out
            corners[dart] = [network.arc(node, count + f, 1, c + fee) for c in _CORNERS[: 5 - len(darts)]]
    for f, walk in enumerate(walks):
        network.supply(count + f, (4 if f != outer else -4) - len(walk))
    given: dict[tuple[int, int], list[int]] = {}
    for edge, (_, _, branch) in enumerate(skeleton.edges):
        right, left = face_of[(edge, +1)], face_of[(edge, -1)]
        if right == left:
            continue
        for sense, giver, taker in ((+1, right, left), (-1, left, right)):
            scale = 10 if taker == outer else 18 if giver == outer else 13
            costs = _LEAD if branch == lead else _BENDS if branch else (_WIRE, _WIRE, _WIRE)
            given[(edge, sense)] = [
                network.arc(count + giver, count + taker, 1, cost * scale // 10) for cost in costs
            ]
    if not network.solve():
        raise ValueError("no orthogonal shape: a node has more than four edges")
    angles = {dart: 1 + sum(map(network.flow, arcs)) for dart, arcs in corners.items()}
    turns: list[tuple[int, ...]] = []
    for edge in range(len(skeleton.edges)):
        ways = {s: sum(map(network.flow, given.get((edge, s), []))) for s in (+1, -1)}
        turns.append((+1,) * ways[+1] + (-1,) * ways[-1])
    return FigureShape(angles, turns)
