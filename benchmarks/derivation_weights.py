"""How much hangs on each weight of the search for short derivations (`loopwright.derive.weights`).

One weight at a time is left out (0), made 30 % smaller and 30 % greater; every example and 60 random
circuits are derived again, in symbols and in numbers. Printed: how many of the derivations then take more
symbols to write in all, how many fewer, and the change in all together. Not among the bars: it takes some
minutes and has nothing to be held to.

python -m benchmarks.derivation_weights
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import fields, replace
from fractions import Fraction
from pathlib import Path
from unittest.mock import patch

from benchmarks.networks import any_network, circuit_of
from loopwright.circuit.circuit import Circuit, battery
from loopwright.circuit.elements import Branch, Pass
from loopwright.derive import plan
from loopwright.derive.steps import Derivation
from loopwright.derive.weights import EXTENT, WEIGHTS
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import written_symbols
from loopwright.methods.methods import derive, derive_in_numbers
from loopwright.problem.problem_file import read
from loopwright.solve.exact import Solution, solve

EXAMPLES = Path(__file__).parents[1] / "examples"
RANDOM = 60
Case = tuple[Circuit, Solution]


def random_circuit(seed: int) -> Circuit:
    """Three to five points, four to seven branches, each with a resistance of its own, and a source in
    the first and in about every third of the others, either way round."""
    chance = random.Random(seed)
    points = chance.choice([3, 3, 4, 4, 5])
    circuit = circuit_of(any_network(seed, points, points + chance.randint(1, 2)))
    elements, branches = dict(circuit.elements), [circuit.branches[0]]
    for branch in circuit.branches[1:]:
        passes = branch.passes
        if chance.random() < 1 / 3:
            name = f"E{branch.name[1:]}"
            elements[name] = battery(name)
            passes = (Pass(name, chance.choice([1, -1])), *passes)
        branches.append(Branch(branch.name, branch.start, branch.end, passes))
    made = Circuit(tuple(branches), elements)
    return replace(made, numbers={s: Fraction(chance.randint(1, 24)) for s in made.symbols})


def cases() -> Iterator[Case]:
    """The examples that have closed forms, and the random circuits."""
    for path in sorted(EXAMPLES.glob("*.toml")):
        circuit = read(path)
        try:
            yield circuit, solve(circuit)
        except FaultyMaterial:  # a ladder without end
            continue
    for seed in range(RANDOM):
        circuit = random_circuit(seed)
        yield circuit, solve(circuit)


def symbols(derivation: Derivation) -> int:
    """Symbols and numbers in all lines, with what is written on the way."""
    lines = [e for step in derivation.steps for e in (*step.equations, step.on_the_way) if e is not None]
    return sum(written_symbols(e.left) + written_symbols(e.right) for e in lines)


def lengths(chosen: list[Case]) -> list[int]:
    """The length of every derivation: in symbols, then in numbers where there are some."""
    found: list[int] = []
    for circuit, solution in chosen:
        in_numbers = derive_in_numbers(circuit, solution)
        found += [symbols(d) for d in (derive(circuit, solution), in_numbers) if d is not None]
    return found


def told(before: list[int], after: list[int]) -> str:
    """Longer, shorter, and by how much all together has changed."""
    pairs = list(zip(before, after, strict=True))
    longer, shorter = sum(a > b for b, a in pairs), sum(a < b for b, a in pairs)
    return f"{longer:4} {shorter:4} {100 * (sum(after) / sum(before) - 1):+7.2f} %"


def run() -> None:
    """Prints the table."""
    chosen = list(cases())
    base = lengths(chosen)
    print(f"{len(base)} derivations, {sum(base)} symbols; longer, shorter, all together")
    print(f"{'weight':24} {'left out':>18}   {'30 % less':>18}   {'30 % more':>18}")
    for entry in fields(WEIGHTS):
        at = getattr(WEIGHTS, entry.name)
        changed = [replace(WEIGHTS, **{entry.name: at * share}) for share in (0.0, 0.7, 1.3)]
        _row("WEIGHTS", entry.name, changed, chosen, base)
    _row("EXTENT", "beam of 1, 4, 8", [replace(EXTENT, beam=n) for n in (1, 4, 8)], chosen, base)
    _row("EXTENT", "hope of 0, 0.5, 1", [replace(EXTENT, hope=h) for h in (0.0, 0.5, 1.0)], chosen, base)


def _row(table: str, entry: str, instead: Sequence[object], chosen: list[Case], base: list[int]) -> None:
    cells = []
    for values in instead:
        with patch.object(plan, table, values):
            cells.append(told(base, lengths(chosen)))
    print(f"{entry:24} {'   '.join(cells)}", flush=True)


if __name__ == "__main__":
    run()
