"""Every method that serves a circuit leads to the same currents, in symbols and in numbers.

The currents of a derivation are read from its own last lines, and held against those found by another
route; the judge has no say in it.
"""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from loopwright.derive.steps import Derivation
from loopwright.expressions.nodes import Symbol
from loopwright.expressions.values import ratio_of, symbols_of
from loopwright.methods.methods import METHODS, derive, derive_in_numbers
from loopwright.problem.problem_file import read
from loopwright.solve.exact import Solution, solve
from tests.proofs.test_random_circuits import posed
from tests.sample_circuits import SERIES_PARALLEL, SYMBOLIC, circuit_of

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
RANDOM = range(500)


def told(derivation: Derivation, name: str) -> object:
    """What the last line for a current says that it is, in values and names alone."""
    known = {*derivation.field.symbols, *derivation.names}
    lines = (
        e
        for s in reversed(derivation.steps)
        for e in s.equations
        if e.left == Symbol(name) and known.issuperset(symbols_of(e.right))
    )
    return ratio_of(next(lines).right, derivation.field, derivation.names)


def assert_all_agree(solution: Solution) -> int:
    """Holds what every method says against the solution; gives how many methods serve."""
    served = [method for method in METHODS if not method.why_not(solution.circuit)]
    for method in served:
        derivation = derive(solution.circuit, solution, method=method.name)
        assert derivation.method == method.name
        for name, value in solution.currents.items():
            assert told(derivation, name) == value
    return len(served)


def solved(path: Path) -> Solution | None:
    """An example with its closed forms; none for an endless ladder, for a circuit that changes in time, and
    where nothing but numbers serves."""
    circuit = read(path)
    return solve(circuit) if circuit.ladder is None and not circuit.storages else None


@pytest.mark.parametrize("name", [*SYMBOLIC, *SERIES_PARALLEL])
def test_all_methods_agree_on_the_sample_circuits(name: str) -> None:
    solution = solve(circuit_of({**SYMBOLIC, **SERIES_PARALLEL}[name]))
    assert assert_all_agree(solution) >= 1


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_all_methods_agree_on_the_examples(path: Path) -> None:
    solution = solved(path)
    if solution is None:
        pytest.skip("an endless ladder has no branch currents, and a circuit in time no steady ones alone")
    assert assert_all_agree(solution) >= 1
    scale = {Fraction(1), Fraction(1000)}
    for method in METHODS:
        if method.why_not(solution.circuit) or not solution.circuit.has_all_numbers:
            continue
        derivation = derive_in_numbers(solution.circuit, solution, method=method.name)
        assert derivation is not None
        numbers = {n: solution.number(v) for n, v in solution.currents.items()}
        fits = [by for by in scale if all(told(derivation, n) == (v or 0) * by for n, v in numbers.items())]
        assert fits


@pytest.mark.slow
@pytest.mark.parametrize("seed", RANDOM)
def test_all_methods_agree_on_random_circuits(seed: int) -> None:
    assert assert_all_agree(posed(seed)) >= 1
