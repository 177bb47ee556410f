"""The blocks of a set of lines: what stays in one piece when any single point is taken out.

Two blocks share at most one point; a branch that alone holds two parts together is a block of its
own, and so is a branch that ends where it begins.
"""

from __future__ import annotations

from collections.abc import Sequence

from .lines import AnyLine


def blocks(branches: Sequence[AnyLine]) -> tuple[tuple[AnyLine, ...], ...]:
    """The blocks, each with its branches in the order given, in the order of their first branches.

    Cost: linear in the number of branches.
    Source: J. Hopcroft and R. Tarjan, "Efficient algorithms for graph manipulation", Communications
    of the ACM 16, 1973, algorithm 447 (from memory), with an explicit stack.
    """
    around: dict[str, list[int]] = {}
    for i, b in enumerate(branches):
        if b.start != b.end:
            around.setdefault(b.start, []).append(i)
            around.setdefault(b.end, []).append(i)
    found = [[i] for i, b in enumerate(branches) if b.start == b.end]
    depth: dict[str, int] = {}
    low: dict[str, int] = {}
    for root in around:
        if root in depth:
            continue
        depth[root] = low[root] = 0
        open_branches: list[int] = []
        stack = [(root, -1, iter(around[root]))]
        while stack:
            point, came_by, rest = stack[-1]
            i = next(rest, -2)
            if i == -2:
                stack.pop()
                if stack:
                    above = stack[-1][0]
                    low[above] = min(low[above], low[point])
                    if low[point] >= depth[above]:
                        at = open_branches.index(came_by)
                        found.append(sorted(open_branches[at:]))
                        del open_branches[at:]
                continue
            if i == came_by:
                continue
            other = branches[i].end if branches[i].start == point else branches[i].start
            if other not in depth:
                depth[other] = low[other] = depth[point] + 1
                open_branches.append(i)
                stack.append((other, i, iter(around[other])))
            elif depth[other] < depth[point]:
                open_branches.append(i)
                low[point] = min(low[point], depth[other])
    return tuple(tuple(branches[i] for i in group) for group in sorted(found))
