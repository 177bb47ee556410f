"""Sums over the spanning trees of a block, after Kirchhoff: the determinant and all currents of a source.

Kirchhoff 1847: the determinant of a network is the sum, over all spanning trees, of the product of
the resistances of the branches *not* in the tree; the current in branch j due to an emf in branch k
is the same sum over the connected parts of the network with one single loop, a loop through j and k,
with the sign in which that loop meets j. Such a part is a spanning tree of the rest of the network
and branch k. No two terms cancel, so what is written down is the answer and nothing else.

The trees are found by following ways. Every tree holds exactly one way from a point to earth (the
points already joined); the points off that way fall into pieces that touch each other nowhere, and
each piece is a smaller problem of the same kind, worked once and remembered. The ways between the
two ends of a source are at the same time the rest of its loops, so that all currents of the source
come with the determinant.

What a product or a sum *is* the `Terms` decide: bit masks in arrays (`term_arrays`) or polynomials
(`tree_polynomials`). Knows no circuit and no symbol. Sets of points and of branches are whole
numbers, one bit for each.

Sources: G. Kirchhoff, Annalen der Physik und Chemie 72, 497-508 (1847); stated and proved e.g. in
N. Biggs, Algebraic Graph Theory, 2nd ed. (Cambridge 1993), chapters 5 and 6, and B. Bollobás, Modern
Graph Theory (Springer 1998), section II.3 (chapters from memory). The way of a tree to its root as
the first piece to be found: D. B. Wilson, "Generating random spanning trees more quickly than the
cover time", STOC 1996 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import Generic, Protocol, TypeVar

TreeValue = TypeVar("TreeValue")
WaySteps = tuple[int, int]  # branches of a way met along their arrows, and against them
Ends = Sequence[tuple[int, int]]  # the two points of each branch, along its arrow


class TooManyWays(Exception):
    """More ways than the stated budget would have to be followed."""


class Terms(Protocol[TreeValue]):
    """How sums of products of resistances are kept and multiplied: what `Forests` asks of an arithmetic."""

    def chosen(self, met: int, kept: Sequence[int]) -> TreeValue:
        """A sum with one term for each set of branches in `kept`: the product of the resistances of those
        branches of `met` that are not in the set (they stay out of the tree)."""

    def total(self, products: Sequence[tuple[TreeValue, TreeValue]]) -> TreeValue:
        """The sum of products of two sums: every term of one with every term of the other."""


@dataclass(frozen=True)
class TreeBlock:
    """A network that stays in one piece whichever point is taken out. `points`: how many, numbered from 0;
    `ends`: the two points of each branch, in the order of the bits. A branch that begins and ends on one
    point is a block of its own, with one point."""

    points: int
    ends: tuple[tuple[int, int], ...]

    @cached_property
    def stars(self) -> tuple[int, ...]:
        """The branches at each point, closed ones left out."""
        return stars(self.points, self.ends)

    @cached_property
    def loops(self) -> int:
        """The branches that begin and end on one point."""
        return sum(1 << i for i, (a, b) in enumerate(self.ends) if a == b)


def stars(points: int, ends: Ends) -> tuple[int, ...]:
    """For each point the set of branches that end there, as bits; branches closed on themselves are left
    out."""
    found = [0] * points
    for i, (a, b) in enumerate(ends):
        if a != b:
            found[a] |= 1 << i
            found[b] |= 1 << i
    return tuple(found)


def bits(number: int) -> Iterator[int]:
    """The places of the ones in a whole number, lowest first: the members of a set kept as bits."""
    while number:
        low = number & -number
        yield low.bit_length() - 1
        number ^= low


@dataclass(frozen=True, slots=True)
class Drive(Generic[TreeValue]):
    """What one source does in a block. For each branch that it drives, by number, the terms of its
    current's numerator: those of loops that pass it `along` its arrow, and those `against`; the current for
    each unit of the source is along − against, over the determinant. `own`: the terms of all loops through
    the source."""

    along: dict[int, TreeValue]
    against: dict[int, TreeValue]
    own: TreeValue


class Forests(Generic[TreeValue]):
    """The sums over spanning trees of one block, in the arithmetic `terms`. `budget`: the most ways that
    may be followed, beyond which TooManyWays is raised; none when left out. Sums of sets of points once
    worked are remembered."""

    def __init__(self, block: TreeBlock, terms: Terms[TreeValue], budget: int | None = None) -> None:
        self.block, self.terms = block, terms
        self.left = budget if budget is not None else -1
        self._known: dict[int, TreeValue] = {}
        self._touched: dict[int, int] = {}
        self._nothing = terms.chosen(0, (0,))
        self._loops_of: tuple[int, TreeValue] | None = None
        self._near = _near(block.points, block.ends)

    def determinant(self) -> TreeValue:
        """The sum over all spanning trees; less work once a source of the block has been `driven`."""
        if self._loops_of:
            return self._completed(*self._loops_of)
        closed = self.block.loops
        trees = self.rooted((1 << self.block.points) - 2)
        return self.terms.total([(self.terms.chosen(closed, (0,)), trees)]) if closed else trees

    def _completed(self, bit: int, own: TreeValue) -> TreeValue:
        """The sum over all spanning trees: those without a source's branch, which are its loops, and
        those with it, which are the trees of the rest with that branch as earth."""
        ends = sum(1 << p for p in self.block.ends[bit.bit_length() - 1])
        met = _within(ends, self.block.stars)
        rest = self.rooted((1 << self.block.points) - 1 & ~ends)
        return self.terms.total([(self.terms.chosen(bit, (0,)), own), (self.terms.chosen(met, (bit,)), rest)])

    def rooted(self, points: int) -> TreeValue:
        """The sum over the spanning trees of the network in which these points stay as they are and all
        others are one point, the earth. Each tree holds one way from a chosen point to earth; what lies off
        the way is worked in the same manner."""
        if points in self._known:
            return self._known[points]
        pieces = self._pieces(points)
        if len(pieces) != 1:
            found = self._nothing
            for piece in pieces:
                found = self.terms.total([(found, self.rooted(piece))])
            self._known[points] = found
            return found
        parts = []
        for on_way, kept in self._ways_to_earth(points).items():
            met = self._touching(points) & ~self._touching(points ^ on_way)
            parts.append((self.terms.chosen(met, kept), self.rooted(points ^ on_way)))
        found = self.terms.total(parts)
        self._known[points] = found
        return found

    def driven(self, start: int, end: int, ends: Ends, source: int) -> Drive[TreeValue]:
        """What a source does that drives its current out of itself at `start` and takes it in at `end`.

        `ends`: the block's branches, possibly with one point split into two (an ideal battery's own
        ends): the numbers from `block.points` on are then new. `source`: the bit of the source's own
        branch, which is neither in a tree nor in a product; 0 if it is none of the block's.
        """
        points = max(self.block.points, start + 1, end + 1)
        inside = stars(points, ends)
        everything = (1 << self.block.points) - 1
        along: dict[int, list[tuple[TreeValue, TreeValue]]] = {}
        against: dict[int, list[tuple[TreeValue, TreeValue]]] = {}
        own: list[tuple[TreeValue, TreeValue]] = []
        for on_way, ways in self._ways_between(start, end, ends, source).items():
            rest = self.rooted(everything & ~on_way)
            met = _within(on_way, inside) & ~source
            by_sense: tuple[dict[int, list[int]], dict[int, list[int]]] = ({}, {})
            for forwards, backwards in ways:
                for sense, lists in zip((forwards, backwards), by_sense, strict=True):
                    for j in bits(sense):
                        lists.setdefault(j, []).append(forwards | backwards)
            for lists, into in zip(by_sense, (along, against), strict=True):
                for j, kept in lists.items():
                    into.setdefault(j, []).append((self.terms.chosen(met, kept), rest))
            own.append((self.terms.chosen(met, [f | b for f, b in ways]), rest))
        total = self.terms.total
        all_loops = total(own)
        if source and start != end:
            self._loops_of = (source, all_loops)
        return Drive(
            {j: total(v) for j, v in along.items()}, {j: total(v) for j, v in against.items()}, all_loops
        )

    def _touching(self, points: int) -> int:
        """The branches with an end among these points."""
        known = self._touched.get(points)
        if known is None:
            known = 0
            for p in bits(points):
                known |= self.block.stars[p]
            self._touched[points] = known
        return known

    def _pieces(self, points: int) -> list[int]:
        """The points sorted into pieces that hang together by branches among them, each as bits."""
        found = []
        while points:
            piece = fresh = points & -points
            while fresh:
                reached = 0
                for p in bits(fresh):
                    reached |= self._neighbours[p]
                fresh = reached & points & ~piece
                piece |= fresh
            found.append(piece)
            points &= ~piece
        return found

    @cached_property
    def _neighbours(self) -> tuple[int, ...]:
        return tuple(sum(1 << other for other in near) for near in self._near)

    def _ways_to_earth(self, points: int) -> dict[int, list[int]]:
        """Every way from one of these points to a point outside them, as {points on the way: sets of
        branches, one for each way over these points}. The one begun with touches the outside and has few
        neighbours within, so that there are few ways."""
        found: dict[int, list[int]] = {}
        shore = [p for p in bits(points) if self._neighbours[p] & ~points]
        if not shore:
            return found
        first = min(shore, key=lambda p: (self._neighbours[p] & points).bit_count())
        near = self._near
        stack = [(first, 1 << first, [0])]
        while stack:
            at, on_way, so_far = stack.pop()
            for other, branches in near[at].items():
                if on_way >> other & 1:
                    continue
                longer = [way | branch for way in so_far for branch in branches]
                if points >> other & 1:
                    stack.append((other, on_way | 1 << other, longer))
                else:
                    self._spend(len(longer))
                    found.setdefault(on_way, []).extend(longer)
        return found

    def _ways_between(self, start: int, end: int, ends: Ends, source: int) -> dict[int, list[WaySteps]]:
        """Every way from start to end that avoids the source's own branch, as {points on it: for each way
        the branches passed along their arrows and those passed against}."""
        found: dict[int, list[WaySteps]] = {}
        if start == end:
            return {1 << start: [(0, 0)]}
        near: dict[int, dict[int, list[WaySteps]]] = {}
        for i, (a, b) in enumerate(ends):
            bit = 1 << i
            if a != b and bit != source:
                near.setdefault(a, {}).setdefault(b, []).append((bit, 0))
                near.setdefault(b, {}).setdefault(a, []).append((0, bit))
        stack = [(start, 1 << start, [(0, 0)])]
        while stack:
            at, on_way, so_far = stack.pop()
            for other, branches in near.get(at, {}).items():
                if on_way >> other & 1:
                    continue
                longer = [(f | df, b | db) for f, b in so_far for df, db in branches]
                if other == end:
                    self._spend(len(longer))
                    found.setdefault(on_way | 1 << other, []).extend(longer)
                else:
                    stack.append((other, on_way | 1 << other, longer))
        return found

    def _spend(self, ways: int) -> None:
        if self.left < 0:
            return
        self.left -= ways
        if self.left < 0:
            raise TooManyWays


def _near(points: int, ends: Ends) -> tuple[dict[int, list[int]], ...]:
    """For each point its neighbours with the branches that lead there, closed branches left out."""
    near: tuple[dict[int, list[int]], ...] = tuple({} for _ in range(points))
    for i, (a, b) in enumerate(ends):
        if a != b:
            near[a].setdefault(b, []).append(1 << i)
            near[b].setdefault(a, []).append(1 << i)
    return near


def _within(points: int, at: Sequence[int]) -> int:
    """The branches with both ends among the points; `at` gives those at each point."""
    once = twice = 0
    for p in bits(points):
        twice |= once & at[p]
        once |= at[p]
    return twice
