"""Lines above taken as they are written, their rounded numbers as they stand: what exactly follows from these
is no slip, however far the rounding has carried it. `V = 820895/1872056` may be what three equations give,
one of which was rounded before they were solved.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import combinations

from ...algebra.linear import Linear
from ...expressions.nodes import Equation, Symbol
from ...expressions.values import symbols_of
from .consequence import NEAREST, ClaimRow, WantedRow
from .follow_on import FollowOn
from .rounding import lone
from .truth import ClaimValue, View

SOLVED_TOGETHER = 4  # equations at the most that are tried together
NEAREST_PUT_IN = 40  # lines above into which numbers are put
FAR = 60  # rows above among which results are looked for
MOST_BESIDE = 8  # results that are put with what holds unwritten
NEAREST_SOLVED = 6  # lines above among which three or four are tried


class AsTheyStand:
    """The true claims of a working in numbers, as rows with the numbers written. `rounded`: those that are
    right only as rounded; without one of these nothing follows that is not true anyway."""

    def __init__(self) -> None:
        self._written: list[ClaimRow] = []
        self._values: dict[str, ClaimRow] = {}  # of names: the last row that gives a number
        self._rounded: set[int] = set()  # their places

    def keep(self, row: ClaimRow, written: Equation, *, rounded: bool) -> None:
        """Adds a true claim."""
        if isinstance(written.left, Symbol) and lone(written.right) is not None:
            self._values[written.left.name] = row
        if rounded:
            self._rounded.add(len(self._written))
        self._written.append(row)

    def give(
        self,
        found: ClaimValue,
        linear: Linear,
        written: Equation,
        before: int = 0,
        along: Sequence[ClaimRow] = (),
    ) -> bool:
        """Whether an equation is exactly what one or two lines above give, or a result, as it is rounded,
        what up to four of them give that fix it, or one or two with what holds unwritten (`along`).
        `before`: only lines before this one are looked at."""
        target, all_rows = WantedRow(found.difference, linear), found.view.rows
        near = (rows for size in (1, 2) for rows in self._sets(size, NEAREST, before))
        if any(all_rows.support(target, rows) for rows in near):
            return True
        worth = self._last_numbers(linear, before)
        if worth and all_rows.support(target, worth):
            return True
        name = written.left
        if not isinstance(name, Symbol) or lone(written.right) is None:
            return False
        sizes = range(2, SOLVED_TOGETHER + 1)
        sets = (rows for size in sizes for rows in self._sets(size, NEAREST_SOLVED, before))
        if any(_fix(found.view, name.name, written, rows) for rows in sets):
            return True
        few = self._results_beside(linear, along, before)
        return any(_fix(found.view, name.name, written, (*rows, *along)) for rows in few)

    def _last_numbers(self, linear: Linear, before: int) -> tuple[ClaimRow, ...]:
        """The last number that each name of a sum was given above, however far; nothing where one has none
        or none is rounded."""
        last: dict[str, int] = {}
        for place, row in enumerate(self._written):
            names = row.linear.coefficients
            if (
                len(names) == 1
                and linear.coefficients.keys() >= names.keys()
                and not (before and row.line >= before)
            ):
                last[next(iter(names))] = place
        if len(last) < len(linear.coefficients) or self._rounded.isdisjoint(last.values()):
            return ()
        return tuple(self._written[at] for at in last.values())

    def _results_beside(
        self, linear: Linear, along: Sequence[ClaimRow], before: int
    ) -> Iterator[tuple[ClaimRow, ...]]:
        """One or two results, the last of each quantity, one of them rounded, of what stands in a relation
        with what a claim speaks of."""
        own = linear.coefficients.keys()
        beside = {n for row in along if row.linear.coefficients.keys() & own for n in row.linear.coefficients}
        last: dict[str, int] = {}
        for place in range(max(len(self._written) - FAR, 0), len(self._written)):
            row = self._written[place]
            names = row.linear.coefficients
            if len(names) == 1 and beside.issuperset(names) and not (before and row.line >= before):
                last[next(iter(names))] = place
        for size in (1, 2):
            for chosen in combinations(list(last.values())[:MOST_BESIDE], size):
                if not self._rounded.isdisjoint(chosen):
                    yield tuple(self._written[i] for i in chosen)

    def put_in(self, found: ClaimValue, written: Equation, holding: Sequence[ClaimRow]) -> bool:
        """Whether numbers that a name is set equal to are those written for other names above, put as they
        stand into what the name means, into a line above or into what holds unwritten (`holding`):
        `P1 = 8·0.84²` after I1 = 0.84, which was 0.789."""
        name, view = written.left, found.view
        if not isinstance(name, Symbol) or symbols_of(written.right) or lone(written.right) is not None:
            return False
        meant = set(view.meanings.names[name.name].held())
        values = [row for n, row in self._values.items() if n != name.name]
        into = (*reversed(self._written[-NEAREST_PUT_IN:]), *holding)
        for row in (None, *(row for row in into if meant.intersection(row.linear.coefficients))):
            held = meant | (row.linear.coefficients.keys() if row is not None else set())
            own = [each for each in values if each is not row and _is_of(each, held)]
            rows = own if row is None else [row, *own]
            off = view.rows.fixed([found.difference], rows) if own else None
            if off is not None and not off[0]:
                return True
        return False

    def follow(self, found: ClaimValue, linear: Linear, written: Equation) -> FollowOn | None:
        """The untrue line, and the rounded one as it stands, that together give an equation exactly, or a
        result, as it is rounded, with up to two more that fix it; None where none do."""
        target, all_rows = WantedRow(found.difference, linear), found.view.rows
        wrong = [row for row in all_rows.near if not row.true]
        for row in wrong[: -NEAREST - 1 : -1]:
            for (other,) in self._sets(1, NEAREST):
                support = all_rows.support(target, (other, row))
                if support is not None and row in support:
                    return FollowOn(tuple(sorted({each.line for each in support})))
        name = written.left
        if not isinstance(name, Symbol) or lone(written.right) is None:
            return None
        for row in wrong[: -SOLVED_TOGETHER - 1 : -1]:
            for rows in (rows for size in (1, 2, 3) for rows in self._sets(size, NEAREST_SOLVED)):
                together = (row, *rows)
                if all_rows.consistent(together) and _fix(found.view, name.name, written, together):
                    return FollowOn(tuple(sorted({each.line for each in together})))
        return None

    def _sets(self, size: int, nearest: int, before: int = 0) -> Iterator[tuple[ClaimRow, ...]]:
        """So many of the nearest lines, one of them rounded; only such as stand before a line, where one is
        given."""
        end = len(self._written)
        while before and end and self._written[end - 1].line >= before:
            end -= 1
        places = range(end - 1, max(end - nearest, 0) - 1, -1)
        for chosen in combinations(places, size):
            if not self._rounded.isdisjoint(chosen):
                yield tuple(self._written[i] for i in chosen)


def _is_of(row: ClaimRow, held: Collection[str]) -> bool:
    """Whether a row speaks of some unknowns, and of no more besides than the zero that potentials have."""
    others = [n for n in row.linear.coefficients if n not in held]
    return len(others) < min(len(row.linear.coefficients), 2)


def _fix(view: View, name: str, written: Equation, rows: Sequence[ClaimRow]) -> bool:
    """Whether the rows give a name the number that is written for it."""
    value = view.rows.fixed([view.meanings.names[name]], rows)
    return value is not None and view.as_rounded.is_written(written, {name: value[0]})
