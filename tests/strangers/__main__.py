"""`python -m tests.strangers --method node --count 100 --seed 1`: so many right workings and as many wrong
ones drawn, read and tallied. `--aside` takes the hands and seeds that nothing was mended by; `--reports
FOLDER` writes down what failed, by cause; `--show` prints the workings themselves."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from tests.strangers.draw import METHODS, Drawn, draw
from tests.strangers.tally import reports, tally_of
from tests.strangers.writers import ASIDE_SEEDS, hands_of


def workings(method: str, count: int, seed: int, aside: bool) -> Iterator[Drawn]:
    """Right ones and wrong ones in turn."""
    start = ASIDE_SEEDS + seed if aside else seed
    for each in range(start, start + count):
        yield draw(method, hands_of(each), each, wrong=False)
        yield draw(method, hands_of(each), each, wrong=True)


def main() -> None:
    asked = argparse.ArgumentParser(prog="python -m tests.strangers", description=__doc__)
    asked.add_argument("--method", choices=[*METHODS, "all"], default="all")
    asked.add_argument("--count", type=int, default=100)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--aside", action="store_true")
    asked.add_argument("--show", action="store_true")
    asked.add_argument("--reports", type=Path)
    args = asked.parse_args()
    for method in METHODS if args.method == "all" else [args.method]:
        drawn = workings(method, args.count, args.seed, args.aside)
        if args.show:
            for each in drawn:
                print(
                    f"--- {each.hand.name}: {each.slip} {each.wrong} {each.follow}",
                    each.problem,
                    each.text,
                    sep="\n",
                )
            continue
        tally = tally_of(drawn)
        print(f"{method}: {tally.said()}", flush=True)
        if args.reports:
            reports(tally, method, args.reports)


if __name__ == "__main__":
    main()
