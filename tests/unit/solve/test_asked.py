"""The values of what is asked, and the signs of power."""

from __future__ import annotations

import pytest

from loopwright.checks.limits.expectations import Judgement, judge
from loopwright.circuit.claims import claim
from loopwright.circuit.targets import target
from loopwright.errors import FaultyMaterial
from loopwright.expressions.parse import expression
from loopwright.expressions.said import as_text
from loopwright.expressions.values import ratio_of
from loopwright.solve.asked import value_of
from loopwright.solve.exact import Solution, solve
from tests.sample_circuits import SYMBOLIC, circuit_of

CHARGED = """
[branches]
I1 = "b, +E1, a"
I2 = "b, +E2, a"
I3 = "a, R, b"
[elements]
E1 = { value = "12.8 V", internal = "0.02 ohm" }
E2 = { value = "11.4 V", internal = "0.06 ohm" }
R = "0.4 ohm"
"""  # worked by hand: I1 = 40 A, I2 = −10 A, I3 = 30 A, 12 V across all


def _number(solution: Solution, text: str) -> float:
    value = value_of(solution, target(text, solution.circuit))
    return float(value.value(solution.circuit.numbers))


@pytest.mark.parametrize(
    ("asked", "watts"),
    [
        ("P(E1)", 512),  # 12.8 V × 40 A
        ("P(E1, terminals)", 480),  # 12 V × 40 A
        ("P(E2)", -114),  # charged: 11.4 V × 10 A taken in
        ("P(E2, terminals)", -120),
        ("P(R)", 360),
        ("P(heat)", 398),  # 360 + 32 + 6
        ("P(sources)", 398),
        ("P(E1) + P(E2)", 398),
    ],
)
def test_power_of_a_source_is_positive_when_delivered(asked: str, watts: float) -> None:
    assert _number(solve(circuit_of(CHARGED)), asked) == watts


@pytest.mark.parametrize("name", SYMBOLIC)
def test_heat_equals_what_the_sources_deliver(name: str) -> None:
    solution = solve(circuit_of(SYMBOLIC[name]))
    heat, sources = (value_of(solution, target(f"P({n})", solution.circuit)) for n in ("heat", "sources"))
    assert heat == sources
    assert bool(heat)


def test_voltage_and_resistance_without_the_load_give_its_current() -> None:
    """I = V/(R_seen + R), the equivalent source of all the rest (L. Thévenin, 1883; from memory)."""
    solution = solve(circuit_of(CHARGED))
    current = "V(a, b) without R/(R(a, b) without R + R)"
    assert value_of(solution, target(current, solution.circuit)) == solution.currents["I3"]


def test_voltage_with_an_element_taken_out_is_that_of_the_divider_left() -> None:
    text = """
    [branches]
    I1 = "d, +E, a"
    I2 = "a, R1, b"
    I3 = "b, R2, d"
    I4 = "b, R3, d"
    """
    circuit = circuit_of(text)
    asked = target("V(b, d) without R3", circuit)
    assert value_of(solve(circuit), asked) == ratio_of(expression("E R2/(R1 + R2)"), circuit.field)


def test_quotient_over_zero_is_a_finding() -> None:
    circuit = circuit_of(CHARGED)
    with pytest.raises(FaultyMaterial) as caught:
        value_of(solve(circuit), target("V(a, b)/(I3 - I1 - I2)", circuit))
    assert [finding.code for finding in caught.value.findings] == ["solve/over-zero"]


def test_an_expectation_over_zero_is_left_open_and_says_why() -> None:
    circuit = circuit_of(CHARGED)
    said = claim("V(a, b)/(I3 - I1 - I2) -> 0 as R1 -> 0")
    verdict = judge(said, circuit, solve(circuit))
    assert verdict.judgement is Judgement.UNDECIDED
    assert "what stands below a line in it is zero" in as_text(verdict.sentence)
