"""Versions of a problem: the same circuit in other numbers and forms, fair, exact, held against wishes.

The search is over whole numbers (`search`); each version it finds is judged once more (`judge`) by the wishes
themselves, over fractions, before anybody gets it. Both are shared out in portions, with the same outcome
whoever works: what a candidate is follows from its place, and portions are taken in order.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Callable, Generator, Sequence
from contextlib import closing

from ..circuit.circuit import Circuit
from ..circuit.versions_asked import VersionsAsked
from ..errors import FaultyMaterial
from ..many.crew import Hand
from ..many.each import ALONE, CrewWish, each, here
from ..many.outcomes import Result, SetAside, Thing
from .ground import PortionWalk, VersionGround, refuse
from .judge import PlaceToJudge, VersionJudge
from .search import SAME_SIGNS, SINGLE, Hears, Pattern, VersionPlace, WalkFound, WishClash, smallest_hitting
from .times_come import MOST_REFUSED, TIMES_COME, asks_for_times
from .version import SAME_LINES, Count, Version, VersionSet

MOST_LOOKED_AT = 400_000_000  # candidates of one walk: half a minute or so
TRIED = 20  # candidates judged here to begin with; then as many, by which it is known how long others take
WORTH_SHARING = 2.5  # seconds of judging: for less a second process takes longer to start than it saves


def versions(
    circuit: Circuit,
    count: int,
    *,
    seed: int = 1,
    asked: VersionsAsked | None = None,
    same_lines: bool = True,
    most: int = MOST_LOOKED_AT,
    explained: bool = True,
    crew: CrewWish = ALONE,
    tell: Hears = lambda _: None,
) -> VersionSet:
    """Finds `count` versions of a circuit that grant every wish.

    `asked`: what varies and what must hold; by default what the problem file says under [versions].
    `seed`: the same seed gives the same versions, another seed others. Unless the difficulty is "mixed",
    all have one pattern of signs and, with `same_lines`, as many lines in their working in numbers (which
    has to be written for each: some 3 ms a version). `most`: how many candidates a walk may look at
    (of a circuit with long closed forms fewer, for about the same work); `explained`: where these hold too
    few, it is found out which wishes stand in the way.
    `crew`: who works besides, processes of this machine or a scheduler's machines; the versions are the same.
    `tell` hears how far the search has come.

    Raises FaultyMaterial for a circuit that has no versions: in time, asked backwards, without numbers or
    choices for a symbol; ValueError for a count below 1. With too few found the result says by `clash` which
    wishes stand in the way.
    """
    if count < 1:
        raise ValueError(f"{count} versions asked for; ask for 1 or more")
    ground = VersionGround(circuit, asked or circuit.versions, seed, most)
    return _Hunt(ground, crew, tell).found(count, same_lines, explained)


def how_many(
    circuit: Circuit,
    *,
    asked: VersionsAsked | None = None,
    most: int = MOST_LOOKED_AT,
    crew: CrewWish = ALONE,
    tell: Hears = lambda _: None,
) -> Count:
    """Counts the versions that grant every wish, whatever their signs, and those of each pattern of signs.
    Wishes that candidates are judged by one by one (slips apart, values at a time) are not looked at."""
    ground = VersionGround(circuit, asked or circuit.versions, 1, most)
    hunt = _Hunt(ground, crew, tell)
    walk = hunt.walk(hunt.search.all, ground.grid.size + 1)
    by_signs: Counter[Pattern] = Counter()
    for (_, signs), count in walk.tally.items():
        by_signs[signs] += count
    return Count(by_signs.total(), dict(sorted(by_signs.items())), walk.looked_at, walk.whole)


class _Hunt:
    """One search, and who works at it."""

    def __init__(self, ground: VersionGround, crew: CrewWish, tell: Hears) -> None:
        refuse(ground.circuit, ground.asked)
        self.ground, self.crew, self.tell = ground, crew, tell
        self.search = ground.search

    # -- walking ---------------------------------------------------------------------------------

    def walk(self, wanted: frozenset[str], enough: int) -> WalkFound:
        """Looks at candidates until `enough` grant the wishes `wanted`, or all have been looked at."""
        found = WalkFound()
        with closing(self._portions(wanted, found, listed=False)) as portions:
            for portion in portions:
                found.tally += portion.tally
                if found.granting(wanted) >= enough:
                    break
        return found

    def _portions(
        self, wanted: frozenset[str], found: WalkFound, *, listed: bool
    ) -> Generator[WalkFound, None, None]:
        """Portion after portion of the walk, the first ones worked here; `found` says how far it has come."""
        work, portions = PortionWalk(self.ground, wanted, listed), self.search.portions
        alone = 0 if self.crew.on else SINGLE if self.crew.hands > 1 else len(portions)
        with closing(self.shared(work, portions, alone)) as walked:
            for portion, made in zip(portions, walked, strict=True):
                found.looked_at += made.looked_at
                found.whole = portion.stop == self.ground.grid.rows
                self.tell(f"{found.looked_at:,} of {self.ground.grid.size:,} candidates")
                yield made

    def shared(
        self,
        work: Callable[[Thing], Result],
        things: Sequence[Thing],
        alone: int,
        hands: list[Hand] | None = None,
    ) -> Generator[Result, None, None]:
        """What the work makes of each thing, in order: of the first `alone` of them here, of the others by
        the crew. Raises FaultyMaterial where one could not be worked."""
        yield from map(work, things[:alone])
        if alone >= len(things):
            return
        with closing(each(work, things[alone:], self.crew, name=_called, kept=hands)) as outcomes:
            for outcome in outcomes:
                if isinstance(outcome, SetAside):
                    raise FaultyMaterial(outcome.finding)
                yield outcome.result

    # -- versions --------------------------------------------------------------------------------

    def found(self, count: int, same_lines: bool, explained: bool) -> VersionSet:
        """The versions found, or the wishes that clash."""
        chance = random.Random(self.ground.seed)
        same_signs = SAME_SIGNS in self.search.all
        walk = WalkFound()
        waiting: dict[Pattern, list[VersionPlace]] = {}
        judged = JudgedVersions(self, VersionJudge(self.ground, same_signs and same_lines), count)
        with closing(judged), closing(self._portions(self.search.all, walk, listed=True)) as portions:
            for portion in portions:
                chance.shuffle(portion.candidates)
                for candidate in portion.candidates:
                    waiting.setdefault(candidate.signs if same_signs else (), []).append(candidate)
                for signs, line in waiting.items():
                    if len(line) + judged.held(signs) >= count and (done := judged.take(signs, line)):
                        return self._set(done, count, walk)
                if judged.hopeless():
                    break
            if not judged.reached:
                line = max(waiting.values(), key=len, default=[])
                plain = [Version(judged.judge.plain(place), place.signs) for place in line[:count]]
                return self._set(plain, count, walk, self._clash(count) if explained else None)
            for signs, line in waiting.items():
                judged.take(signs, line)
        best = judged.best
        at_fault: tuple[str, ...] = (SAME_LINES,)
        if (self.ground.apart or self.ground.timed) and judged.most < count:
            at_fault = tuple(wish.text for wish in self.ground.wishes)
            at_fault += (TIMES_COME,) if asks_for_times(self.ground.circuit) else ()
        proved = walk.whole and not judged.hopeless()
        return self._set(best, count, walk, WishClash(at_fault, len(best), proved, walk.looked_at))

    def _set(
        self, found: list[Version], count: int, walk: WalkFound, clash: WishClash | None = None
    ) -> VersionSet:
        ground = self.ground
        size, signed = ground.grid.size, tuple(ground.forms.signed)
        return VersionSet(
            ground.circuit, tuple(found), count, ground.seed, size, walk.looked_at, clash, signed
        )

    # -- wishes that clash -----------------------------------------------------------------------

    def _clash(self, enough: int) -> WishClash:
        """The smallest set of wishes that fewer than `enough` candidates grant, the first such set in the
        order of the wishes. Call it where all wishes together are such a set."""
        every = self.search.all
        order = [*self.search.wishes, *([SAME_SIGNS] if SAME_SIGNS in every else [])]
        outside: list[frozenset[str]] = []  # for sets that can be granted: the wishes outside
        looked_at = 0
        while True:
            tried = smallest_hitting(outside, order)
            self.tell(f"whether these clash: {', '.join(tried) or 'no wish at all'}")
            found = self.walk(frozenset(tried), enough)
            looked_at += found.looked_at
            if found.granting(frozenset(tried)) < enough:
                return WishClash(tried, found.granting(frozenset(tried)), found.whole, looked_at)
            granted = frozenset(tried)
            for text in order:
                if found.granting(granted | {text}) >= enough:
                    granted |= {text}
            outside.append(every - granted)


class JudgedVersions:
    """The versions judged so far, by the signs of their currents and by their lines, until `count` are
    alike."""

    def __init__(self, hunt: _Hunt, judge: VersionJudge, count: int) -> None:
        self.hunt, self.judge, self.count = hunt, judge, count
        self.reached = False
        self._like: dict[Pattern, VersionPlace] = {}
        self._pools: dict[tuple[Pattern, int | None], list[Version]] = {}
        self._refused = 0
        self._hands: list[Hand] = []  # processes that judge, kept from one line of candidates to the next

    def close(self) -> None:
        """Ends all processes."""
        for hand in self._hands:
            hand.end()

    def held(self, signs: Pattern) -> int:
        """How many there are with these signs."""
        return sum(len(pool) for (of, _), pool in self._pools.items() if of == signs)

    def hopeless(self) -> bool:
        """Whether so many worked in time were refused, and not one taken, that no more are judged."""
        return self.hunt.ground.timed and self._refused >= MOST_REFUSED and not self._pools

    @property
    def most(self) -> int:
        """How many there are with the most frequent signs."""
        return max((self.held(signs) for signs, _ in self._pools), default=0)

    @property
    def best(self) -> list[Version]:
        """The largest number that are alike."""
        return max(self._pools.values(), key=len, default=[])

    def take(self, signs: Pattern, line: list[VersionPlace]) -> list[Version]:
        """Judges a line of candidates until as many versions as wanted are alike, and gives those; none where
        the line ends before. The line is empty then."""
        self.reached = True
        if self.hopeless():
            return []
        candidates = [
            PlaceToJudge(place, self._like.setdefault(place.signs, place)) for place in reversed(line)
        ]
        line.clear()
        with closing(self._judged(candidates)) as versions:
            for version in versions:
                if version is None:
                    self._refused += 1
                    if self.hopeless():
                        return []
                    continue
                pool = self._pools.setdefault((signs, version.lines), [])
                pool.append(version)
                self.hunt.tell(f"{len(pool)} of {self.count} versions")
                if len(pool) == self.count:
                    return pool
        return []

    def _judged(self, candidates: list[PlaceToJudge]) -> Generator[Version | None, None, None]:
        """What the judge makes of each candidate: the first ones here, the others by the crew where these
        would take long at the pace of the first."""
        crew, left = self.hunt.crew, candidates
        shares = bool(crew.on or self._hands)
        if not shares:
            yield from map(self.judge, candidates[:TRIED])
            pace = yield from here(self.judge, candidates[TRIED : 2 * TRIED])
            left = candidates[2 * TRIED :]
            likely = len(left) if self.hunt.ground.apart else min(len(left), 2 * self.count)
            shares = crew.hands > 1 and pace * likely > WORTH_SHARING
        with closing(self.hunt.shared(self.judge, left, 0 if shares else len(left), self._hands)) as versions:
            yield from versions


def _called(thing: object) -> str:
    return "the search for versions"
