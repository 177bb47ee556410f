"""`loopwright --help` against `python -c pass`. Bar: within 2.5 times plus 60 ms."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.timing import medians, milliseconds


def run() -> bool:
    """Prints the figures; whether the bar is met."""

    def run_once(*arguments: str) -> None:
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)

    ours, bare = medians(
        lambda: run_once("-m", "loopwright", "--help"), lambda: run_once("-c", "pass"), rounds=11
    )
    limit = 2.5 * bare + 0.060
    verdict = "met" if ours <= limit else "NOT met"
    print(
        f"\nStart-up: --help {milliseconds(ours)}, python -c pass {milliseconds(bare)}, "
        f"bar {milliseconds(limit)}: {verdict}"
    )
    return ours <= limit
