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
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from .grid import ChoiceGrid, GridBlock, Places
from .sieve import Condition, Holds

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
        tell: Hears,
    ) -> None:
        self.grid, self.wishes, self.sound, self.signs = grid, dict(wishes), tuple(sound), signs
        self.most, self.tell = most, tell
        self.all = frozenset(wishes) | ({SAME_SIGNS} if same_signs else frozenset())

    # -- walking ---------------------------------------------------------------------------------

    def walk(self, wanted: frozenset[str], enough: int) -> WalkFound:
        """Looks at candidates until `enough` grant the wishes `wanted`, or all have been looked at."""
        found = WalkFound()
        for block, places in self._sieved(wanted, found):
            self._put_down(block, places, wanted, found)
            if found.granting(wanted) >= enough:
                break
        return found

    def candidates(self, found: WalkFound) -> Iterator[list[VersionPlace]]:
        """The candidates that grant all wishes, block by block; `found` says how far the walk has come."""
        for block, places in self._sieved(self.all, found):
            codes = self.signs(block, places)
            yield [
                VersionPlace(block.rows[row], int(column), tuple(map(int, code)))
                for row, column, code in zip(places.rows, places.columns, codes, strict=True)
            ]

    def _sieved(self, wanted: frozenset[str], found: WalkFound) -> Iterator[tuple[GridBlock, Places]]:
        """GridBlock after block with the places that grant these wishes."""
        parts = [*self.sound, *(c for text in self.wishes if text in wanted for c in self.wishes[text])]
        parts.sort(key=lambda condition: condition.cost)
        held = [frozenset[int]().union(*(p.holds for p in c.of)) for c in parts]
        inner = frozenset(self.grid.inner)
        by_row = [c for c, h in zip(parts, held, strict=True) if not h & inner]
        by_column = [c for c, h in zip(parts, held, strict=True) if h & inner and h <= inner]
        by_both = [c for c in parts if c not in by_row and c not in by_column]
        columns: Holds | None = None
        first, at_once = 0, self.grid.rows_at_once
        allowed = min(self.grid.rows, max(1, self.most // self.grid.columns))
        kept: list[int] = []
        while first < allowed:
            count = min(at_once, allowed - first)
            numbers = self.grid.row_numbers(first, count)
            first += count
            found.looked_at += count * self.grid.columns
            found.whole = first == self.grid.rows
            if by_row or columns is None:
                block = self.grid.block(numbers)
                if columns is None:
                    alone = [c.everywhere(block)[:1] for c in by_column]
                    columns = _all_of(alone, (1, self.grid.columns))[0]
                granted = _all_of([c.everywhere(block) for c in by_row], (count, 1))[:, 0]
                numbers = [n for n, keep in zip(numbers, granted, strict=True) if keep]
            kept += numbers
            if (len(kept) >= at_once // 2 or first == allowed) and kept and columns.any():
                self.tell(f"{found.looked_at:,} of {self.grid.size:,} candidates")
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

    # -- wishes that clash -----------------------------------------------------------------------

    def clash(self, enough: int) -> WishClash:
        """The smallest set of wishes that fewer than `enough` candidates grant, the first such set in the
        order of the wishes. Call it where all wishes together are such a set."""
        order = [*self.wishes, *([SAME_SIGNS] if SAME_SIGNS in self.all else [])]
        outside: list[frozenset[str]] = []  # for sets that can be granted: the wishes outside
        looked_at = 0
        while True:
            tried = _smallest_hitting(outside, order)
            self.tell(f"whether these clash: {', '.join(tried) or 'no wish at all'}")
            found = self.walk(frozenset(tried), enough)
            looked_at += found.looked_at
            if found.granting(frozenset(tried)) < enough:
                return WishClash(tried, found.granting(frozenset(tried)), found.whole, looked_at)
            granted = frozenset(tried)
            for text in order:
                if found.granting(granted | {text}) >= enough:
                    granted |= {text}
            outside.append(self.all - granted)


def _smallest_hitting(sets: Sequence[frozenset[str]], order: Sequence[str]) -> tuple[str, ...]:
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
