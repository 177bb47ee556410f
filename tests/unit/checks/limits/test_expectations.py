"""Expectations of limits, judged."""

from __future__ import annotations

import pytest

from loopwright.checks.limits.expectations import ExpectationVerdict, Judgement, judge, judge_all
from loopwright.checks.limits.limit_of_ratio import Unbounded
from loopwright.circuit.claims import claim
from loopwright.errors import FaultyMaterial
from loopwright.expressions.nodes import Equation, Negative, Symbol
from loopwright.solve.exact import solve_posed
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of

SAME_EMF = CHARGE_OR_HELP.replace("R2, ", "") + '[elements]\nE2 = "E1"\n'
SHARED = CHARGE_OR_HELP + '[elements]\nR2 = "R1"\n'


def verdict(text: str, problem: str = CHARGE_OR_HELP) -> ExpectationVerdict:
    circuit = circuit_of(problem)
    return judge(claim(text), circuit, solve_posed(circuit))


@pytest.mark.parametrize(
    "text",
    [
        "Ib -> 0 as R2 -> oo",
        "Ic = Ib when Rh -> oo",
        "Ib -> -E2/R2 as Rh -> 0",
        "Ic = Ib + Ih as R1 -> oo",
        "V(bus, rail) -> E2 as R2 -> 0",
        "P(Rh) -> 0 as Rh -> 0",
    ],
)
def test_true_expectations_are_confirmed(text: str) -> None:
    told = verdict(text)
    assert told.judgement is Judgement.CONFIRMED
    assert told.sentence[0] == "Confirmed: "


def test_a_false_expectation_is_refuted_with_the_true_result() -> None:
    told = verdict("Ib -> 0 as Rh -> oo")
    field = circuit_of(CHARGE_OR_HELP).field
    e1, e2, r1, r2, _ = (field.symbol(n) for n in field.symbols)
    assert told.judgement is Judgement.REFUTED
    assert told.left == (e1 - e2) / (r1 + r2)


def test_equal_currents_are_refuted_with_both_results() -> None:
    told = verdict("Ic = -Ib when Rh -> oo")
    assert told.judgement is Judgement.REFUTED
    assert [p.left for p in told.sentence if isinstance(p, Equation)] == [
        Symbol("Rh"),
        Symbol("Ic"),
        Negative(Symbol("Ib")),
    ]


def test_growth_without_limit_can_be_expected() -> None:
    told = verdict("Ih -> oo as Rh -> 0", SAME_EMF)
    assert told.judgement is Judgement.CONFIRMED
    assert isinstance(told.left, Unbounded)
    assert verdict("Ih -> oo as Rh -> 0").judgement is Judgement.REFUTED


def test_an_open_split_cannot_be_decided_but_the_sum_can() -> None:
    assert verdict("Ic -> 0 as R1 -> 0", SAME_EMF).judgement is Judgement.UNDECIDED
    assert verdict("Ih -> E1/Rh as R1 -> 0", SAME_EMF).judgement is Judgement.CONFIRMED


def test_an_element_goes_alone_though_it_shares_its_symbol() -> None:
    """R2 has the value R1: R2 open leaves the charger with R1 and Rh."""
    assert verdict("Ic -> E1/(R1 + Rh) as R2 -> oo", SHARED).judgement is Judgement.CONFIRMED


def test_the_expectations_of_a_file_are_judged_in_order() -> None:
    circuit = circuit_of('expect = ["Ih -> 0 as Rh -> oo", "Ib -> 0 as Rh -> oo"]\n' + CHARGE_OR_HELP)
    verdicts = judge_all(circuit, solve_posed(circuit))
    assert [v.judgement for v in verdicts] == [Judgement.CONFIRMED, Judgement.REFUTED]


SCALED = """
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, R2, a"
I3 = "b, R3, a"
[elements]
R2 = "2 R3"
"""


@pytest.mark.parametrize(
    ("text", "judgement"),
    [
        ("I2 -> E1/(3 R1) as R3 -> 0", Judgement.CONFIRMED),
        ("I2 -> 0 as R3 -> 0", Judgement.REFUTED),
        ("I2 -> 0 as R3 alone -> 0", Judgement.CONFIRMED),
        ("I3 -> 0 as R2 -> 0", Judgement.CONFIRMED),
        ("I1 -> 0 as R3 -> ∞", Judgement.CONFIRMED),
        ("I1 -> 0 as R3 alone -> ∞", Judgement.REFUTED),
    ],
)
def test_a_symbol_moves_all_that_carry_it_and_an_element_alone_does_not(
    text: str, judgement: Judgement
) -> None:
    assert verdict(text, SCALED).judgement is judgement


def test_a_refuted_limit_of_one_element_says_which_keeps_its_value() -> None:
    told = verdict("I1 -> 0 as R3 alone -> oo", SCALED).sentence
    assert told[:6] == ("Refuted: as ", Symbol("R3"), " alone goes to ", Symbol("∞"), " (", Symbol("R2"))


def test_what_is_no_element_cannot_go_to_a_limit_alone() -> None:
    with pytest.raises(FaultyMaterial) as trouble:
        verdict("I1 -> 0 as R9 alone -> 0", SCALED)
    assert [finding.code for finding in trouble.value.findings] == ["limits/unknown-element"]
