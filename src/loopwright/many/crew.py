"""The work done by processes of this machine, each on one thing at a time."""

from __future__ import annotations

import contextlib
import pickle
import time
from collections import Counter, deque
from collections.abc import Callable, Generator, Iterator, Sequence
from multiprocessing.connection import Connection, wait
from typing import Any, Generic

from .outcomes import MadeOf, Outcome, Result, SetAside, Thing, ended_its_process, failed, took_too_long
from .processes import ended, ended_in_order, started

TRIES = 2  # a thing is set aside when so many processes ended on it
AHEAD = 64  # things worked, for each process, before an earlier one that takes long is waited for
TICK = 0.5  # seconds between looks at the clock


class Hand:
    """One process of the crew, and what it is at."""

    def __init__(self, work: bytes) -> None:
        self._process, here = started("loopwright.many.hand")
        self.line = Connection(here.detach())
        self.at: int | None = None
        self.until = float("inf")
        with contextlib.suppress(OSError):  # gone at once: seen when it is waited for
            self.line.send_bytes(work)

    def begin(self, at: int, thing: object, longest: float) -> None:
        """Sends it a thing."""
        self.at, self.until = at, time.monotonic() + longest
        with contextlib.suppress(OSError):
            self.line.send((thing, longest))

    @property
    def alive(self) -> bool:
        """Whether it is still there: one that nobody asked for long has gone."""
        return self._process.poll() is None

    def end(self) -> None:
        """Ends it, whatever it is at."""
        ended(self._process)
        self.line.close()


class Crew(Generic[Thing, Result]):
    """So many processes, and the things that wait for one."""

    def __init__(
        self,
        work: Callable[[Thing], Result],
        things: Sequence[Thing],
        processes: int,
        longest: float,
        name: Callable[[Thing], str],
        hands: list[Hand],
    ) -> None:
        self._work = pickle.dumps(work)
        self._things, self._longest, self._name = things, longest, name
        self._waiting = deque(range(len(things)))
        self._lost: Counter[int] = Counter()
        self._processes = min(processes, len(things))
        self._hands = hands
        self._done: dict[int, Outcome[Result]] = {}

    def outcomes(self) -> Iterator[Outcome[Result]]:
        """What came of the things, in order."""
        for at in range(len(self._things)):
            while at not in self._done:
                self._give_out(at)
                self._hear()
            yield self._done.pop(at)

    def end(self) -> None:
        """Ends all processes."""
        for hand in self._hands:
            hand.end()
        self._hands.clear()

    def _give_out(self, first: int) -> None:
        """Gives every process that is free a thing, none too far ahead of the first that is not done."""
        for gone in [hand for hand in self._hands if hand.at is None and not hand.alive]:
            self._drop(gone)
        idle = [hand for hand in self._hands if hand.at is None]
        while self._waiting and self._waiting[0] < first + AHEAD * self._processes:
            if not idle:
                if len(self._hands) == self._processes:
                    return
                idle.append(Hand(self._work))
                self._hands.append(idle[-1])
            at = self._waiting.popleft()
            idle.pop().begin(at, self._things[at], self._longest)

    def _hear(self) -> None:
        """Takes what the processes send; ends those whose time is over, and sees which are lost."""
        ready = wait([hand.line for hand in self._hands if hand.at is not None], TICK)
        now = time.monotonic()
        for hand in list(self._hands):
            if hand.at is None:
                continue
            if hand.line in ready:
                self._take(hand, hand.at)
            elif now > hand.until:
                self._done[hand.at] = took_too_long(self._called(hand.at), self._longest)
                self._drop(hand)

    def _take(self, hand: Hand, at: int) -> None:
        try:
            how, content = hand.line.recv()
        except (EOFError, OSError):
            self._drop(hand)
            self._lost[at] += 1
            if self._lost[at] < TRIES:
                self._waiting.appendleft(at)
            else:
                self._done[at] = ended_its_process(self._called(at), TRIES)
            return
        hand.at = None
        self._done[at] = self._outcome(at, how, content)

    def _outcome(self, at: int, how: str, content: Any) -> Outcome[Result]:
        if how == "made":
            return MadeOf(content)
        return SetAside(content) if how == "faulty" else failed(self._called(at), content)

    def _drop(self, hand: Hand) -> None:
        self._hands.remove(hand)
        hand.end()

    def _called(self, at: int) -> str:
        return self._name(self._things[at])


def by_crew(
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    processes: int,
    longest: float,
    name: Callable[[Thing], str] = str,
    kept: list[Hand] | None = None,
) -> Generator[Outcome[Result], None, None]:
    """What `work` makes of each thing, in order, by so many processes, which are gone when it ends.

    `kept`: processes that did the same work before; all are kept for the next time once every thing is done.
    """
    with ended_in_order():
        crew = Crew(work, things, processes, longest, name, [] if kept is None else kept)
        whole = False
        try:
            yield from crew.outcomes()
            whole = True
        finally:
            if kept is None or not whole:
                crew.end()
