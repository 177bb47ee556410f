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
from loopwright.derive.steps import Derivation, Move, SideBySide, Step
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
from loopwright.methods.methods import derive
from loopwright.solve.exact import solve
from tests.random_workings import value_of
from tests.sample_circuits import SERIES_PARALLEL, SYMBOLIC, circuit_of


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


@pytest.mark.parametrize("name", [*SYMBOLIC, *SERIES_PARALLEL])
def test_every_injected_fault_in_a_line_is_refused(name: str) -> None:
    circuit = circuit_of({**SYMBOLIC, **SERIES_PARALLEL}[name])
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    assert verify(derivation, circuit, solution.currents) >= len(derivation.steps)
    count = 0
    for step in mutants(circuit, derivation):
        count += 1
        with pytest.raises(BrokenPromise):
            verify(with_step(derivation, step), circuit, solution.currents)
    assert count > 3 * (len(derivation.laws) or derivation.written_lines)


def nested() -> tuple[Circuit, Derivation]:
    circuit = circuit_of(SERIES_PARALLEL["nested"])
    return circuit, derive(circuit)


def refused(circuit: Circuit, derivation: Derivation, *steps: Step) -> str:
    """What the judge says of the derivation with some lines exchanged for others of their number."""
    for step in steps:
        derivation = with_step(derivation, step)
    with pytest.raises(BrokenPromise) as caught:
        verify(derivation, circuit, solve(circuit).currents)
    return str(caught.value)


def test_parts_made_one_must_lie_side_by_side_and_come_to_what_is_written() -> None:
    circuit, derivation = nested()
    first = next(s for s in derivation.steps if s.move is Move.MAKE_ONE)
    whole = first.together.whole if first.together else ""

    def told(*chains: tuple[str, ...]) -> str:
        return refused(circuit, derivation, replace(first, together=SideBySide(whole, chains)))

    assert "do not join the same two points" in told(("I4",), ("I6",))
    assert "meet where something else does" in told(("I3", "I4"), ("I2",))
    assert "do not meet" in told(("I2", "I5"), ("I4",))
    assert "a source is no resistance" in told(("I1",), ("I2",))
    assert "one part alone" in told(("I6",), ("I6",))
    swapped = replace(first.written, right=Quotient(Product((Symbol("R7"), Symbol("R8"))), Symbol("R7")))
    assert "not the resistance" in refused(circuit, derivation, replace(first, written=swapped))


def test_parts_are_not_made_one_before_what_they_hold_is() -> None:
    circuit, derivation = nested()
    inner, outer, *_ = (s for s in derivation.steps if s.move is Move.MAKE_ONE)
    early, late = replace(outer, number=inner.number), replace(inner, number=outer.number)
    assert "not in the circuit as it is drawn by then" in refused(circuit, derivation, early, late)


def test_a_loop_must_close_in_the_circuit_as_it_is_redrawn() -> None:
    circuit = circuit_of(SERIES_PARALLEL["straight across"])
    derivation = derive(circuit)
    loop = next(s for s in derivation.steps if s.move is Move.ONE_LOOP)
    assert loop.ring == ("I5", "I1", "I2")
    assert "does not close" in refused(circuit, derivation, replace(loop, ring=("I5", "I1")))
    assert "does not hang together" in refused(circuit, derivation, replace(loop, ring=("I5", "I1", "I3")))
    assert "not in the circuit" in refused(circuit, derivation, replace(loop, ring=("I5", "I4")))
    assert "is none" in refused(circuit, derivation, replace(loop, ring=("I1",)))
    assert "does not follow" in refused(circuit, derivation, replace(loop, ring=("I5", "I3")))


def test_a_current_divides_only_among_the_parts_that_are_named() -> None:
    circuit, derivation = nested()
    shares = [s for s in derivation.steps if s.move is Move.DIVIDE]
    inner = replace(shares[0], together=shares[-1].together)
    assert "does not follow" in refused(circuit, derivation, inner)
    alone = replace(shares[0], uses=())
    assert "does not follow" in refused(circuit, derivation, alone)


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
