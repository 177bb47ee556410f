"""From the shape of a figure to a grid: whole-number columns and rows for every node and bend.

Every face is cut into rectangles by extra lines (R. Tamassia 1987; G. Di Battista, P. Eades,
R. Tamassia and I. G. Tollis, "Graph Drawing", 1999, chapter 5, from memory); then columns and rows
are longest paths, tightened once each has slack.
"""

from __future__ import annotations

from .bends import FigureShape
from .placement import Cell
from .skeleton import EdgeDart, Skeleton

EAST, SOUTH, WEST, NORTH = range(4)  # clockwise as seen


class Lattice:
    """Nodes with at most one neighbour in each of the four directions."""

    def __init__(self) -> None:
        self.beside: list[dict[int, int]] = []
        self.real: set[tuple[int, int]] = set()  # pairs of neighbours joined by a line of the figure

    def node(self) -> int:
        """A new node without neighbours."""
        self.beside.append({})
        return len(self.beside) - 1

    def join(self, a: int, direction: int, b: int, real: bool) -> None:
        """Puts `b` beside `a` in this direction."""
        self.beside[a][direction] = b
        self.beside[b][(direction + 2) % 4] = a
        if real:
            self.real.add((min(a, b), max(a, b)))

    def split(self, a: int, direction: int) -> int:
        """Puts a new node on the line that leaves `a` in this direction."""
        b = self.beside[a][direction]
        real = (min(a, b), max(a, b)) in self.real
        self.real.discard((min(a, b), max(a, b)))
        middle = self.node()
        self.join(a, direction, middle, real)
        self.join(middle, direction, b, real)
        return middle

    def walk(self, a: int, direction: int) -> list[tuple[int, int, int]]:
        """The face at the right hand of a line: (node left, direction, turn at its end) for each line."""
        steps: list[tuple[int, int, int]] = []
        at, way = a, direction
        while True:
            to = self.beside[at][way]
            turn = next(t for t in (1, 0, -1, -2) if (way + t) % 4 in self.beside[to])
            steps.append((at, way, turn))
            at, way = to, (way + turn) % 4
            if (at, way) == (a, direction):
                return steps


def grid_of(
    skeleton: Skeleton, shape: FigureShape, first: tuple[EdgeDart, int]
) -> tuple[dict[int, Cell], dict[int, tuple[Cell, ...]]]:
    """The cell of each node, and for each edge its corners from its first node to its second.

    `first` gives one dart and the direction in which it leaves its node.
    """
    lattice = Lattice()
    for _ in skeleton.nodes:
        lattice.node()
    paths = _laid(skeleton, shape, first, lattice)
    _cut_into_rectangles(lattice)
    cells = _cells(lattice)
    nodes = {n: cells[n] for n in range(len(skeleton.nodes))}
    routes = {edge: tuple(cells[n] for n in path) for edge, path in paths.items()}
    used = [*nodes.values(), *(c for route in routes.values() for c in route)]
    columns = {c: i for i, c in enumerate(sorted({c for c, _ in used}))}
    rows = {r: i for i, r in enumerate(sorted({r for _, r in used}))}
    return (
        {n: (columns[c], rows[r]) for n, (c, r) in nodes.items()},
        {e: tuple((columns[c], rows[r]) for c, r in route) for e, route in routes.items()},
    )


def _laid(
    skeleton: Skeleton, shape: FigureShape, first: tuple[EdgeDart, int], lattice: Lattice
) -> dict[int, list[int]]:
    """Gives every piece of every edge its direction, and its nodes for the bends."""
    leaving: dict[EdgeDart, int] = {first[0]: first[1]}
    todo = [first[0]]
    while todo:
        dart = todo.pop()
        edge, sense = dart
        turned = sum(shape.turns[edge]) * (1 if sense > 0 else -1)
        back = (edge, -sense)
        here = skeleton.rotation[skeleton.leaves(dart)]
        following = here[(here.index(dart) + 1) % len(here)]
        found = {
            back: (leaving[dart] + turned + 2) % 4,
            following: (leaving[dart] + shape.angles[dart]) % 4,
        }
        for other, direction in found.items():
            if other not in leaving:
                leaving[other] = direction
                todo.append(other)
    paths: dict[int, list[int]] = {}
    for edge, (a, b, _) in enumerate(skeleton.edges):
        way = leaving[(edge, +1)]
        path = [a]
        for turn in shape.turns[edge]:
            bend = lattice.node()
            lattice.join(path[-1], way, bend, real=True)
            path.append(bend)
            way = (way + turn) % 4
        lattice.join(path[-1], way, b, real=True)
        paths[edge] = [*path, b]
    return paths


