"""Processor time of pieces of work taken in turn, and whether one of them keeps to its bar.

Other work on the machine stretches the clock by any factor and, through shared caches, processor time by some
tenths, for seconds on end. So the works of a round follow one another at once, every other round backwards; a
ratio is taken within each round; and a bar counts as missed only where three quarters of the rounds miss it.
"""

from __future__ import annotations

import gc
import resource
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from loopwright.expressions import tidy
from loopwright.figure import same_size
from loopwright.problem import key_lines

ROUNDS = 15  # work exactly at its bar is then called too slow in 2 to 6 cases of 100


@dataclass(frozen=True, slots=True)
class Comparison:
    """Quartiles of the ratio of two times, taken round by round, beside the most it may be."""

    lower: float
    median: float
    upper: float
    bar: float

    @property
    def met(self) -> bool:
        """Whether noise alone could explain what of it lies above the bar."""
        return self.lower <= self.bar

    def __str__(self) -> str:
        verdict = "met" if self.met else "NOT met"
        return (
            f"ratio {self.median:.3f} ({self.lower:.3f} to {self.upper:.3f}; bar {self.bar:.3f}: {verdict})"
        )


def compared(ours: Sequence[float], theirs: Sequence[float], bar: float) -> Comparison:
    """Our times over theirs, round by round."""
    ratios = [one / other for one, other in zip(ours, theirs, strict=True)]
    lower, median, upper = statistics.quantiles(ratios, method="inclusive")
    return Comparison(lower, median, upper, bar)


def times(*works: Callable[[], object], rounds: int = ROUNDS) -> list[list[float]]:
    """Seconds of processor time (children's included) of each work in every round, after one to warm up."""
    taken: list[list[float]] = [[] for _ in works]
    for round_number in range(rounds + 1):
        for i in range(len(works))[:: -1 if round_number % 2 else 1]:
            gc.collect()  # nobody pays for what another left behind
            start = _processor_time()
            works[i]()
            if round_number:
                taken[i].append(_processor_time() - start)
    return taken


def medians(*works: Callable[[], object], rounds: int = ROUNDS) -> list[float]:
    """The median of these times for each piece of work."""
    return [statistics.median(seconds) for seconds in times(*works, rounds=rounds)]


def milliseconds(seconds: float | Sequence[float]) -> str:
    """A time, or the median of several, for the table."""
    middle = seconds if isinstance(seconds, float) else statistics.median(seconds)
    return f"{middle * 1e3:8.1f} ms"


def forget() -> None:
    """Forgets every figure, form and text read, so that nothing found for a circuit in one round is taken
    again in the next. What is known of single letters, names and symbols stays, as tables would."""
    same_size.forget()
    tidy.forget()
    key_lines.load.cache_clear()


def _processor_time() -> float:
    children = resource.getrusage(resource.RUSAGE_CHILDREN)
    return time.process_time() + children.ru_utime + children.ru_stime
