"""`python -m tests.other_hands [COUNT] [FIRST SEED] [METHOD] [right|wrong]`: what the reader makes of
workings by another hand. Every working that it is at odds with is shown with its problem."""

from __future__ import annotations

import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor

from .scripts import METHODS, script
from .tally import Verdict, counted, judged


def _one(what: tuple[str, int, bool]) -> Verdict:
    method, seed, wrong = what
    made = script(method, seed, wrong=wrong)
    try:
        return judged(made)
    except Exception as trouble:
        return Verdict(made, [("failed", f"{type(trouble).__name__}: {trouble}")])


def main(words: list[str]) -> None:
    """Runs and prints the tally."""
    numbers = [int(w) for w in words if w.isdigit()]
    count, first = (
        [*numbers, 10, 0][:2] if len(numbers) > 1 else [*numbers, *([10] if not numbers else []), 0][:2]
    )
    methods = [
        m for m in METHODS if any(w in m for w in words if not w.isdigit() and w not in ("right", "wrong"))
    ] or list(METHODS)
    ways = [w for w in ("right", "wrong") if w in words] or ["right", "wrong"]
    for way in ways:
        tasks = [(m, first + k, way == "wrong") for m in methods for k in range(count)]
        with ProcessPoolExecutor(2) as pool:
            verdicts = list(pool.map(_one, tasks, chunksize=4))
        for verdict in verdicts:
            if verdict.faults:
                _show(verdict)
        print(f"== {way}: {len(verdicts)} workings, {dict(counted(verdicts))}")
        if way == "wrong":
            slips = Counter(v.script.slip for v in verdicts)
            print("   slips:", ", ".join(f"{k} {n}" for k, n in slips.most_common()))


def _show(verdict: Verdict) -> None:
    made = verdict.script
    print("-" * 100)
    print(f"{made.method}, seed {made.seed}, {made.slip or 'right'}, planted {made.working.planted}")
    print(made.problem)
    print("\n".join(f"{k:3} {line}" for k, line in enumerate(made.working.text.splitlines(), 1)))
    for kind, what in verdict.faults:
        print(f"!! {kind}: {what}")


if __name__ == "__main__":
    main(sys.argv[1:])
