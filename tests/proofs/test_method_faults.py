"""The judge refuses every fault in a line of any method, in the line itself and in what stands on its way.

A mutant that states the same as the line, seen at random exact numbers by another route than the judge's,
is no fault and is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from random import Random

import pytest

from loopwright.circuit.circuit import Circuit
from loopwright.derive.steps import Derivation, Move, Step
from loopwright.errors import BrokenPromise
from loopwright.expressions.nodes import ZERO, Determinant, Equation, Sum, Symbol, negate
from loopwright.expressions.tidy import tidy
from loopwright.expressions.values import ratio_of
from loopwright.methods.methods import METHODS, derive, method_called
from loopwright.methods.verify import verify_method
from loopwright.solve.exact import Solution, solve
from loopwright.solve.method_quantities import LoopCurrent
from tests.proofs.test_derivation_faults import faults, with_step
from tests.random_workings import value_of
from tests.sample_circuits import SERIES_PARALLEL, SYMBOLIC, circuit_of
from tests.sweeps import LONG, SLOW

CIRCUITS = {**SYMBOLIC, **SERIES_PARALLEL}
QUICK = ("charge or help", "driven", "open switch", "ladder", "straight across")
MANY_LINES = ("equivalent source",)  # the methods with so many lines that a circuit takes half a minute
LENGTHY = (("equivalent source", "cube"), ("equivalent source", "nested"), ("series and parallel", "nested"))


def quick(method: str) -> tuple[str, ...]:
    """The circuits on which a method is tried in the quick tests."""
    return ("open switch",) if method in MANY_LINES else QUICK


def marks(method: str, name: str) -> tuple[pytest.MarkDecorator, ...]:
    """How a method on a circuit is marked, by the time that its faults take."""
    if (method, name) in LENGTHY:
        return (SLOW, LONG)
    return () if name in quick(method) else (SLOW,)


OTHERS = [method.name for method in METHODS if method.name != "branch currents"]
SERVED = [
    pytest.param(method, name, marks=marks(method, name))
    for method in OTHERS
    for name, text in CIRCUITS.items()
    if not method_called(method).why_not(circuit_of(text))
]


# two equal cells drive nothing through one another, and so a drop that is nothing may be left out unseen
UNSEEN = {
    ("equivalent source", "equal cells"): [
        (6, Equation(Symbol("Voc"), Symbol("E")), Equation(Symbol("Voc"), Symbol("E")))
    ]
}


def says_the_same(one: Equation, other: Equation, fixed: set[str], unknowns: set[str]) -> bool:
    """Whether two linear equations are multiples of each other, seen at random exact numbers: the
    ratio of their two sides' differences does not depend on the unknowns."""
    random = Random(5)
    for _ in range(2):
        at = {n: Fraction(random.randint(2, 10**6)) for n in sorted(fixed)}
        ratios = set()
        for _ in range(3):
            full = at | {n: Fraction(random.randint(2, 10**6)) for n in sorted(unknowns)}
            try:
                first = value_of(one.left, full) - value_of(one.right, full)
                second = value_of(other.left, full) - value_of(other.right, full)
            except (ZeroDivisionError, KeyError):
                return False
            if not first or not second:
                return first == second
            ratios.add(first / second)
        if len(ratios) > 1:
            return False
    return True


def mutants(circuit: Circuit, derivation: Derivation) -> Iterator[Step]:
    """Each step with one slip in its line or in the line on the way, slips that state the same left out."""
    random = Random(3)
    fixed = {*circuit.symbols, *derivation.names}
    unknowns = {*circuit.currents, *derivation.meanings}
    for step in derivation.steps:
        for line in (step.written, step.on_the_way):
            if line is None:
                continue
            lines = [Equation(x, line.right) for x in faults(line.left)]
            lines += [Equation(line.left, x) for x in faults(line.right)]
            wrong = [each for each in lines if not says_the_same(each, line, fixed, unknowns)]
            for each in random.sample(wrong, min(len(wrong), 6)):
                of_line = line is step.written
                yield replace(step, written=each) if of_line else replace(step, on_the_way=each)


def worked(method: str, name: str) -> tuple[Solution, Derivation]:
    solution = solve(circuit_of(CIRCUITS[name]))
    return solution, derive(solution.circuit, solution, method=method)