def _cut_into_rectangles(lattice: Lattice) -> None:
    frame = [lattice.node() for _ in range(4)]  # corners: top left, top right, foot right, foot left
    for k, direction in enumerate((EAST, SOUTH, WEST, NORTH)):
        lattice.join(frame[k], direction, frame[(k + 1) % 4], real=False)
    waiting = [(n, way) for n in range(len(lattice.beside)) for way in sorted(lattice.beside[n])]
    _tie_to_frame(lattice, frame, waiting)
    seen: set[tuple[int, int]] = set()
    waiting.reverse()
    while waiting:
        start = waiting.pop()
        if start in seen or start[1] not in lattice.beside[start[0]]:
            continue
        steps = lattice.walk(*start)
        if sum(turn for _, _, turn in steps) < 0:  # outside of the frame
            seen.update((n, way) for n, way, _ in steps)
            continue
        at = next((i for i, (_, _, turn) in enumerate(steps) if turn < 0), -1)
        if at < 0:
            seen.update((n, way) for n, way, _ in steps)
            continue
        turned = steps[at + 1 :] + steps[: at + 1]
        node, way, turn = steps[at]
        corner = lattice.beside[node][way]
        total, front = turn, 0  # the first line that a line run on would meet head on
        while total != 1:
            total += turned[front][2]
            front += 1
        front_node, front_way, _ = turned[front]
        middle = lattice.split(front_node, front_way)
        lattice.join(corner, way, middle, real=False)
        waiting.extend([(corner, way), (middle, (way + 2) % 4)])


def _tie_to_frame(lattice: Lattice, frame: list[int], starts: list[tuple[int, int]]) -> None:
    """Joins each part of the figure to the frame where a line run on meets nothing else."""
    for start in starts:
        if start[0] in frame:
            continue
        steps = lattice.walk(*start)
        if sum(turn for _, _, turn in steps) > 0:
            continue
        best = None
        for i, (node, way, turn) in enumerate(steps):
            if turn >= 0:
                continue
            total, free = turn, True
            for _, _, later in steps[i + 1 :] + steps[:i]:
                free = free and total < 1
                total += later
            if best is None or (free and not best[2]):
                best = (node, way, free)
        if best is None:
            continue
        corner = lattice.beside[best[0]][best[1]]
        side = (best[1] + 1) % 4  # the frame's side that lies in this direction runs one turn on
        middle = lattice.split(frame[side], side)
        lattice.join(corner, best[1], middle, real=False)
        return


def _cells(lattice: Lattice) -> list[Cell]:
    columns = _ranked(lattice, along=(NORTH, SOUTH), across=EAST)
    rows = _ranked(lattice, along=(EAST, WEST), across=SOUTH)
    return list(zip(columns, rows, strict=True))


def _ranked(lattice: Lattice, along: tuple[int, int], across: int) -> list[int]:
    """A whole number for each node: the same along lines of one direction, growing across them."""
    group = [-1] * len(lattice.beside)
    members: list[list[int]] = []
    for start in range(len(group)):
        if group[start] >= 0:
            continue
        members.append([])
        todo = [start]
        group[start] = len(members) - 1
        while todo:
            node = todo.pop()
            members[-1].append(node)
            for way in along:
                other = lattice.beside[node].get(way, -1)
                if other >= 0 and group[other] < 0:
                    group[other] = len(members) - 1
                    todo.append(other)
    after: list[dict[int, int]] = [{} for _ in members]  # group -> how many lines of the figure lead there
    before: list[dict[int, int]] = [{} for _ in members]
    for node, beside in enumerate(lattice.beside):
        other = beside.get(across, -1)
        if other >= 0:
            weight = int((min(node, other), max(node, other)) in lattice.real)
            a, b = group[node], group[other]
            after[a][b] = after[a].get(b, 0) + weight
            before[b][a] = before[b].get(a, 0) + weight
    value = _longest(after, before)
    for _ in range(4):
        value = _tightened(value, after, before)
    return [value[g] for g in group]


def _longest(after: list[dict[int, int]], before: list[dict[int, int]]) -> list[int]:
    value = [0] * len(after)
    missing = [len(b) for b in before]
    ready = [g for g, m in enumerate(missing) if m == 0]
    done = 0
    while ready:
        g = ready.pop()
        done += 1
        for other in after[g]:
            value[other] = max(value[other], value[g] + 1)
            missing[other] -= 1
            if missing[other] == 0:
                ready.append(other)
    if done < len(after):
        raise ValueError("the shape cannot be laid on a grid")
    return value


def _tightened(value: list[int], after: list[dict[int, int]], before: list[dict[int, int]]) -> list[int]:
    """Moves each group to where its lines of the figure are shortest, within its slack."""
    value = list(value)
    for g in sorted(range(len(value)), key=lambda g: (-value[g], g)):
        if not after[g] or not before[g]:
            continue
        pull = sum(after[g].values()) - sum(before[g].values())
        if pull > 0:
            value[g] = min(value[other] for other in after[g]) - 1
        elif pull < 0:
            value[g] = max(value[other] for other in before[g]) + 1
    return value
