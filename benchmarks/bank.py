"""A bank of 20,000 problems: a search, and whether a new problem is there already under other names.

`python -m benchmarks.bank`. 400 circuits of three to five loops are worked and put in, each 50 times under
other names, words and likenesses: to the database they are 20,000. Bars, in processor time: a search within
100 ms; a new problem read and compared within 200 ms, and within six times the reading of its text alone,
measured in the same run. Beside a search stands one pass of the database over all texts.
"""

from __future__ import annotations

import random
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from pathlib import Path

from benchmarks.timing import compared, milliseconds, times
from loopwright.bank.bank import Bank, open_bank
from loopwright.bank.problems import WorkedProblem, worked
from loopwright.problem.problem_file import read_text

MANY, EACH, ROUNDS = 20_000, 50, 9
SEARCH, COMPARE = 0.1, 0.2  # seconds
WORDS = (
    *("winch", "lamp", "pump", "buoy", "mast", "tram", "heater", "fan", "relay", "bridge"),
    *("cable", "charger", "bus", "shed", "gate"),
)
LINES = (
    "two sources, bridge, one battery charged",
    "at least 3 loops, no bridge, winch",
    "pum, two sources, never given",
    "resistors",
)


def problem(seed: int, names: str = "R") -> str:
    """A connected circuit of two to four loops with a battery or two, in whole numbers."""
    chance = random.Random(seed)
    more = [*chance.choices(["ab", "bc", "ca"], k=2), *chance.choice([[], ["cd", "ad"], ["cd", "ad", "bd"]])]
    pairs = ["ab", "bc", "ca", *more]
    lines, numbers = [], []
    for n, pair in enumerate(pairs):
        source = f"{chance.choice('+-')}E{n}, " if n < chance.choice([1, 2]) else ""
        lines.append(f'I{n} = "{pair[0]}, {source}{names}{n}, {pair[1]}"')
        numbers.append(f'{names}{n} = "{chance.randint(1, 12)} ohm"')
        numbers += [f'E{n} = "{chance.randint(2, 24)} V"'] if source else []
    title = " and ".join(chance.sample(WORDS, 3))
    return "\n".join([f'title = "{title}"', "[branches]", *lines, "[numbers]", *numbers, ""])


def problems() -> Iterator[WorkedProblem]:
    """All that is put in."""
    for seed in range(MANY // EACH):
        base = worked(problem(seed), f"p{seed}")
        for again in range(EACH):
            chance = random.Random(seed * EACH + again)
            mark = f"-{again}" if again else ""
            yield replace(
                base,
                name=base.name + mark,
                digest=base.digest + mark,
                forms={how: form + mark for how, form in base.forms.items()},
                words=(*base.words, *chance.sample(WORDS, 2), f"w{chance.randrange(5000)}"),
            )


def run() -> bool:
    """Prints the figures; whether the bars are met."""
    with tempfile.TemporaryDirectory() as folder, open_bank(Path(folder) / "bank", new=True) as bank:
        bank.add_all(problems(), "2026-03-01")
        print(f"\nA bank of {bank.find('').count:,} problems, medians of processor time")
        return all([_searches(bank), _comparison(bank)])


def _searches(bank: Bank) -> bool:
    def passed_over() -> object:
        with bank._store.reading() as connection:
            query = "SELECT count(*) FROM problems WHERE text LIKE '%winch%' OR title LIKE '%winch%'"
            return connection.exec_driver_sql(query).scalar()

    met = True
    for line in LINES:
        ours, theirs = times(partial(bank.find, line), passed_over, rounds=ROUNDS)
        against = compared(ours, [SEARCH] * ROUNDS, 1)
        met = met and against.met
        print(
            f"  {line}: {bank.find(line).count:,} found in {milliseconds(ours)} (bar {1000 * SEARCH:.0f} ms)"
        )
        print(f"    one pass over the texts {milliseconds(theirs)}")
    return met


def _comparison(bank: Bank) -> bool:
    text = problem(7, names="Rq")

    def ours() -> object:
        circuit, _ = read_text(text)
        return None if circuit is None else bank.alike(circuit)

    if not ours():
        raise SystemExit("the bank does not know the circuit under other names")
    taken, reading = times(ours, lambda: read_text(text), rounds=ROUNDS)
    against, beside = compared(taken, [COMPARE] * ROUNDS, 1), compared(taken, reading, 6)
    print(f"  a new problem read and compared {milliseconds(taken)} (bar {1000 * COMPARE:.0f} ms)")
    print(f"    its text read alone {milliseconds(reading)}, {beside}")
    return against.met and beside.met


if __name__ == "__main__":
    sys.exit(0 if run() else 1)