@pytest.mark.parametrize(("method", "name"), SERVED)
def test_every_fault_in_a_line_of_a_method_is_refused(method: str, name: str) -> None:
    solution, derivation = worked(method, name)
    assert verify_method(derivation, solution) >= len(derivation.steps)
    passed = []
    for step in mutants(solution.circuit, derivation):
        try:
            verify_method(with_step(derivation, step), solution)
        except BrokenPromise:
            continue
        passed.append((step.number, step.written, step.on_the_way))
    assert passed == UNSEEN.get((method, name), [])


@pytest.mark.parametrize(("method", "name"), SERVED)
def test_a_true_line_of_a_method_that_names_nothing_it_rests_on_is_refused(method: str, name: str) -> None:
    solution, derivation = worked(method, name)
    made = [s for s in derivation.steps if s.move in (Move.SOLVE, Move.PUT_BACK) and s.uses]
    for step in made:
        with pytest.raises(BrokenPromise):
            verify_method(with_step(derivation, replace(step, uses=())), solution)


def test_a_loop_current_said_to_run_the_other_way_is_refused() -> None:
    solution, derivation = worked("loop currents", "bridge")
    turned = dict(derivation.meanings)
    name, meaning = next(iter(turned.items()))
    assert isinstance(meaning, LoopCurrent)
    back = tuple((branch, -sense) for branch, sense in reversed(meaning.loop))
    others = tuple(back if loop == meaning.loop else loop for loop in meaning.among)
    turned[name] = replace(meaning, loop=back, among=others)
    with pytest.raises(BrokenPromise):
        verify_method(replace(derivation, meanings=turned), solution)


def told(method: str, name: str, move: Move) -> tuple[Solution, Derivation, Step]:
    solution, derivation = worked(method, name)
    return solution, derivation, next(s for s in derivation.steps if s.move is move)


def entries_changed(matrix: Determinant) -> Iterator[Determinant]:
    """The matrix with one entry turned, its first two rows exchanged, and turned about its diagonal."""
    for at, row in enumerate(matrix.rows):
        for column, entry in enumerate(row):
            new = (*row[:column], negate(entry), *row[column + 1 :])
            if entry != ZERO:
                yield Determinant((*matrix.rows[:at], new, *matrix.rows[at + 1 :]))
    yield Determinant((matrix.rows[1], matrix.rows[0], *matrix.rows[2:]))


def test_a_determinant_must_hold_the_coefficients_of_the_lines_it_names() -> None:
    solution, derivation, step = told("determinants", "bridge", Move.DETERMINANT)
    matrix = step.forms[0]
    assert isinstance(matrix, Determinant)
    for wrong in entries_changed(matrix):
        value = ratio_of(wrong, derivation.field)
        shown = replace(step, forms=(wrong,), written=Equation(step.written.left, tidy(value)))
        with pytest.raises(BrokenPromise, match="does not hold the coefficients"):
            verify_method(with_step(derivation, shown), solution)


def test_every_form_of_a_determinant_must_be_its_value() -> None:
    solution, derivation, step = told("determinants", "charge or help", Move.DETERMINANT)
    matrix, expansion = step.forms
    for wrong in faults(expansion):
        if ratio_of(wrong, derivation.field) != ratio_of(expansion, derivation.field):
            with pytest.raises(BrokenPromise, match="is not the determinant that it shows"):
                verify_method(with_step(derivation, replace(step, forms=(matrix, wrong))), solution)


def test_the_right_sides_must_stand_in_the_column_that_is_named() -> None:
    solution, derivation = worked("determinants", "charge or help")
    first, second = (s for s in derivation.steps if s.move is Move.DETERMINANT and s.solves)
    swapped = replace(first, solves=second.solves)
    with pytest.raises(BrokenPromise, match="does not hold the coefficients"):
        verify_method(with_step(derivation, swapped), solution)


def test_a_sum_of_loop_currents_is_refused_where_only_chance_makes_it_true() -> None:
    solution, derivation = worked("loop currents", "equal cells")
    step = next(
        s for s in derivation.steps if s.on_the_way is not None and isinstance(s.on_the_way.right, Sum)
    )
    assert step.on_the_way is not None
    assert isinstance(step.on_the_way.right, Sum)
    one, other = step.on_the_way.right.terms
    results = {s.written.left: s.written.right for s in derivation.steps if s.is_result}
    assert results[one] == results[other]
    borrowed = Equation(step.on_the_way.left, Sum((other, other)))
    with pytest.raises(BrokenPromise, match="does not follow"):
        verify_method(with_step(derivation, replace(step, on_the_way=borrowed)), solution)
