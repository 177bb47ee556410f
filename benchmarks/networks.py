"""Networks to solve in symbols: a battery in the first branch, every branch a resistance of its own."""

from __future__ import annotations

import random
from itertools import combinations

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Pass

Edges = list[tuple[int, int]]


def circuit_of(edges: Edges) -> Circuit:
    elements = {"E": battery("E")}
    branches = []
    for n, (start, end) in enumerate(edges, start=1):
        elements[f"R{n}"] = resistor(f"R{n}")
        along = (Pass("E", 1), Pass(f"R{n}")) if n == 1 else (Pass(f"R{n}"),)
        branches.append(Branch(f"I{n}", f"p{start}", f"p{end}", along))
    return Circuit(tuple(branches), elements)


def complete(points: int) -> Edges:
    return list(combinations(range(points), 2))


def grid(rows: int, columns: int) -> Edges:
    along = [(r * columns + c, r * columns + c + 1) for r in range(rows) for c in range(columns - 1)]
    across = [(r * columns + c, (r + 1) * columns + c) for r in range(rows - 1) for c in range(columns)]
    return sorted(along + across)


def ladder(meshes: int) -> Edges:
    return grid(2, meshes + 1)


def cube() -> Edges:
    return [(a, a | 1 << bit) for a in range(8) for bit in range(3) if not a >> bit & 1]


def any_network(seed: int, points: int, branches: int) -> Edges:
    """A random tree and random branches besides, none closed on itself."""
    chance = random.Random(seed)
    edges = [(chance.randrange(i), i) for i in range(1, points)]
    while len(edges) < branches:
        a, b = chance.sample(range(points), 2)
        edges.append((a, b))
    return edges


FAMILIES: dict[str, dict[str, Edges]] = {
    "complete graphs": {f"K{n}": complete(n) for n in (4, 5, 6, 7, 8)},
    "cube": {"cube": cube()},
    "ladders": {f"ladder, {n} meshes": ladder(n) for n in range(5, 11)},
    "grid": {"grid, 4 by 4": grid(4, 4)},
    "random": {
        f"random, {p} points, {b} branches": any_network(p, p, b) for p, b in ((6, 10), (7, 12), (8, 14))
    },
}
