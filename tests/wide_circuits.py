"""Problem texts of networks past the classroom, with one battery each."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import combinations, product

Ends = tuple[str, str]


def problem(edges: Iterable[Ends], battery: Ends, extra: str = "") -> str:
    """A resistor on every edge, and a battery with internal resistance from the first point to the second."""
    lines = [f'I0 = "{battery[0]}, +E, r, {battery[1]}"']
    lines += [f'I{n} = "{a}, R{n}, {b}"' for n, (a, b) in enumerate(edges, start=1)]
    return "[branches]\n" + "\n".join(lines) + "\n" + extra


def complete(points: int) -> str:
    """Every point joined to every other."""
    return problem(combinations("abcdefgh"[:points], 2), ("b", "a"))


def ladder(meshes: int) -> str:
    """A ladder of two rails that the battery drives at one end."""
    edges: list[Ends] = []
    for n in range(meshes):
        edges += [(f"a{n}", f"a{n + 1}"), (f"b{n}", f"b{n + 1}"), (f"a{n + 1}", f"b{n + 1}")]
    return problem(edges, ("b0", "a0"))


def grid(side: int) -> str:
    """A square grid of points, driven across its diagonal."""
    name = {(i, j): f"{'abcdefgh'[i]}{j}" for i, j in product(range(side), repeat=2)}
    steps = ((0, 1), (1, 0))
    reached = [(p, (i + di, j + dj)) for (i, j), p in name.items() for di, dj in steps]
    edges = [(p, name[to]) for p, to in reached if to in name]
    return problem(edges, (name[side - 1, side - 1], name[0, 0]))


def cube(dimensions: int) -> str:
    """The edges of a cube in so many dimensions, driven across."""
    count = 1 << dimensions
    edges = [(f"v{k}", f"v{k | 1 << d}") for k in range(count) for d in range(dimensions) if not k >> d & 1]
    return problem(edges, (f"v{count - 1}", "v0"))


def unlike_ladder(sections: int) -> str:
    """A source, then rungs down to one rail and rails between them, each resistance with its own symbol."""
    lines = ['I1 = "n, +E1, R1, p1"']
    for i in range(1, sections + 1):
        lines.append(f'I{2 * i} = "p{i}, R{2 * i}, n"')
        if i < sections:
            lines.append(f'I{2 * i + 1} = "p{i}, R{2 * i + 1}, p{i + 1}"')
    return "[branches]\n" + "\n".join(lines) + "\n"
