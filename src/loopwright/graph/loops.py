"""Loops of lines: all there are, and sets of them that are independent."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from .lines import Line, Loop, to_point


def simple_loops(lines: Sequence[Line], limit: int = 5000) -> Iterator[Loop]:
    """Every loop that touches no point twice, once each, short ones first among equal starts.

    The loop starts with its earliest line, along the arrow. Stops after `limit` loops.
    Source: exhaustive path search, each loop kept only from its least line.
    """
    order = {line.name: i for i, line in enumerate(lines)}
    ends: dict[str, list[tuple[Line, int]]] = {}
    for line in lines:
        ends.setdefault(line.start, []).append((line, +1))
        if line.start != line.end:
            ends.setdefault(line.end, []).append((line, -1))
    found = 0
    for first in lines:
        if first.start == first.end:
            found += 1
            yield ((first.name, +1),)
            continue
        stack: list[tuple[str, Loop, frozenset[str]]] = [
            (first.end, ((first.name, +1),), frozenset((first.start, first.end)))
        ]
        while stack:
            at, path, seen = stack.pop()
            for line, sense in reversed(ends[at]):
                to = to_point(line, sense)
                if order[line.name] <= order[first.name]:
                    continue
                if to == first.start:
                    found += 1
                    yield (*path, (line.name, sense))
                    if found >= limit:
                        return
                elif to not in seen:
                    stack.append((to, (*path, (line.name, sense)), seen | {to}))


def left_over(lines: int, basis: Iterable[int]) -> int:
    """What is left of a set of lines once sums of a basis are taken from it, senses left aside (a line held
    twice is not held); nothing where it is such a sum.

    Sets are whole numbers, one bit for each line; the basis grows by what was left over, one by one.
    """
    for row in basis:
        lines = min(lines, lines ^ row)
    return lines


def first_independent(loops: Iterable[Loop], needed: int) -> list[Loop]:
    """The first loops that are no sum of those taken before, senses left aside, until there are `needed`:
    what is taken is independent, and enough loops are always found so."""
    bit: dict[str, int] = {}
    basis: list[int] = []
    chosen: list[Loop] = []
    for loop in loops:
        if len(chosen) == needed:
            break
        rest = left_over(sum(bit.setdefault(name, 1 << len(bit)) for name, _ in loop), basis)
        if rest:
            basis.append(rest)
            chosen.append(loop)
    return chosen


def each_with_a_new_line(loops: Sequence[Loop]) -> list[Loop]:
    """The loops so ordered that each brings a line not in those before, where that can be."""
    remaining, ordered = list(loops), list[Loop]()
    while remaining:
        last = next(
            (x for x in reversed(remaining) if brings_new(x, [y for y in remaining if y is not x])), None
        )
        last = last or remaining[-1]
        remaining.remove(last)
        ordered.insert(0, last)
    return ordered


def brings_new(loop: Loop, others: Sequence[Loop]) -> bool:
    """Whether a loop holds a line that none of the others holds."""
    held = {name for other in others for name, _ in other}
    return any(name not in held for name, _ in loop)
