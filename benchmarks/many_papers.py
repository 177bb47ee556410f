"""Papers by the thousand: what one takes among 300 and among 1,000, and what 100,000 take by that.

One problem with its key as PDF, made into a folder by one process, in processor time, and the greatest memory
held. Bar: a paper of the larger set takes at most 1.15 of the time of one of the smaller, so that the cost
grows as the papers do and nothing is looked through again for each of them; only then can it be reckoned up.
The search for versions is told beside it, for nobody has 100,000 of them: papers share a hundred.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time

from benchmarks.papers import FOLDER
from loopwright.papers.papers import papers
from loopwright.papers.plan import PaperWishes
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read
from loopwright.versions.versions import versions

FEW, MANY, ALL = 300, 1_000, 100_000
SHARED = 100  # versions, dealt out in turn
BAR = 1.15


def run(few: int = FEW, many: int = MANY) -> bool:
    """Prints the rows; whether the bar is met."""
    problem = read(FOLDER / "buoy-charger.toml")
    begun = time.process_time()
    versions(problem, SHARED)
    search = time.process_time() - begun
    taken: dict[int, float] = {}
    for count in (few, many):
        roster = Roster(tuple(RosterEntry(f"s{n:06}") for n in range(count)))
        wishes = PaperWishes(named=False, count=SHARED, forms=("pdf",))
        with tempfile.TemporaryDirectory() as folder:
            begun = time.process_time()
            papers([problem], roster, folder, wishes)
            taken[count] = time.process_time() - begun - search
    each = {count: seconds / count for count, seconds in taken.items()}
    ratio = each[many] / each[few]
    met = ratio <= BAR
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    hours = (each[many] * ALL + search) / 3600
    print(f"\nPapers by the thousand, with their keys, seconds of processor time; versions {search:.1f}")
    print(
        f"  a paper among {few:,} {each[few]:.3f}, among {many:,} {each[many]:.3f}: "
        f"ratio {ratio:.2f} (bar {BAR}: {'met' if met else 'NOT met'})"
    )
    print(f"  {ALL:,} papers by that {hours:.1f} hours of one core; memory at most {memory} MB")
    return met


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
