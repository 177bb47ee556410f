"""From the shape of a figure to a grid: whole-number columns and rows for every node and bend.

Every face is cut into rectangles by extra lines (R. Tamassia 1987; G. Di Battista, P. Eades, R.
Tamassia and I. G. Tollis, "Graph Drawing", 1999, chapter 5, from memory). Nodes above one another then
share a column; a column lies as far right as the longest row of lines that leads to it, and is moved
within the room it has to where the lines of the figure come out shortest. Rows likewise. Stands on
shapes and skeletons; knows no circuit and no millimetres.
"""

from __future__ import annotations

from itertools import accumulate

from .bends import FigureShape
from .placement import Cell
from .skeleton import EdgeDart, Skeleton

EAST, SOUTH, WEST, NORTH = range(4)  # clockwise as seen


class Lattice:
    """Nodes with at most one neighbour in each of the four directions, in the course of being cut into
    rectangles. `beside`: for each node direction -> neighbour; `real`: the pairs joined by a line of the
    figure and not by an extra line."""

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
        """The face at the right hand of the line that leaves `a` in this direction, walked round: for each
        of its lines the node left, the direction, and the turn at its end (+1 right, 0 straight on, −1
        left, −2 back)."""
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
    """The cell (column, row) of each node, and for each edge the cells of its corners from its first node
    to its second.

    `first`: one dart and the direction in which it leaves its node, which fixes how the figure stands.
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


def ways_of(skeleton: Skeleton, shape: FigureShape, first: tuple[EdgeDart, int]) -> list[list[int]]:
    """For each edge the direction of each of its straight parts, from its first node to its second.
    `first`: as for `grid_of`."""
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
    return [
        [way % 4 for way in accumulate(shape.turns[edge], initial=leaving[(edge, +1)])]
        for edge in range(len(skeleton.edges))
    ]


def _laid(
    skeleton: Skeleton, shape: FigureShape, first: tuple[EdgeDart, int], lattice: Lattice
) -> dict[int, list[int]]:
    """Puts the figure into the lattice: each piece of each edge in its direction, with a node for each
    bend. Gives the nodes along each edge."""
    paths: dict[int, list[int]] = {}
    for edge, ((a, b, _), ways) in enumerate(
        zip(skeleton.edges, ways_of(skeleton, shape, first), strict=True)
    ):
        path = [a]
        for way in ways[:-1]:
            bend = lattice.node()
            lattice.join(path[-1], way, bend, real=True)
            path.append(bend)
        lattice.join(path[-1], ways[-1], b, real=True)
        paths[edge] = [*path, b]
    return paths


def _cut_into_rectangles(lattice: Lattice) -> None:
    """Draws a frame round the figure and runs lines on, from every corner that juts into a face, to the
    line met head on, until every face is a rectangle."""
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
    """Joins a part of the figure to the frame, from a corner where a line run on meets nothing else."""
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
    """The column and row of every node."""
    columns = _ranked(lattice, along=(NORTH, SOUTH), across=EAST)
    rows = _ranked(lattice, along=(EAST, WEST), across=SOUTH)
    return list(zip(columns, rows, strict=True))


def _ranked(lattice: Lattice, along: tuple[int, int], across: int) -> list[int]:
    """A whole number for each node, the same for nodes joined by lines `along` one direction, growing in
    the direction `across`: its column, or its row."""
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
    """The numbers of the groups with each moved, within the room it has, to where the lines of the figure
    that lead to it are shortest. `after` and `before`: for each group those next to it on either side ->
    how many lines of the figure go there."""
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
