"""The search through a grid of choices: which candidates grant all wishes, and which wishes clash.

Blocks of the grid are sieved wish by wish; what only rows or only columns decide is decided before anything
is multiplied out. Where too few candidates are left, the smallest set of wishes at fault is found by the
duality of faults and cures (Reiter, Artif. Intell. 32, 57, 1987, from memory): a set is at fault exactly when
it has a member outside every set of wishes that can be granted together, so the smallest set of such members
is tried next, until one cannot be granted either.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from .grid import ChoiceGrid, GridBlock, Places
from .sieve import Condition, Holds

SINGLE = 16  # portions of one block each, at the beginning of a walk
TOGETHER = 16  # blocks of each portion after these
USUAL = 1000  # terms in the closed forms of three loops that wishes look at, at most
UNBOUNDED = 1000  # how many times longer a candidate takes where 64-bit numbers do not suffice, about
SAME_SIGNS = "all of one pattern of signs"  # the wish that stands for one difficulty
Hears = Callable[[str], None]
Pattern = tuple[int, ...]  # the signs of all currents


@dataclass(frozen=True, slots=True)
class VersionPlace:
    """One candidate that grants all that was asked: its place on the grid, the signs of its currents."""

    row: int
    column: int
    signs: Pattern


@dataclass(slots=True)
class WalkFound:
    """What a walk over the grid found. `tally`: how many candidates there were by pattern of signs and by
    which of the other wishes they grant too; `looked_at`: how many candidates were looked at; `whole`:
    whether those were all there are."""

    candidates: list[VersionPlace] = field(default_factory=list)
    tally: Counter[tuple[frozenset[str], Pattern]] = field(default_factory=Counter)
    looked_at: int = 0
    whole: bool = False

    def add(self, other: WalkFound) -> None:
        """Puts down what a further portion holds."""
        self.candidates += other.candidates
        self.tally += other.tally
        self.looked_at += other.looked_at

    def granting(self, wishes: frozenset[str]) -> int:
        """How many candidates grant these wishes as well: of the most frequent pattern of signs, where one
        pattern is wished for."""
        plain = wishes - {SAME_SIGNS}
        by_signs: Counter[Pattern] = Counter()
        for (granted, signs), count in self.tally.items():
            if plain <= granted:
                by_signs[signs] += count
        if SAME_SIGNS in wishes:
            return max(by_signs.values(), default=0)
        return sum(by_signs.values())


@dataclass(frozen=True, slots=True)
class WishClash:
    """The smallest set of wishes under which there are too few candidates. `found`: how many there are;
    `proved`: whether all candidates were looked at, so that there are no more; `looked_at`: how many that
    were, in all walks."""

    wishes: tuple[str, ...]
    found: int
    proved: bool
    looked_at: int


class VersionSearch:
    """A grid with the conditions of every wish, by the wish's text, and what tells the signs of the currents.
    `sound`: what must hold of any candidate; `most`: how many candidates a walk may look at."""

    def __init__(
        self,
        grid: ChoiceGrid,
        wishes: Mapping[str, tuple[Condition, ...]],
        sound: Sequence[Condition],
        signs: Callable[[GridBlock, Places], NDArray[np.int64]],
        *,
        same_signs: bool,
        most: int,
    ) -> None:
        self.grid, self.wishes, self.sound, self.signs = grid, dict(wishes), tuple(sound), signs
        self.most = most
        self.all = frozenset(wishes) | ({SAME_SIGNS} if same_signs else frozenset())

    # -- walking ---------------------------------------------------------------------------------

    @cached_property
    def weight(self) -> int:
        """How many times as much work a candidate is as one of a circuit of three loops, about."""
        conditions = [*self.sound, *(c for of in self.wishes.values() for c in of)]
        terms = sum(len(p.terms) for p in {p for c in conditions for p in c.of})
        return max(1, terms // USUAL) * (1 if all(c.plain for c in conditions) else UNBOUNDED)

    @property
    def rows_at_once(self) -> int:
        """How many rows make a block."""
        return max(1, self.grid.rows_at_once // self.weight)

    @cached_property
    def portions(self) -> list[range]:
        """The rows that a walk looks through, in portions: at first a block each, so that
        a search that soon finds enough looks at little, then several."""
        allowed = min(self.grid.rows, max(1, self.most // self.weight // self.grid.columns))
        found: list[range] = []
        first = 0
        while first < allowed:
            blocks = 1 if len(found) < SINGLE else TOGETHER
            last = min(allowed, first + blocks * self.rows_at_once)
            found.append(range(first, last))
            first = last
        return found

    def portion(self, wanted: frozenset[str], rows: range, *, listed: bool) -> WalkFound:
        """What the rows at these places of the walk hold: the candidates that grant the wishes `wanted`, and,
        unless they are listed, how many of them there are by their signs and by the other wishes that they
        grant."""
        found = WalkFound(looked_at=len(rows) * self.grid.columns)
        for block, places in self._sieved(wanted, rows):
            if listed:
                found.candidates += self._listed(block, places)
            else:
                self._put_down(block, places, wanted, found)
        return found

    def _listed(self, block: GridBlock, places: Places) -> list[VersionPlace]:
        codes = self.signs(block, places)
        return [
            VersionPlace(block.rows[row], int(column), tuple(map(int, code)))
            for row, column, code in zip(places.rows, places.columns, codes, strict=True)
        ]

    def _sieved(self, wanted: frozenset[str], rows: range) -> Iterator[tuple[GridBlock, Places]]:
        """GridBlock after block with the places that grant these wishes."""
        parts = [*self.sound, *(c for text in self.wishes if text in wanted for c in self.wishes[text])]
        parts.sort(key=lambda condition: condition.cost)
        held = [frozenset[int]().union(*(p.holds for p in c.of)) for c in parts]
        inner = frozenset(self.grid.inner)
        by_row = [c for c, h in zip(parts, held, strict=True) if not h & inner]
        by_column = [c for c, h in zip(parts, held, strict=True) if h & inner and h <= inner]
        by_both = [c for c in parts if c not in by_row and c not in by_column]
        columns: Holds | None = None
        at_once = self.rows_at_once
        kept: list[int] = []
        for first in rows[::at_once]:
            count = min(at_once, rows.stop - first)
            numbers = self.grid.row_numbers(first, count)
            if by_row or columns is None:
                block = self.grid.block(numbers)
                if columns is None:
                    alone = [c.everywhere(block)[:1] for c in by_column]
                    columns = _all_of(alone, (1, self.grid.columns))[0]
                granted = _all_of([c.everywhere(block) for c in by_row], (count, 1))[:, 0]
                numbers = [n for n, keep in zip(numbers, granted, strict=True) if keep]
            kept += numbers
            if (len(kept) >= at_once // 2 or first + count == rows.stop) and kept and columns.any():
                block = self.grid.block(kept)
                kept = []
                yield block, self._places(block, columns, by_both)

    def _places(self, block: GridBlock, columns: Holds, conditions: Sequence[Condition]) -> Places:
        shape = len(block.rows), self.grid.columns
        if not conditions:
            return _places(np.broadcast_to(columns[None, :], shape))
        first, *rest = conditions
        places = _places(np.broadcast_to(first.everywhere(block), shape) & columns[None, :])
        for condition in rest:
            if not len(places.rows):
                break
            places = places.kept(np.broadcast_to(condition.at(block, places), places.rows.shape))
        return places

    def _put_down(self, block: GridBlock, places: Places, wanted: frozenset[str], found: WalkFound) -> None:
        """Tallies the candidates by their signs and by the other wishes that they grant."""
        if not len(places.rows):
            return
        others = [text for text in self.wishes if text not in wanted]
        granted = [
            _all_of([c.at(block, places) for c in self.wishes[text]], places.rows.shape) for text in others
        ]
        codes = self.signs(block, places)
        table = np.column_stack([*granted, codes]) if granted else codes
        kinds, counts = np.unique(table, axis=0, return_counts=True)
        for kind, count in zip(kinds, counts, strict=True):
            told = frozenset(text for text, holds in zip(others, kind, strict=False) if holds)
            signs = tuple(map(int, kind[len(others) :]))
            found.tally[(told | wanted - {SAME_SIGNS}, signs)] += int(count)


def smallest_hitting(sets: Sequence[frozenset[str]], order: Sequence[str]) -> tuple[str, ...]:
    """The first smallest choice from `order` that has a member in each of the sets."""
    for size in range(len(order) + 1):
        for chosen in combinations(order, size):
            if all(not one.isdisjoint(chosen) for one in sets):
                return chosen
    return tuple(order)


def _all_of(held: Sequence[Holds], shape: tuple[int, ...]) -> Holds:
    found = np.ones(shape, dtype=bool)
    for one in held:
        found &= one
    return found


def _places(which: Holds) -> Places:
    rows, columns = np.nonzero(which)
    return Places(rows, columns)
