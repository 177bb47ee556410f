"""Plans for lines in numbers, found once and known again for the same lines in other numbers.

The search (`plan`) looks at numbers for two things only: how many symbols each takes to write, and which
terms cancel when lines are put into one another or added. So where the lines of a circuit take as many
symbols in other numbers, and in everything that the search worked out the same terms cancel, it would go the
same way to the same plan. That is what is gone through here, with the search's own arithmetic; where
anything comes out otherwise, the plan is searched for.
"""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

import numpy as np
from numpy.typing import NDArray

from ..circuit.circuit import Circuit
from .plan import CONSTANT, NOTHING, TINY, DerivationPlan, LineShadow, Shade, prices

MOST_ALIKE = 6  # searches kept of lines that take as many symbols: the further ones are hardly ever met


@dataclass(frozen=True)
class _Level:
    """Lines made of lines above, all at once: each is line `one` with line `other` times something added,
    so much that the current in column `unknown` drops out, or, where that is −1, `sign` times. `kept`: where
    something is left; `met`: where both hold something, so that it may cancel. `at`: where they stand."""

    at: slice
    one: NDArray[np.intp]
    other: NDArray[np.intp]
    unknown: NDArray[np.intp]
    sign: NDArray[np.float64]
    kept: NDArray[np.bool_]
    met: NDArray[np.bool_]


@dataclass(frozen=True)
class _Seen:
    """All that a search saw of numbers, for lines with coefficients in these `columns` (the constant term in
    the last). `levels`: the lines it made; `pairs`: of which lines it looked for a sum, with `cancels`,
    whether something drops out of the sum and of the difference, and `both`, where both hold a current;
    `bare`: the lines from which a current can be read off, with `holds`, where they hold something, and
    `alone`, where that stands alone on its side."""

    columns: tuple[str, ...]
    levels: tuple[_Level, ...]
    pairs: NDArray[np.intp]
    both: NDArray[np.bool_]
    cancels: NDArray[np.bool_]
    bare: NDArray[np.intp]
    holds: NDArray[np.bool_]
    alone: NDArray[np.bool_]


@dataclass(frozen=True)
class _Search:
    """A search that was done: which of the sets of lines it chose, and its plan. `lines`: all that it was
    given; `shade`: what it worked of them."""

    chosen: int
    plan: DerivationPlan
    lines: Sequence[LineShadow]
    shade: Shade

    @cached_property
    def seen(self) -> _Seen:
        """What it saw of numbers, in an order in which every line comes after those it is made of."""
        names = {name: None for line in self.lines for name in line.shadows if name != CONSTANT}
        columns = (*names, CONSTANT)
        depth = {id(line.shadows): 0 for line in self.lines}
        known = {id(line.shadows): line for line in self.lines}
        made: dict[int, tuple[LineShadow, LineShadow, str, int]] = {}
        for one, other, unknown, found in self.shade.worked:
            for sign, line in found:
                key = id(line.shadows)
                depth[key] = 1 + max(depth[id(one.shadows)], depth[id(other.shadows)])
                known[key], made[key] = line, (one, other, unknown, sign)
        order = sorted(known, key=lambda key: depth[key])  # stable: in the order in which they were made
        place = {key: at for at, key in enumerate(order)}
        held = np.array([[name in known[key].shadows for name in columns] for key in order])
        levels: list[_Level] = []
        first = len(self.lines)
        for _, keys in groupby(order[first:], key=lambda key: depth[key]):
            parts = [made[key] for key in keys]
            one_at = np.array([place[id(one.shadows)] for one, _, _, _ in parts])
            other_at = np.array([place[id(other.shadows)] for _, other, _, _ in parts])
            gone = np.array([columns.index(unknown) if unknown else -1 for _, _, unknown, _ in parts])
            at = slice(first, first + len(parts))
            met = held[one_at] & held[other_at] & (np.arange(len(columns)) != gone[:, None])
            signs = np.array([float(sign) for _, _, _, sign in parts])
            levels.append(_Level(at, one_at, other_at, gone, signs, held[at], met))
            first = at.stop
        added = [(one, other, found) for one, other, unknown, found in self.shade.worked if not unknown]
        pairs = np.array([(place[id(one.shadows)], place[id(other.shadows)]) for one, other, _ in added])
        pairs = pairs.reshape(-1, 2).astype(np.intp)
        both = held[pairs[:, 0]] & held[pairs[:, 1]]
        both[:, -1] = False
        signs_found = [[sign for sign, _ in found] for _, _, found in added]
        cancels = np.array([(1 in signs, -1 in signs) for signs in signs_found]).reshape(-1, 2)
        bare = np.array([at for at, key in enumerate(order) if known[key].is_bare], dtype=np.intp)
        numbers = [[known[order[at]].shadows.get(name, NOTHING)[0] for name in columns] for at in bare]
        values = np.array(numbers).reshape(-1, len(columns))
        return _Seen(
            columns, tuple(levels), pairs, both, cancels, bare, held[bare], _alone(values, held[bare])
        )


