"""Random connected circuits: both routes to every limit agree, and the ledger passes.

Ideal batteries, plain wires, current sources, open switches and shared symbols are all drawn; an
ill-posed circuit is drawn again.
"""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from loopwright.checks.ledger.examine import examine
from loopwright.checks.limits.joint import joint_cases
from loopwright.checks.limits.limits import limit_cases
from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import Number, Symbol, times
from loopwright.solve.currents import NoUniqueSolution
from loopwright.solve.exact import Solution, solve_posed

TWICE = times(Number(Fraction(2)), Symbol("R"))


def drawn(chance: random.Random) -> Circuit:
    """A connected circuit of two to five points and up to eight branches."""
    points = [f"p{i}" for i in range(chance.randint(2, 5))]
    pairs = [(points[chance.randrange(i)], points[i]) for i in range(1, len(points))]
    pairs += [tuple(chance.sample(points, 2)) for _ in range(chance.randint(1, 3))]  # type: ignore[misc]
    chance.shuffle(pairs)
    elements: dict[str, Element] = {}
    branches: list[Branch] = []
    for n, (start, end) in enumerate(pairs, start=1):
        along: list[Pass] = []
        if chance.random() < 0.8:
            shared = chance.choice([Symbol(f"R{n}"), Symbol(f"R{n}"), Symbol("R"), TWICE])
            elements[f"R{n}"] = resistor(f"R{n}", shared)
            along.append(Pass(f"R{n}"))
        draw = chance.random()
        if draw < 0.45:
            internal = Symbol(f"r{n}") if chance.random() < 0.3 else None
            elements[f"E{n}"] = battery(f"E{n}", chance.choice([Symbol(f"E{n}"), Symbol("E")]), internal)
            along.append(Pass(f"E{n}", chance.choice([1, -1])))
        elif draw < 0.52:
            elements[f"J{n}"] = Element(f"J{n}", Kind.CURRENT_SOURCE, Symbol(f"J{n}"))
            along.append(Pass(f"J{n}", chance.choice([1, -1])))
        elif draw < 0.56:
            elements[f"S{n}"] = Element(f"S{n}", Kind.SWITCH, closed=False)
            along.append(Pass(f"S{n}"))
        branches.append(Branch(f"I{n}", start, end, tuple(along)))
    return Circuit(tuple(branches), elements)


def posed(seed: int) -> Solution:
    """The first well-posed circuit of a seed, solved."""
    chance = random.Random(seed)
    while True:
        try:
            return solve_posed(drawn(chance))
        except NoUniqueSolution:
            continue


SEEDS = range(40)


@pytest.mark.parametrize("seed", SEEDS)
def test_both_routes_to_every_limit_agree(seed: int) -> None:
    solution = posed(seed)
    cases = limit_cases(solution.circuit, solution)
    assert [case.sentence for case in cases if not case.agree] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_both_routes_to_joint_limits_agree(seed: int) -> None:
    solution = posed(seed)
    cases = joint_cases(solution.circuit, solution)
    assert [case.sentence for case in cases if not case.agree] == []


@pytest.mark.parametrize("seed", SEEDS)
def test_true_currents_pass_the_ledger(seed: int) -> None:
    solution = posed(seed)
    ledger = examine(solution.circuit, solution)
    assert [entry.as_text() for entry in ledger.failed] == []
