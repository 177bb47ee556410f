"""Medians of repeated runs, taken in turn so that a change of the machine's speed hits both sides."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable


def medians(*works: Callable[[], object], rounds: int = 15) -> list[float]:
    """The median time in seconds of each piece of work, after one warming round."""
    taken: list[list[float]] = [[] for _ in works]
    for round_number in range(rounds + 1):
        for i, work in enumerate(works):
            start = time.perf_counter()
            work()
            if round_number:
                taken[i].append(time.perf_counter() - start)
    return [statistics.median(times) for times in taken]


def milliseconds(seconds: float) -> str:
    """A time for the table."""
    return f"{seconds * 1e3:8.1f} ms"
