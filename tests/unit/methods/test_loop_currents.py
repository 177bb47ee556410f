"""Loop currents: what is written, where they run, and how sources of current are met."""

from __future__ import annotations

from loopwright.circuit.circuit import Circuit
from loopwright.derive.steps import Derivation
from loopwright.expressions.writers import plain
from loopwright.methods.methods import derive
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, DRIVEN, circuit_of

GAPPED = """
[branches]
I1 = "b, +E1, R1, a"
I2 = "a, R2, b"
I3 = "a, R3, b"
I4 = "a, S1, b"
[elements]
S1 = "open"
"""


def lines(derivation: Derivation) -> list[str]:
    return [" = ".join(plain.render(side) for side in step.chain) for step in derivation.steps]


def by_loops(text: str) -> tuple[Circuit, Derivation]:
    circuit = circuit_of(text)
    return circuit, derive(circuit, method="loop currents")


def test_each_independent_loop_has_one_equation() -> None:
    circuit, derivation = by_loops(BRIDGE)
    assert len(derivation.together) == len(circuit.branches) - len(circuit.points) + 1
    assert len(derivation.laws) == len(derivation.together)


def test_a_branch_current_is_written_as_the_sum_of_the_loop_currents_through_it() -> None:
    _, derivation = by_loops(BRIDGE)
    told = {s.solves: plain.render(s.chain[1]) for s in derivation.steps if s.move == "add up loop currents"}
    assert "Ia − Ic" in told.values()


def test_a_source_of_current_fixes_the_current_of_the_one_loop_through_it() -> None:
    circuit, derivation = by_loops(DRIVEN)
    first = derivation.steps[0]
    assert first.law is not None
    assert circuit.fixed_current(first.law.branch)
    assert first.solves not in derivation.together


def test_a_gap_is_in_no_loop_and_carries_nothing() -> None:
    circuit, derivation = by_loops(GAPPED)
    gap = next(b.name for b in circuit.branches if circuit.fixed_current(b.name) == 0)
    assert f"{gap} = 0" in lines(derivation)
    assert len(derivation.together) == 2


def test_loop_currents_have_letters_that_the_circuit_leaves_free() -> None:
    _, derivation = by_loops(CHARGE_OR_HELP)  # its branch currents are Ib, Ic and Ih
    assert tuple(derivation.meanings) == ("K1", "K2")