class KnownPlans:
    """The searches done for a circuit in numbers, for it in other numbers."""

    def __init__(self, circuit: Circuit) -> None:
        self._known: dict[Hashable, list[_Search]] = {}

    def recalled(self, sets: Sequence[Sequence[LineShadow]], lengths: Sequence[float]) -> _Search | None:
        """The search that would be done for these sets of lines; None where it is not known. `lengths`: what
        is counted for each set besides its plan."""
        given = _distinct(sets)
        for one in self._known.get(_key(sets, given, lengths), ()):
            if _goes_the_same_way(one, given):
                return one
        return None

    def keep(
        self,
        sets: Sequence[Sequence[LineShadow]],
        lengths: Sequence[float],
        shade: Shade,
        chosen: int,
        plan: DerivationPlan,
    ) -> None:
        """Puts down a search that was done: which of the sets it chose, and its plan."""
        given = _distinct(sets)
        alike = self._known.setdefault(_key(sets, given, lengths), [])
        if len(alike) < MOST_ALIKE:
            alike.append(_Search(chosen, plan, given, shade))


def _distinct(sets: Sequence[Sequence[LineShadow]]) -> list[LineShadow]:
    return list(dict.fromkeys(line for lines in sets for line in lines))


def _key(
    sets: Sequence[Sequence[LineShadow]], given: Sequence[LineShadow], lengths: Sequence[float]
) -> Hashable:
    """All that the search goes by, the numbers themselves aside."""
    places = {line: at for at, line in enumerate(given)}
    symbols = tuple([tuple([(name, shadow[3]) for name, shadow in line.shadows.items()]) for line in given])
    sets_by_place = tuple([tuple([places[line] for line in lines]) for lines in sets])
    return symbols, sets_by_place, tuple(lengths), prices()


def _goes_the_same_way(one: _Search, given: Sequence[LineShadow]) -> bool:
    """Whether everything that was seen in a search is seen of these lines as well."""
    seen = one.seen
    count = seen.levels[-1].at.stop if seen.levels else len(given)
    lines = np.empty((count, len(seen.columns)))
    lines[: len(given)] = [
        [line.shadows[name][0] if name in line.shadows else 0.0 for name in seen.columns] for line in given
    ]
    for level in seen.levels:
        one_of, other = lines[level.one], lines[level.other]
        rows = np.arange(len(level.one))
        put = level.unknown >= 0
        by = np.where(put, -one_of[rows, level.unknown], level.sign)
        by /= np.where(put, other[rows, level.unknown], 1.0)
        made = one_of + other * by[:, None]
        gone = np.abs(made) <= TINY * np.abs(one_of)
        if (gone & level.met != level.met & ~level.kept).any():
            return False
        lines[level.at] = np.where(level.kept, made, 0.0)
    first, second = lines[seen.pairs[:, 0]], lines[seen.pairs[:, 1]]
    small = TINY * np.abs(first)
    plus = ((np.abs(first + second) <= small) & seen.both).any(axis=1)
    minus = ((np.abs(first - second) <= small) & seen.both).any(axis=1)
    if (plus != seen.cancels[:, 0]).any() or (minus != seen.cancels[:, 1]).any():
        return False
    return bool((_alone(lines[seen.bare], seen.holds) == seen.alone).all())


def _alone(lines: NDArray[np.float64], holds: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """For each coefficient of each line, whether all others have the other sign and its size."""
    opposite = lines[:, None, :] == -lines[:, :, None]
    itself = np.eye(lines.shape[1], dtype=bool)
    others_so: NDArray[np.bool_] = (opposite | itself | ~holds[:, None, :]).all(axis=2)
    return others_so & holds
