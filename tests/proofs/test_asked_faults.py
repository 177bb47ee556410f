"""The judge of what is asked besides currents refuses every injected fault.

A mutant that has the same value as the line (seen exactly, in its own field) is no fault and is left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from loopwright.algebra.ratios import Field
from loopwright.circuit.circuit import Circuit
from loopwright.circuit.targets import Asked, targets
from loopwright.derive.asked import asked_steps
from loopwright.derive.steps import AskedStep, Derivation
from loopwright.derive.verify_asked import verify_asked
from loopwright.errors import BrokenPromise
from loopwright.expressions.nodes import Expr
from loopwright.expressions.parse import expression
from loopwright.expressions.tidy import tidy
from loopwright.expressions.values import ratio_of, symbols_of
from loopwright.methods.methods import derive
from loopwright.solve.asked import value_of
from loopwright.solve.exact import Solution, solve
from tests.proofs.test_derivation_faults import faults
from tests.sample_circuits import BRIDGE, DRIVEN, LADDER, circuit_of

TWO_CELLS = """
[branches]
I1 = "b, +E1, a"
I2 = "b, +E2, a"
I3 = "a, R, b"
[elements]
E1 = { internal = "r1" }
E2 = { internal = "r2" }
"""
ASKED = {
    "bridge": (
        BRIDGE,
        ["V(b, c)", "R(a, d) without E", "R(b, c)", "V(b, c) without R5", "R(b, c) without R5", "P(R5)"],
    ),
    "two cells": (
        TWO_CELLS,
        ["V(a, b)", "P(E1)", "P(E1, terminals)", "P(heat)", "P(sources)", "V(a, b)/I1", "V(b, a) without R"],
    ),
    "driven": (DRIVEN, ["V(a, b)", "P(J)", "P(sources)", "P(heat)", "R(a, g)", "2 I1 - I2", "P(R1) + P(R2)"]),
    "ladder": (LADDER, ["V(a, b)", "R(a, b)", "V(a, b) without R3", "P(E1) + P(E2)", "I1 R1 + V(a, g)"]),
}


def worked(name: str) -> tuple[Circuit, Solution, Derivation, tuple[AskedStep, ...]]:
    text, find = ASKED[name]
    circuit = replace(circuit_of(text), find=tuple(find))
    solution = solve(circuit)
    derivation = derive(circuit, solution)
    found = {t: tidy(value_of(solution, t)) for t in targets(circuit)}
    first = derivation.steps[-1].number + 1
    return circuit, solution, derivation, asked_steps(circuit, solution, derivation, found, first)


def _differ(circuit: Circuit, one: Expr, other: Expr) -> bool:
    names = dict.fromkeys((*circuit.symbols, *symbols_of(one), *symbols_of(other)))
    field = Field(tuple(names))
    try:
        return ratio_of(one, field) != ratio_of(other, field)
    except ZeroDivisionError:
        return False


def mutants(circuit: Circuit, step: AskedStep) -> Iterator[AskedStep]:
    for wrong in faults(step.law):
        if _differ(circuit, wrong, step.law):
            yield replace(step, law=wrong)
    for wrong in faults(step.shown):
        if _differ(circuit, wrong, step.shown):
            yield replace(step, shown=wrong)
    for wrong in faults(step.result):
        if _differ(circuit, wrong, step.result):
            yield replace(step, result=wrong)
    for line in step.uses:
        yield replace(step, uses=tuple(n for n in step.uses if n != line))
    for name, current in (step.currents or {}).items():
        if current:
            yield replace(step, currents={**(step.currents or {}), name: current * 2})


@pytest.mark.parametrize("name", ASKED)
def test_every_injected_fault_is_refused(name: str) -> None:
    circuit, solution, derivation, steps = worked(name)
    assert verify_asked(steps, circuit, derivation, solution.currents) == len(steps)
    count = 0
    for at, step in enumerate(steps):
        for wrong in mutants(circuit, step):
            count += 1
            with pytest.raises(BrokenPromise):
                verify_asked((*steps[:at], wrong), circuit, derivation, solution.currents)
    assert count > 5 * len(steps)


@pytest.mark.parametrize("name", ASKED)
def test_everything_asked_has_its_line_with_a_reason_or_the_lines_put_in(name: str) -> None:
    circuit, _, _, steps = worked(name)
    assert {t for t in targets(circuit) if t.kind is not Asked.CURRENT} <= {s.target for s in steps}
    assert all(s.reason or s.uses for s in steps)
    assert [s.number for s in steps] == list(range(steps[0].number, steps[0].number + len(steps)))


def test_a_law_of_another_way_is_accepted_where_it_is_one() -> None:
    """V(a, b) along the other side of the ladder's middle rung: true, and a law of the circuit as well."""
    circuit, solution, derivation, steps = worked("ladder")
    across = next(s for s in steps if s.target.as_text() == "V(a, b)")
    other = expression("I2 R2 - I4 R4")
    assert _differ(circuit, other, across.law)
    lines = tuple(derivation.lines[n] for n in ("I2", "I4"))
    fine = replace(across, law=other, shown=other, uses=lines)
    assert verify_asked((fine,), circuit, derivation, solution.currents) == 1


def test_what_a_lone_battery_sees_is_its_emf_over_its_current() -> None:
    _, _, derivation, steps = worked("bridge")
    seen = next(s for s in steps if s.target.as_text() == "R(a, d) without E")
    assert seen.law == expression("E/I")
    assert seen.uses == (derivation.lines["I"],)
