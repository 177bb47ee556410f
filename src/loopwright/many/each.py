"""One work done on many things, by several processes or by machines elsewhere: what comes out is the same.

A thing that ends the process it is worked in, or takes longer than allowed, is set aside and told; a process
or a machine that is lost in the middle costs its time and nothing else.
"""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Generator, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..later import later
from .crew import Hand, by_crew
from .outcomes import Outcome, Result, Thing

if TYPE_CHECKING:
    from .cluster import by_cluster
else:
    by_cluster = later("loopwright.many.cluster", "by_cluster")


@dataclass(frozen=True, slots=True)
class CrewWish:
    """Who works: so many `processes` of this machine (0: one on each core), or the machines of the Dask
    scheduler at the address `on`; `longest`: the seconds that one thing may take."""

    processes: int = 0
    on: str = ""
    longest: float = 300.0

    @property
    def hands(self) -> int:
        """How many processes of this machine work, where none elsewhere do."""
        return self.processes or os.cpu_count() or 1


def here(work: Callable[[Thing], Result], things: Sequence[Thing]) -> Generator[Result, None, float]:
    """What `work` makes of each thing, worked here one after another; gives in the end the seconds of
    processor time that one took."""
    begun = time.process_time()
    yield from map(work, things)
    return (time.process_time() - begun) / max(1, len(things))


EVERY_CORE, ALONE = CrewWish(), CrewWish(processes=1)


def each(
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    crew: CrewWish = EVERY_CORE,
    *,
    chunk: int = 0,
    name: Callable[[Thing], str] = str,
    kept: list[Hand] | None = None,
) -> Generator[Outcome[Result], None, None]:
    """What `work` makes of each thing, in order; a thing that could not be worked is a `SetAside`.

    `work` and `things` are sent to other processes, so both can be pickled; what `work` raises on purpose
    (FaultyMaterial) or by accident sets its thing aside. `chunk`: how many things are sent elsewhere at once
    (0: as many as keep all machines busy, 64 at most). `name`: how a thing is called in what is told of it.
    `kept`: processes of this machine that did the same work before; they are kept once every thing is done.

    Raises FaultyMaterial where nobody answers at the address, or no longer, or those who do have no
    Loopwright of this version; MissingExtra where the library for it is not installed.
    """
    if crew.on:
        made = by_cluster(work, things, crew.on, crew.longest, chunk, name)
    else:
        made = by_crew(work, things, crew.hands, crew.longest, name, kept)
    with closing(made):
        yield from made
