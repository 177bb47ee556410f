"""The judge of derivations catches every injected fault: sign, term, factor, bracket, swapped symbol.

A mutant that states the same as the line (checked at random exact numbers, by another route than
the judge's) is no fault and is left out; all others must be refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.derive.search import derive
from loopwright.derive.steps import Derivation, Step
from loopwright.derive.verify import verify
from loopwright.errors import BrokenPromise
from loopwright.expressions.nodes import (
    Equation,
    Expr,
    Negative,
    Number,
    Parallel,
    Power,
    Product,
    Quotient,
    Sum,
    Symbol,
    add,
    negate,
    times,
)
from loopwright.solve.exact import solve
from tests.random_workings import value_of
from tests.sample_circuits import SYMBOLIC, circuit_of


def faults(expr: Expr) -> Iterator[Expr]:
    """Every single slip in an expression: a sign, a lost term, a lost or doubled factor, a lost bracket."""
    match expr:
        case Sum(terms):
            for i, term in enumerate(terms):
                rest = [*terms[:i], *terms[i + 1 :]]
                yield add(*rest)
                yield add(*terms[:i], negate(term), *terms[i + 1 :])
                for inner in faults(term):
                    yield add(*terms[:i], inner, *terms[i + 1 :])
        case Product(factors):
            for i, factor in enumerate(factors):
                rest = [*factors[:i], *factors[i + 1 :]]
                yield times(*rest)
                yield times(factor, *factors)
                if isinstance(factor, Sum):
                    yield add(times(*rest, factor.terms[0]), *factor.terms[1:])  # the bracket lost
                for inner in faults(factor):
                    yield times(*factors[:i], inner, *factors[i + 1 :])
        case Negative(body):
            yield body
            for inner in faults(body):
                yield negate(inner)
        case Quotient(above, below):
            yield Quotient(below, above)
            for inner in faults(above):
                yield Quotient(inner, below)
            for inner in faults(below):
                yield Quotient(above, inner)
        case Symbol(name):
            if name[-1].isdigit():
                yield Symbol(name[:-1] + ("2" if name[-1] != "2" else "1"))
            yield times(Number(Fraction(2)), expr)
        case Power(base, exponent):
            yield Power(base, exponent + 1)
        case Number() | Parallel():
            return


def says_the_same(one: Equation, other: Equation, names: tuple[str, ...]) -> bool:
    """Whether two linear equations are multiples of each other, seen at random exact numbers: the
    ratio of their two sides' differences does not depend on the unknowns."""
    random = Random(5)
    symbols, unknowns = [n for n in names if n[0] != "I"], [n for n in names if n[0] == "I"]
    for _ in range(2):
        fixed = {n: Fraction(random.randint(2, 10**6)) for n in symbols}
        ratios = set()
        for _ in range(3):
            at = fixed | {n: Fraction(random.randint(2, 10**6)) for n in unknowns}
            try:
                first = value_of(one.left, at) - value_of(one.right, at)
                second = value_of(other.left, at) - value_of(other.right, at)
            except (ZeroDivisionError, KeyError):
                return False
            if not first or not second:
                return first == second
            ratios.add(first / second)
        if len(ratios) > 1:
            return False
    return True


def with_step(derivation: Derivation, step: Step) -> Derivation:
    steps = tuple(step if s.number == step.number else s for s in derivation.steps)
    return replace(derivation, steps=steps)


def mutants(circuit: Circuit, derivation: Derivation) -> Iterator[Step]:
    """Each step with one slip in it, slips that state the same left out."""
    random = Random(3)
    for step in derivation.steps:
        lines = [Equation(x, step.written.right) for x in faults(step.written.left)]
        lines += [Equation(step.written.left, x) for x in faults(step.written.right)]
        names = (*circuit.symbols, *derivation.names, *circuit.currents)
        wrong = [line for line in lines if not says_the_same(line, step.written, names)]
        for line in random.sample(wrong, min(len(wrong), 12)):
            yield replace(step, written=line)


@pytest.mark.parametrize("name", SYMBOLIC)
def test_every_injected_fault_in_a_line_is_refused(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    assert verify(derivation, circuit, solution.currents) >= len(derivation.steps)
    count = 0
    for step in mutants(circuit, derivation):
        count += 1
        with pytest.raises(BrokenPromise):
            verify(with_step(derivation, step), circuit, solution.currents)
    assert count > 3 * len(derivation.laws)


def test_a_true_line_that_does_not_follow_is_refused() -> None:
    circuit = circuit_of(SYMBOLIC["ladder"])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    last = derivation.steps[-1]
    with pytest.raises(BrokenPromise, match="does not follow"):
        verify(with_step(derivation, replace(last, uses=(1,))), circuit, solution.currents)


def test_a_result_that_still_holds_a_current_is_refused() -> None:
    circuit = circuit_of(SYMBOLIC["charge or help"])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    solved = next(s for s in derivation.steps if s.solves and not s.is_result)
    with pytest.raises(BrokenPromise, match="holds a current"):
        verify(with_step(derivation, replace(solved, is_result=True)), circuit, solution.currents)


def test_a_missing_result_is_refused() -> None:
    circuit = circuit_of(SYMBOLIC["charge or help"])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    with pytest.raises(BrokenPromise, match="ends without"):
        verify(replace(derivation, steps=derivation.steps[:-1]), circuit, solution.currents)


def test_a_false_word_on_what_a_line_was_multiplied_by_is_refused() -> None:
    circuit = circuit_of(SYMBOLIC["charge or help"])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    collected = next(s for s in derivation.steps if s.factor is not None)
    false = replace(collected, factor=Symbol("R2"))
    with pytest.raises(BrokenPromise, match="multiplied by"):
        verify(with_step(derivation, false), circuit, solution.currents)
