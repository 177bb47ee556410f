"""One work done on many things, by several processes or by machines elsewhere: what comes out is the same.

A thing that ends the process it is worked in, or takes longer than allowed, is set aside and told; a process
or a machine that is lost in the middle costs its time and nothing else.
"""

from __future__ import annotations

import os
from collections.abc import Callable, Generator, Sequence
from contextlib import closing
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..later import later
from .crew import by_crew
from .outcomes import Outcome, Result, Thing

if TYPE_CHECKING:
    from .cluster import by_cluster
else:
    by_cluster = later("loopwright.many.cluster", "by_cluster")


@dataclass(frozen=True, slots=True)
class CrewWish:
    """Who works: so many `processes` of this machine, or the machines of the scheduler at the address `on`;
    `longest`: the seconds that one thing may take."""

    processes: int = 1
    on: str = ""
    longest: float = 300.0


ALONE = CrewWish()


def each(
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    *,
    on: str = "",
    processes: int = 0,
    longest: float = 300.0,
    chunk: int = 0,
    name: Callable[[Thing], str] = str,
) -> Generator[Outcome[Result], None, None]:
    """What `work` makes of each thing, in order; a thing that could not be worked is a `SetAside`.

    `work` and `things` are sent to other processes, so both can be pickled; what `work` raises on purpose
    (FaultyMaterial) or by accident sets its thing aside. `on`: the address of a Dask scheduler; without one
    the work is done here, by so many `processes` (0: one on each core). `longest`: the seconds that one
    thing may take. `chunk`: how many things are sent elsewhere at once (0: as many as keep all machines
    busy, 64 at most). `name`: how a thing is called in what is told of it.

    Raises FaultyMaterial where nobody answers at the address, or those who do have no Loopwright of this
    version; MissingExtra where the library for it is not installed.
    """
    if on:
        made = by_cluster(work, things, on, longest, chunk, name)
    else:
        made = by_crew(work, things, processes or os.cpu_count() or 1, longest, name)
    with closing(made):
        yield from made
