"""Versions of a three-loop circuit (the bridge among the examples of papers), in processor time. Bars: 200
that grant every wish in 2 s, lines of the working uncounted; wishes that clash refuted in 10 s, every
candidate looked at. Counting the lines writes each working: what that takes is told beside them, for one
process and, by the clock, for two."""

from __future__ import annotations

import sys
import time
from collections.abc import Callable
from dataclasses import replace

from benchmarks.papers import FOLDER
from benchmarks.timing import times
from loopwright.many.each import CrewWish
from loopwright.problem.problem_file import read
from loopwright.versions.versions import versions

COUNT = 200
BAR, BAR_REFUTED = 2.0, 10.0  # seconds
CANNOT_BE = "I5 > 4 A"  # which no candidate grants: as every one must be looked at to know


def run() -> bool:
    """Prints the rows; whether the bars are met."""
    circuit = read(FOLDER / "tide-bridge.toml")
    wish = replace(circuit.versions, hold=(*circuit.versions.hold, CANNOT_BE))
    print(f"\nVersions of a three-loop circuit: {COUNT}, seconds of processor time")
    met = True

    def granted() -> object:
        return versions(circuit, COUNT, same_lines=False)

    def refuted() -> object:
        return versions(circuit, COUNT, asked=wish)

    works: dict[str, tuple[Callable[[], object], float | None]] = {
        "found": (granted, BAR),
        "refuted": (refuted, BAR_REFUTED),
        "found, with as many lines": (lambda: versions(circuit, COUNT), None),
    }
    for name, (work, bar) in works.items():
        ((taken,),) = times(work, rounds=1)
        kept = bar is None or taken <= bar
        met = met and kept
        told = "" if bar is None else f" (bar {bar:g}: {'met' if kept else 'NOT met'})"
        print(f"  {name:26} {taken:6.2f}{told}")
    begun = time.perf_counter()
    versions(circuit, COUNT, crew=CrewWish(2))
    print(f"  {'the same by two processes':26} {time.perf_counter() - begun:6.2f} by the clock")
    found, clash = versions(circuit, COUNT, same_lines=False), versions(circuit, COUNT, asked=wish)
    if not found.complete or clash.clash is None or CANNOT_BE not in clash.clash.wishes:
        raise SystemExit("the wishes of the benchmark are not granted or refuted as meant")
    print(
        f"  {found.looked_at:,} candidates looked at of {found.size:,}; to refute {clash.clash.looked_at:,}"
    )
    return met


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
