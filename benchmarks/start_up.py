"""`loopwright --help` against `python -c pass`. Bar: within 2.5 times plus 60 ms."""

from __future__ import annotations

import subprocess
import sys

from benchmarks.timing import compared, milliseconds, times


def run() -> bool:
    """Prints the figures; whether the bar is met."""

    def run_once(*arguments: str) -> None:
        subprocess.run([sys.executable, *arguments], check=True, capture_output=True)

    ours, bare = times(lambda: run_once("-m", "loopwright", "--help"), lambda: run_once("-c", "pass"))
    against = compared(ours, [2.5 * seconds + 0.060 for seconds in bare], 1.0)
    print(
        f"\nStart-up: --help {milliseconds(ours)}, python -c pass {milliseconds(bare)};"
        f" to 2.5 times that and 60 ms: {against}"
    )
    return against.met
