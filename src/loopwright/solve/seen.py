"""A resistance between two points as a person finds it: series and parallel parts made one, again and again.

Stands on the network alone, not on any solution.
"""

from __future__ import annotations

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..expressions.nodes import Expr, Parallel
from ..expressions.order import added, arranged_terms
from ..graph.connections import parts
from .exact import TEST_SOURCE

_Edge = tuple[str, str, Expr]


def made_one(driven: Circuit, a: str, b: str) -> Expr | None:
    """The resistance between a and b of a network of resistances (`with_test_source`; the source is left
    aside) by series and parallel alone; None where these do not lead to one resistance, as in a bridge."""
    branches = [x for x in driven.branches if x.name != TEST_SOURCE]
    near = parts((*driven.points, a, b), branches)
    edges: list[_Edge] = [
        (
            x.start,
            x.end,
            added(
                *(
                    driven.elements[p.element].value
                    for p in x.passes
                    if driven.elements[p.element].kind is Kind.RESISTOR
                )
            ),
        )
        for x in branches
        if near.joined(x.start, a)
    ]
    while True:
        edges = _carrying(edges, a, b)
        smaller = _beside(edges) or _in_a_row(edges, a, b)
        if smaller is None:
            break
        edges = smaller
    return edges[0][2] if len(edges) == 1 and {edges[0][0], edges[0][1]} == {a, b} else None


def _carrying(edges: list[_Edge], a: str, b: str) -> list[_Edge]:
    """The edges without those that begin and end at one point and those that lead to a dead end."""
    edges = [e for e in edges if e[0] != e[1]]
    ends = [point for e in edges for point in e[:2]]
    kept = [e for e in edges if all(ends.count(point) > 1 or point in (a, b) for point in e[:2])]
    return kept if len(kept) == len(edges) else _carrying(kept, a, b)


def _beside(edges: list[_Edge]) -> list[_Edge] | None:
    for at, (start, end, _) in enumerate(edges):
        same = [e for e in edges if {e[0], e[1]} == {start, end}]
        if len(same) > 1:
            whole = Parallel(tuple(arranged_terms([e[2] for e in same])))
            return [
                (start, end, whole) if i == at else e for i, e in enumerate(edges) if i == at or e not in same
            ]
    return None


def _in_a_row(edges: list[_Edge], a: str, b: str) -> list[_Edge] | None:
    for point in dict.fromkeys(p for e in edges for p in e[:2]):
        met = [e for e in edges if point in e[:2]]
        if point in (a, b) or len(met) != 2:
            continue
        one, two = met
        start, end = (e[1] if e[0] == point else e[0] for e in met)
        return [(start, end, added(one[2], two[2])) if e is one else e for e in edges if e is not two]
    return None
