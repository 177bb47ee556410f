"""Papers for a class: 200 of three problems with their keys, as PDF and HTML. Bar: 60 s on two cores, which
is 120 s of processor time; typesetting, solutions and figures share most of it.

Measured on the first papers of the class and reckoned up; the search for versions and the cover are made
whole.
"""

from __future__ import annotations

import sys
from pathlib import Path

from benchmarks.timing import times
from loopwright.papers.papers import contents, files_of, names_of
from loopwright.papers.plan import PaperWishes, planned
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read

FOLDER = Path("examples/papers")
PROBLEMS = ("buoy-charger", "tide-bridge", "two-lamps")
CLASS, SOME = 200, 20
BAR = 120.0  # seconds of processor time


def run(made: int = SOME) -> bool:
    """Prints the row; whether the bar is met."""
    problems = [read(FOLDER / f"{name}.toml") for name in PROBLEMS]
    roster = Roster(tuple(RosterEntry(str(1000 + n), f"Name {n}") for n in range(CLASS)))
    wishes = PaperWishes(points=(10, 8, 6))
    plan = planned(problems, roster, wishes)
    done = frozenset(name for paper in plan.papers for name in names_of(plan, paper.code))
    ((planning,), (some,), (rest,)) = times(
        lambda: planned(problems, roster, wishes),
        lambda: [files_of(plan, at) for at in range(made)],
        lambda: list(contents(plan, done)),
        rounds=1,
    )
    total = planning + some / made * CLASS + rest
    met = total <= BAR
    print(f"\n{CLASS} papers of {len(problems)} problems with keys, seconds of processor time")
    print(
        f"  versions {planning:.1f}; a paper with its key {some / made:.3f}; cover and tables {rest:.1f}; "
        f"in all {total:.1f} (bar {BAR:.0f}: {'met' if met else 'NOT met'})"
    )
    return met


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
