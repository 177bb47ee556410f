"""A changed circuit placed as the circuit it came from was placed: same faces, same sides, same cells.

A branch that is still there runs where it ran. One that stands for several parts made one runs where some of
them did, and what is left of them stands where it stood; a branch cut out leaves a gap, or nothing.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass
from heapq import heappop, heappush
from itertools import pairwise

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..graph.lines import Walk, from_point, to_point
from .placement import Cell, GridPath, Placement, StraightPart, straightened
from .slots import Leg, legs_of


def placed_like(
    circuit: Circuit,
    original: Circuit,
    whole: Placement,
    gaps: Sequence[str] = (),
    legs: Sequence[Leg] = (),
) -> Placement | None:
    """The circuit on the cells of `whole`, the placement of the original; None where a branch joins points
    that no wires of the original lead between any more. `gaps`: the branches of the original to be shown
    with a gap where they were cut out; `legs`: those of the original, where they are known already."""
    walks = _walks(circuit, original, gaps)
    if walks is None:
        return None
    routes = {b.name: _route(original, whole, walks[b.name]) for b in circuit.branches}
    cut = tuple((name, whole.routes[name]) for name in gaps)
    ends = {p for b in (*circuit.branches, *map(original.branch, gaps)) for p in (b.start, b.end)}
    paths = (*routes.values(), *(path for _, path in cut))
    bars = _still_needed([bar for bar in whole.bars if bar[0] in ends], paths)
    lines = [(a, b) for path in (*paths, *(path for _, path in bars)) for a, b in pairwise(path)]
    corners = {cell for path in paths for cell in path}
    dots = {
        point: tuple(sorted((c for c in cells if c in corners), key=lambda c: _meeting(lines, c) < 3))
        for point, cells in whole.dots.items()
        if (point in ends or point in circuit.named_points) and corners.intersection(cells)
    }
    stood = _Stood.of(legs or legs_of(original, whole, resistors="iec", values=False))
    owner = {name: new for new, walk in walks.items() for name, _ in walk}
    hops = tuple(
        (owner[name], cell)
        for name, cell in whole.hops
        if name in owner and sum(_runs_through(line, cell) for line in lines) > 1
    )
    stands = {name: stood.main[name] for name in gaps if name in stood.main}
    for branch in circuit.branches:
        stands |= _stands(branch, original, walks[branch.name], stood)
    arrows = {
        new: stood.arrows[name]
        for new, walk in walks.items()
        for name, _ in walk[:1]
        if name in stood.arrows and (len(walk) == 1 or new == name)
    }
    return Placement(routes, dots, bars, hops, cut, emptied(circuit, original), stands, arrows)


def emptied(circuit: Circuit, original: Circuit) -> frozenset[str]:
    """The elements in whose place there is a gap now, told as an open switch of the same name."""
    return frozenset(
        name
        for name, element in circuit.elements.items()
        if element.is_gap and element.kind is Kind.SWITCH and name in original.elements
        if original.elements[name].kind is not Kind.SWITCH
    )


@dataclass(frozen=True, slots=True)
class _Stood:
    """On which straight part things stood in the original: elements and named points, the arrow of each
    branch, and of each branch the first thing on it."""

    elements: dict[str, StraightPart]
    arrows: dict[str, StraightPart]
    main: dict[str, StraightPart]

    @classmethod
    def of(cls, legs: Sequence[Leg]) -> _Stood:
        found = cls({}, {}, {})
        for leg in legs:
            for slot in leg.slots:
                held = found.arrows if slot.is_arrow else found.elements
                held[slot.name] = leg.start, leg.end
                if not slot.is_arrow:
                    found.main.setdefault(leg.branch, (leg.start, leg.end))
        return found


def _stands(branch: Branch, original: Circuit, walk: Walk, stood: _Stood) -> dict[str, StraightPart]:
    """On which straight parts the things of a branch are to stand that runs along a walk of the original:
    each where it stood; a new one where the one in its place stood, or the first thing of the next branch of
    which nothing is left."""
    passed = {to_point(original.branch(name), sense): i for i, (name, sense) in enumerate(walk[:-1])}
    names = [name for name in _names(branch) if name not in passed]
    found = {name: stood.elements[name] for name in names if name in stood.elements}
    along = [original.branch(name) for name, _ in walk]
    if len(walk) == 1 and len(names) == len(along[0].along):
        before = dict(zip(names, _names(along[0])[:: walk[0][1]], strict=True))
        return {name: stood.elements[old] for name, old in before.items() if old in stood.elements} | found
    held = {name: i for i, one in enumerate(along) for name in _names(one)}
    emptied = [i for i, one in enumerate(along) if not found.keys() & set(_names(one))]
    at = -1
    for name in _names(branch):
        if name in found or name in passed:
            at = held.get(name, passed.get(name, at))
            continue
        at = next((i for i in emptied if i > at), len(along))
        if at < len(along) and along[at].name in stood.main:
            found[name] = stood.main[along[at].name]
    return found


def _names(branch: Branch) -> list[str]:
    return [item if isinstance(item, str) else item.element for item in branch.along]


# -- which branches of the original each branch stands for ---------------------------------------


def _walks(circuit: Circuit, original: Circuit, gaps: Collection[str]) -> dict[str, Walk] | None:
    """For each branch the branches of the original along which it runs, from its start to its end."""
    free = {b.name: b for b in original.branches if b.name not in gaps}
    walks: dict[str, Walk] = {}
    for branch in circuit.branches:
        old = free.get(branch.name)
        if old is not None and {old.start, old.end} == {branch.start, branch.end}:
            walks[branch.name] = ((branch.name, _sense(branch, old)),)
            del free[branch.name]
    held = {name: b for b in original.branches for name in _elements(b)}
    rest = [b for b in circuit.branches if b.name not in walks]
    for branch in sorted(rest, key=lambda b: not any(name in held for name in _elements(b))):
        known = _known(branch, original, {name: b for name, b in held.items() if b.name in free})
        closed = set(circuit.points) - {branch.end}
        walk = _way(branch, free.values(), known, closed) or _way(branch, free.values(), (), closed)
        if not walk:
            return None
        walks[branch.name] = walk
        for name, _ in walk:
            del free[name]
    return walks


def _elements(branch: Branch) -> list[str]:
    return [p.element for p in branch.passes]


def _sense(branch: Branch, old: Branch) -> int:
    """Whether a branch between the same points runs as the old one did (+1), or against it."""
    if old.start != old.end:
        return 1 if branch.start == old.start else -1
    known = [name for name in _elements(branch) if name in _elements(old)]
    order = [name for name in _elements(old) if name in known]
    return -1 if known != order and known == order[::-1] else 1


_Due = tuple[str, int]  # a branch of the original and in which sense (0: either), or a point with 0


def _known(branch: Branch, original: Circuit, held: Mapping[str, Branch]) -> list[_Due]:
    """What of the original a branch goes along in order: the branches that held what stands on it, each in
    the sense in which its sources are passed, and points. `held`: the branch of each element."""
    known: dict[str, _Due] = {}
    for item in branch.along:
        if isinstance(item, str):
            if item in original.points:
                known[f"at {item}"] = item, 0
        elif item.element in held:
            old = held[item.element]
            sense = next(p.sign for p in old.passes if p.element == item.element) * item.sign
            if known.get(old.name, ("", 0))[1] == 0:
                known[old.name] = old.name, sense
    return list(known.values())


def _way(
    branch: Branch, free: Iterable[Branch], known: Sequence[_Due], closed: Collection[str]
) -> Walk | None:
    """The way along branches of the original with the fewest besides those `known`, which are gone along
    in order; past no point that is `closed`. None where there is none."""
    lines = list(free)
    named = {name for name, _ in known}
    heap: list[tuple[int, int, str, int, Walk, tuple[str, ...]]] = [
        (0, 0, branch.start, 0, (), () if branch.start == branch.end else (branch.start,))
    ]
    seen: set[tuple[str, int]] = set()
    count = 0
    while heap:
        cost, _, at, met, walk, passed = heappop(heap)
        if walk and at == branch.end and met == len(known):
            return walk
        if walk and ((at, met) in seen or at in closed or at == branch.end):
            continue
        seen.add((at, met))
        gone = {name for name, _ in walk}
        for line in lines:
            for sense in (1, -1):
                to = to_point(line, sense)
                due = met < len(known) and known[met] in ((line.name, 0), (line.name, sense))
                if from_point(line, sense) != at or line.name in gone or to in passed:
                    continue
                if line.name in named and not due:
                    continue
                count += 1
                further = (*walk, (line.name, sense))
                reached = met + due
                reached += reached < len(known) and known[reached] == (to, 0)
                heappush(heap, (cost + (not due), count, to, reached, further, (*passed, to)))
    return None


# -- where they run ------------------------------------------------------------------------------


def _route(original: Circuit, whole: Placement, walk: Walk) -> GridPath:
    """The path of a walk, along the bars of the points it passes too. Where two routes meet it keeps a
    corner, so that what stood on either stays on its own straight part."""
    cells: list[Cell] = []
    for name, sense in walk:
        path = whole.routes[name][::sense]
        if cells:
            cells.extend(whole.along_bar(from_point(original.branch(name), sense), cells[-1], path[0]))
        cells.extend(path)
    if len(walk) == 1:
        return tuple(cells)
    return straightened(tuple(cells), {whole.routes[name][k] for name, _ in walk for k in (0, -1)})


def _still_needed(
    bars: Sequence[tuple[str, GridPath]], paths: Sequence[GridPath]
) -> tuple[tuple[str, GridPath], ...]:
    """The bars without wires that now lead nowhere, or along which a branch now runs itself."""
    run = {frozenset(piece) for path in paths for piece in pairwise(path)}
    left = [bar for bar in bars if frozenset((bar[1][0], bar[1][-1])) not in run]
    ends = {cell for path in paths for cell in (path[0], path[-1])}
    while True:
        needed = [
            (point, path)
            for point, path in left
            if all(
                cell in ends or sum(cell in (p[0], p[-1]) for _, p in left) > 1
                for cell in (path[0], path[-1])
            )
        ]
        if len(needed) == len(left):
            return tuple(left)
        left = needed


def _meeting(lines: Sequence[StraightPart], cell: Cell) -> int:
    """How many straight parts end in a cell: at three a dot is drawn."""
    return sum(cell in line for line in lines)


def _runs_through(line: StraightPart, cell: Cell) -> bool:
    (a, b), (c, d) = line
    return min(a, c) <= cell[0] <= max(a, c) and min(b, d) <= cell[1] <= max(b, d)
