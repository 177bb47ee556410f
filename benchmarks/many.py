"""A pile of workings shared out, by the clock: what a second process saves, what a scheduler's machines and
chunks cost beside it, and what it takes that most of a pile was read before.

Everything runs twice, in turn and then backwards, and counts with its quicker time: a clock hears whatever
else the machine does. Bars: two processes at most 0.7 of one; a scheduler with two workers at most 1.6 of two
processes; ten thousand workings with 300 different texts at most 12 times as long as the 300 alone.
"""

from __future__ import annotations

import itertools
import logging
import time
from collections.abc import Callable

from benchmarks.whole_sheet import TWO_LOOPS, circuit_of
from loopwright.cli.many_workings import Job, Reader, WorkingSource
from loopwright.many.each import CrewWish, each
from loopwright.many.many_extra import distributed
from loopwright.many.outcomes import MadeOf
from loopwright.reading.truth.rounding import Policy

TEXTS, PILE = 300, 10_000
SECOND, ELSEWHERE, KNOWN = 0.7, 1.6, 12.0

WORKING = """
{k} Ic = {k} Ib + {k} Ih
E1 - Ic R1 - Ih Rh = 0
{k} E2 + {k} Ib R2 - {k} Ih Rh = 0
Ic = (E1 - Ih Rh)/R1
Ib = (Ih Rh - E2)/R2
(E1 - Ih Rh)/R1 = (Ih Rh - E2)/R2 + Ih
Ih = (E1 R2 + E2 R1)/(R1 (R2 + Rh) + R2 Rh)
"""


def pile(count: int, turn: int) -> list[WorkingSource]:
    """So many workings, with no more than 300 different texts, none of them in two turns."""
    first = 2 + turn * TEXTS
    return [WorkingSource(f"{at}.txt", WORKING.format(k=first + at % TEXTS)) for at in range(count)]


def quicker(*works: Callable[[], object]) -> list[float]:
    """Seconds by the clock of each work, the quicker of two turns."""
    taken: list[list[float]] = [[] for _ in works]
    for way in (1, -1):
        for at in range(len(works))[::way]:
            start = time.perf_counter()
            works[at]()
            taken[at].append(time.perf_counter() - start)
    return [min(seconds) for seconds in taken]


def run() -> bool:
    """Prints the figures; whether the bars are met."""
    turns = itertools.count()
    work = Reader(Job(circuit_of(TWO_LOOPS), ("json",), Policy()))

    def read(count: int, processes: int = 2, on: str = "", chunk: int = 0) -> Callable[[], None]:
        def done() -> None:
            sources = pile(count, next(turns))
            found = list(each(work, sources, CrewWish(processes, on), chunk=chunk))
            assert len(found) == count
            assert all(isinstance(outcome, MadeOf) for outcome in found)

        return done

    with distributed.LocalCluster(
        n_workers=2, threads_per_worker=1, dashboard_address=":0", silence_logs=logging.ERROR
    ) as cluster:
        there = cluster.scheduler_address
        one, two, elsewhere, singly, whole = quicker(
            read(TEXTS, 1),
            read(TEXTS, 2),
            read(TEXTS, on=there),
            read(TEXTS, on=there, chunk=8),
            read(PILE, 2),
        )
    bars = (
        (f"{TEXTS} workings by two processes, {two:.2f} s, to one, {one:.2f} s", two / one, SECOND),
        (f"the same by a scheduler's two workers, {elsewhere:.2f} s, to two", elsewhere / two, ELSEWHERE),
        (f"{PILE:,} workings of {TEXTS} texts, {whole:.2f} s, to the {TEXTS}", whole / two, KNOWN),
    )
    print("\nMuch at once, by the clock")
    for what, ratio, bar in bars:
        print(f"  {what}: {ratio:.2f} (bar {bar}: {'met' if ratio <= bar else 'NOT met'})")
    print(
        f"  in chunks of 8 a scheduler takes {singly / elsewhere:.2f} of its time in chunks of its own choice"
    )
    return all(ratio <= bar for _, ratio, bar in bars)


if __name__ == "__main__":
    run()
