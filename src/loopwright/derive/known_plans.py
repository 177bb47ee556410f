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

from ..circuit.circuit import Circuit
from .plan import CONSTANT, TINY, DerivationPlan, LineShadow, Shade, prices

MOST_ALIKE = 6  # searches kept of lines that take as many symbols: the further ones are hardly ever met

_Values = dict[str, float]  # the coefficients of a line in numbers, by current
_Seen = tuple[int, tuple[str, ...], tuple[bool, ...]]
"""What was seen of a line made: the sign with which the second was added, 0 where a current was put in; the
currents left; and, of a line from which they can be read off, which of them stands alone on its side."""


@dataclass(frozen=True)
class _Search:
    """A search that was done: which of the sets of lines it chose, and its plan. `lines`: all that it was
    given; `shade`: what it worked of them."""

    chosen: int
    plan: DerivationPlan
    lines: Sequence[LineShadow]
    shade: Shade

    @cached_property
    def given(self) -> tuple[tuple[bool, ...], ...]:
        """What was seen of the lines given."""
        return tuple(map(_alone_in, self.lines))

    @cached_property
    def worked(self) -> tuple[tuple[int, int, str, tuple[_Seen, ...]], ...]:
        """Of each pair of lines, by their places among those given and made, the current put in (none where
        they were added) and what was seen of what came of it."""
        places = {id(line.shadows): at for at, line in enumerate(self.lines)}
        found: list[tuple[int, int, str, tuple[_Seen, ...]]] = []
        for one, other, unknown, made in self.shade.worked:
            seen = tuple((sign, tuple(line.shadows), _alone_in(line)) for sign, line in made)
            found.append((places[id(one.shadows)], places[id(other.shadows)], unknown, seen))
            for _, line in made:
                places[id(line.shadows)] = len(places)
        return tuple(found)


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
    lines: list[_Values] = [{name: s[0] for name, s in line.shadows.items()} for line in given]
    if not all(not alone or _alone(line) == alone for line, alone in zip(lines, one.given, strict=True)):
        return False
    for first, second, unknown, seen in one.worked:
        if unknown:
            made = [_put(lines[first], lines[second], unknown)]
        else:
            signs = _cancelling(lines[first], lines[second])
            if signs != [sign for sign, _, _ in seen]:
                return False
            made = [_sum(lines[first], lines[second], sign) for sign in signs]
        for line, (_, names, alone) in zip(made, seen, strict=True):
            if tuple(line) != names or (alone and _alone(line) != alone):
                return False
        lines += made
    return True


def _alone_in(line: LineShadow) -> tuple[bool, ...]:
    return _alone({name: s[0] for name, s in line.shadows.items()}) if line.is_bare else ()


def _alone(line: _Values) -> tuple[bool, ...]:
    """For each coefficient of a line, whether all others have the other sign and its size."""
    return tuple([all(v == -own for at, v in line.items() if at != name) for name, own in line.items()])


# -- the arithmetic of the search, in numbers alone ------------------------------------------------


def _put(line: _Values, row: _Values, unknown: str) -> _Values:
    """The line with `unknown` replaced by what `row` gives for it."""
    made = dict(line)
    by = made.pop(unknown) / row[unknown]
    for name, new in row.items():
        if name not in made:
            if name != unknown:
                made[name] = -new * by
            continue
        old = made[name]
        left = made[name] = old - new * by
        if abs(left) <= TINY * abs(old):
            del made[name]
    return made


def _cancelling(one: _Values, other: _Values) -> list[int]:
    """The signs with which some current drops out when the other line is added."""
    plus = minus = False
    for name, value in one.items():
        if name in other and name != CONSTANT:
            added, small = other[name], TINY * abs(value)
            if abs(abs(value) - abs(added)) <= small:  # rarely: then one of the two drops out
                plus = plus or abs(value + added) <= small
                minus = minus or abs(value - added) <= small
    if not plus and not minus:
        return []
    return [sign for sign, cancels in ((1, plus), (-1, minus)) if cancels]


def _sum(one: _Values, other: _Values, sign: int) -> _Values:
    """The line with `sign` times another added."""
    made: _Values = {}
    for name in dict.fromkeys((*one, *other)):
        value = one.get(name, 0.0)
        total = value + sign * other.get(name, 0.0)
        if not value or abs(total) > TINY * abs(value):
            made[name] = total
    return made
