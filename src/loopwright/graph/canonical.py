"""One form for all graphs that differ only in how their points are numbered.

Points bear colours and arcs bear labels, both plain texts. Two such graphs have the same form exactly where
one can be renumbered into the other. Knows nothing of what the colours stand for.

Colours are refined by those of their neighbours until nothing changes; where points still look alike, each
is made special in turn and the least outcome is kept. Symmetries found on the way spare what they map onto
what was looked at. Source: B. D. McKay, "Practical graph isomorphism", Congressus Numerantium 30, 45, 1981
(from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

Arc = tuple[int, int, str]  # from, to, label
MOST_WORK = 4_000_000  # signatures and neighbours looked at: some seconds

_Outcome = tuple[tuple[tuple[int, int], ...], ...]


class TooSymmetric(Exception):
    """The work allowed was used up: the graph has too many points that look alike."""


def canonical_form(colours: Sequence[str], arcs: Iterable[Arc], most: int = MOST_WORK) -> str:
    """The form as a text. `colours`: of the points 0, 1, ...; `arcs`: between them, of which several may join
    the same two points.

    Raises TooSymmetric where more than `most` would have to be looked at.
    """
    return _Search(colours, tuple(arcs), most).form()


class _Search:
    """The search for the least outcome. A colour is the place at which its points begin in the order."""

    def __init__(self, colours: Sequence[str], arcs: tuple[Arc, ...], most: int) -> None:
        self.size, self.left = len(colours), most
        self.names = sorted(set(colours))
        self.labels = sorted({label for _, _, label in arcs})
        number = {label: at for at, label in enumerate(self.labels)}
        self.near: list[list[tuple[int, int]]] = [[] for _ in colours]
        self.out: list[list[tuple[int, int]]] = [[] for _ in colours]
        for start, end, label in arcs:
            self.near[start].append((2 * number[label], end))
            self.near[end].append((2 * number[label] + 1, start))
            self.out[start].append((number[label], end))
        self.told = [self.names.index(colour) for colour in colours]
        self.best: tuple[list[tuple[int, ...]], _Outcome] | None = None
        self.best_order: list[int] = []
        self.best_path: list[int] = []
        self.symmetries: list[list[int]] = []

    def form(self) -> str:
        """Names of colours and labels, then the least outcome."""
        cells: dict[int, list[int]] = {}
        for point in sorted(range(self.size), key=lambda p: self.told[p]):
            of = self.told[point]
            cells.setdefault(of, []).append(point)
        start, colour, placed = 0, [0] * self.size, dict[int, list[int]]()
        for of in sorted(cells):
            placed[start] = cells[of]
            for point in cells[of]:
                colour[point] = start
            start += len(cells[of])
        self._descend(colour, placed, [], [])
        outcome = self.best[1] if self.best else ()
        ends = [self.told[point] for point in sorted(range(self.size), key=lambda p: self.best_order[p])]
        return repr((self.names, self.labels, ends, outcome))

    def _descend(
        self, colour: list[int], cells: dict[int, list[int]], path: list[int], trace: list[tuple[int, ...]]
    ) -> int:
        """Looks at all below a state; gives the depth to which the search may fall back."""
        depth = len(path)
        self._refine(colour, cells)
        trace = [*trace, tuple(sorted(cells))]
        if self.best is not None and trace > self.best[0][: len(trace)]:
            return depth
        open_cells = [start for start in sorted(cells) if len(cells[start]) > 1]
        if not open_cells:
            return self._reached(colour, path, trace)
        start = open_cells[0]
        tried: list[int] = []
        for point in list(cells[start]):
            if tried and self._mapped(point, tried, path):
                continue
            tried.append(point)
            others = [other for other in cells[start] if other != point]
            inner, split = colour.copy(), dict(cells)
            split[start], split[start + 1] = [point], others
            for other in others:
                inner[other] = start + 1
            back = self._descend(inner, split, [*path, point], trace)
            if back < depth:
                return back
        return depth

    def _reached(self, colour: list[int], path: list[int], trace: list[tuple[int, ...]]) -> int:
        """Every point stands alone: is this less than the best, or the best once more by a symmetry?"""
        rows: list[tuple[tuple[int, int], ...]] = [()] * self.size
        for point, out in enumerate(self.out):
            rows[colour[point]] = tuple(sorted((label, colour[end]) for label, end in out))
        found = (trace, tuple(rows))
        if self.best is None or found < self.best:
            self.best, self.best_order, self.best_path = found, colour, path
            return len(path)
        if found != self.best:
            return len(path)
        here = {place: point for point, place in enumerate(colour)}
        self.symmetries.append([here[place] for place in self.best_order])
        return next(
            (at for at, (one, other) in enumerate(zip(path, self.best_path, strict=True)) if one != other),
            len(path),
        )

    def _mapped(self, point: int, tried: list[int], path: list[int]) -> bool:
        """Whether known symmetries that leave the path alone map a point that was tried onto this one."""
        moves = [s for s in self.symmetries if all(s[fixed] == fixed for fixed in path)]
        reached, waiting = set(tried), list(tried)
        for one in waiting:  # grows as it is gone through
            for move in moves:
                if move[one] not in reached:
                    reached.add(move[one])
                    waiting.append(move[one])
        return point in reached

    def _refine(self, colour: list[int], cells: dict[int, list[int]]) -> None:
        """Splits the cells by what their points are joined to, until nothing changes."""
        changed = True
        while changed:
            changed = False
            splits: list[tuple[int, dict[tuple[tuple[int, int], ...], list[int]]]] = []
            for start in sorted(cells):
                if len(cells[start]) > 1:
                    sorts: dict[tuple[tuple[int, int], ...], list[int]] = {}
                    for point in cells[start]:
                        near = self.near[point]
                        self.left -= 1 + len(near)
                        seen = tuple(sorted([(label, colour[other]) for label, other in near]))
                        sorts.setdefault(seen, []).append(point)
                    if len(sorts) > 1:
                        splits.append((start, sorts))
            if self.left < 0:
                raise TooSymmetric
            for start, sorts in splits:
                changed, at = True, start
                for seen in sorted(sorts):
                    cells[at] = sorts[seen]
                    for point in sorts[seen]:
                        colour[point] = at
                    at += len(sorts[seen])
