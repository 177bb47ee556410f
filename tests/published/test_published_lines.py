"""Equations of published solutions, typed as people type them, are read as what was printed.

The equations stand in the facts, with their sources; each is accepted on the published circuit.
"""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import ZERO, Equation
from loopwright.expressions.parse import expression
from loopwright.expressions.sameness import same_algebra
from loopwright.reading.judge import read_working
from tests.published.fact_circuits import facts_of
from tests.published.test_published_workings import named

FACTS = facts_of("published.json")
PRINTED = {
    # OpenStax, University Physics Volume 2, ch. 10 additional problem 83
    ("up-10-83-loop-equation", "residual"): (
        "Loop: 48 - I2(0.5) - I2(40) + I1(20) + I1(0.10) - 24 + I1(5) = 0",
        "48 − 0.5I₂ − 40I₂ + 20I₁ + 0.10I₁ − 24 + 5I₁ = 0 (loop aedcba)",
        r"$$48 - 0.5\,I_2 - 40\,I_2 + 20\,I_1 + 0.10\,I_1 - 24 + 5\,I_1 = 0 \tag{1}$$",
    ),
    ("up-10-83-loop-equation", "junction_a"): (
        "At a: I3 - I1 - I2 = 0",
        r"\begin{align} I_{3} - I_{1} - I_{2} &= 0 \end{align}",
        "junction a → i3 - i1 - i2 = 0",
    ),
    # OpenStax, College Physics 2e, ch. 21 problem 31
    ("cp-21-31-loop-equation", "residual"): (
        "-I2*2.5 + 18 - I2*0.5 + I3*1.5 + I3*0.5 - 45 = 0",
        "- I_2·2.5 + 18 − I_2·0.5 + I_3·1.5 + I_3·0.5 − 45 = 0",
        r"\[ -I_2 \cdot 2.5 + 18 - I_2 \cdot 0.5 + I_3 \cdot 1.5 + I_3 \cdot 0.5 - 45 = 0 \]",
    ),
}
TYPED = [(fact, name, text) for (fact, name), texts in PRINTED.items() for text in texts]


@pytest.mark.parametrize(("fact", "name", "text"), TYPED)
def test_a_printed_equation_is_read_in_every_notation_and_accepted(fact: str, name: str, text: str) -> None:
    circuit, _ = named(FACTS[fact])
    reading = read_working(circuit, text)
    printed = expression(FACTS[fact]["defines"][name]["expr"], circuit.currents)
    (verdict,) = reading.verdicts
    assert same_algebra(verdict.claim.written, Equation(printed, ZERO))
    assert verdict.holds
    assert [line.trouble for line in reading.working.lines if line.trouble] == []
