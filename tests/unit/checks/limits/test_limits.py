"""Limits of the closed forms against the circuit redrawn."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from loopwright.algebra.ratios import Field
from loopwright.checks.limits.cases import Ending, LimitCase
from loopwright.checks.limits.limit_of_ratio import Indeterminate, Unbounded
from loopwright.checks.limits.limit_variables import LimitQuantity, LimitVariable, shared_symbols
from loopwright.checks.limits.limits import _same_but_for_the_split, limit_case, limit_cases, symbol_case
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.nodes import Equation, Product, Symbol
from loopwright.expressions.said import as_text
from loopwright.expressions.values import ratio_of
from loopwright.solve.exact import solve_posed
from tests.sample_circuits import (
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CUBE,
    EQUAL_CELLS,
    SYMBOLIC,
    circuit_of,
)

ONE_IDEAL = CHARGE_OR_HELP.replace("R2, ", "")
SAME_EMF = ONE_IDEAL + '[elements]\nE2 = "E1"\n'
SHARED = CHARGE_OR_HELP + '[elements]\nE2 = "E1"\nR1 = "R"\nR2 = "R"\nRh = "2 R"\n'
IDEAL_CUBE = CUBE.replace('E = { internal = "r" }', "")
DRIVEN = """
[branches]
I1 = "b, +J, R1, a"
I2 = "a, R2, b"
"""
# Every limit of charger, battery and heater with E1 = 23 V, E2 = 18 V, R1 = 4 Ω, R2 = 3 Ω, Rh = 5 Ω, in
# amperes, worked by hand from the redrawn circuits.
BY_HAND = {
    ("Rh", "0"): ("23/4", "-6", "47/4"),
    ("Rh", "∞"): ("5/7", "5/7", "0"),
    ("R1", "0"): ("94/15", "5/3", "23/5"),
    ("R1", "∞"): ("0", "-9/4", "9/4"),
    ("R2", "0"): ("5/4", "-47/20", "18/5"),
    ("R2", "∞"): ("23/9", "0", "23/9"),
}


def case(
    circuit: Circuit,
    element: str,
    to: str,
    quantity: LimitQuantity = LimitQuantity.RESISTANCE,
    moved: tuple[str, ...] = (),
) -> LimitCase:
    cases = [c for c in limit_cases(circuit) if not moved or c.moved == moved]
    found = [c for c in cases if (c.element, c.to, c.variable.quantity) == (element, to, quantity)]
    assert len(found) == 1
    return found[0]


@pytest.mark.parametrize("which", SYMBOLIC)
def test_both_routes_agree_in_every_case(which: str) -> None:
    cases = limit_cases(circuit_of(SYMBOLIC[which]))
    assert cases
    assert [c.head for c in cases if not c.agree] == []


@pytest.mark.parametrize(("element", "to"), BY_HAND)
def test_limits_worked_by_hand(element: str, to: str) -> None:
    circuit = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)
    found = case(circuit, element, to)
    for name, expected in zip(circuit.currents, BY_HAND[element, to], strict=True):
        for outcome in (found.formula[name], found.redrawn[name]):
            assert outcome.value(circuit.numbers) == Fraction(expected)  # type: ignore[union-attr]


def test_an_open_load_leaves_one_loop() -> None:
    sentence = case(circuit_of(CHARGE_OR_HELP), "Rh", "∞").sentence
    assert sentence[:2] == (Symbol("Rh"), " open")
    assert "one loop is left, so " in sentence
    assert Equation(Symbol("Ib"), Symbol("Ic")) in sentence


def test_a_shorted_load_parts_the_circuit_in_two() -> None:
    sentence = case(circuit_of(CHARGE_OR_HELP), "Rh", "0").sentence
    assert "the circuit falls into two parts that do not affect one another" in sentence
    assert sentence.count(" alone drives ") == 2
    assert "the wire carries " in sentence


def test_an_ideal_battery_shorted_drives_a_current_without_limit() -> None:
    found = case(circuit_of(ONE_IDEAL), "Rh", "0")
    field = circuit_of(ONE_IDEAL).field
    assert found.ending is Ending.UNBOUNDED
    grown = Unbounded(1, field.symbol("E2") / field.symbol("Rh"))
    assert found.formula["Ih"] == found.redrawn["Ih"] == grown
    assert found.formula["Ic"] == (field.symbol("E1") - field.symbol("E2")) / field.symbol("R1")


def test_disagreeing_batteries_grow_with_unknown_sign() -> None:
    found = case(circuit_of(ONE_IDEAL), "R1", "0")
    assert found.ending is Ending.UNBOUNDED
    assert isinstance(found.formula["Ic"], Unbounded)
    assert found.formula["Ic"].sign == 0
    assert found.agree


def test_agreeing_batteries_leave_the_split_open_and_the_sum_fixed() -> None:
    circuit = circuit_of(SAME_EMF)
    found = case(circuit, "R1", "0")
    assert found.ending is Ending.SPLIT_OPEN
    assert found.agree
    assert isinstance(found.redrawn["Ic"], Indeterminate)
    assert found.split is not None
    ((signs, total),) = found.split.fixed
    assert signs == {"Ic": 1, "Ib": -1}
    assert total.at({}, circuit.field) == circuit.field.symbol("E1") / circuit.field.symbol("Rh")


def test_the_split_is_what_small_resistances_give() -> None:
    """The approach-ratio formula against a circuit solved with x p and x q in the branches, x put at 0."""
    split = case(circuit_of(SAME_EMF), "R1", "0").split
    assert split is not None
    small = circuit_of(CHARGE_OR_HELP + '[elements]\nE2 = "E1"\nR1 = "x p"\nR2 = "x q"\n')
    solved = solve_posed(small).currents
    for name in ("Ic", "Ib"):
        assert solved[name].at({"x": 0}).at({}, split.currents[name].field) == split.currents[name]


def test_a_case_is_about_one_element_when_symbols_are_shared() -> None:
    circuit = circuit_of(SHARED)
    found = case(circuit, "R1", "∞")
    third = circuit.field.symbol("E1") / (circuit.field.symbol("R") * 3)
    assert [found.redrawn[n] for n in ("Ic", "Ib", "Ih")] == [circuit.field.zero, -third, third]
    assert found.symbol not in circuit.symbols


def test_a_symbol_goes_to_its_limit_in_two_elements_of_one_branch() -> None:
    circuit = circuit_of(CHARGE_OR_HELP.replace("bus, Rh,", "bus, Rh, R3,") + '[elements]\nR3 = "2 Rh"\n')
    known = solve_posed(circuit)
    shared = next(s for s in shared_symbols(circuit) if s.symbol == "Rh")
    alone = circuit.field.symbol("E1") - circuit.field.symbol("E2")
    round_one = alone / (circuit.field.symbol("R1") + circuit.field.symbol("R2"))
    found = symbol_case(circuit, known, shared, "∞")
    assert found is not None
    assert found.agree
    assert [found.redrawn[n] for n in ("Ic", "Ib", "Ih")] == [round_one, round_one, circuit.field.zero]


def test_inside_resistances_are_taken_to_both_ends() -> None:
    cases = [c for c in limit_cases(circuit_of(EQUAL_CELLS)) if c.variable.quantity is LimitQuantity.INTERNAL]
    assert [(c.element, c.to) for c in cases] == [("E1", "0"), ("E1", "∞"), ("E2", "0"), ("E2", "∞")]
    assert all(c.agree for c in cases)


@pytest.mark.parametrize("element", ["R1", "R2"])
def test_a_current_source_drives_through_any_resistance(element: str) -> None:
    found = case(circuit_of(DRIVEN), element, "∞")
    assert found.ending is Ending.FORCED
    assert found.agree
    assert found.formula["I1"] == circuit_of(DRIVEN).field.symbol("J")


def test_sources_are_taken_to_zero_only() -> None:
    cases = [c for c in limit_cases(circuit_of(CHARGE_OR_HELP)) if not c.variable.is_resistance]
    assert [(c.element, c.to) for c in cases] == [("E1", "0"), ("E2", "0")]


def test_a_wrong_closed_form_does_not_agree() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    solution = solve_posed(circuit)
    wrong = replace(solution, currents={**solution.currents, "Ic": -solution.currents["Ic"]})
    told = [c for c in limit_cases(circuit, wrong) if not c.agree]
    assert told
    assert all(c.sentence[-1] == " The closed form does not agree with this." for c in told)


def test_a_wrong_closed_form_shows_with_shared_symbols_too() -> None:
    circuit = circuit_of(SHARED)
    solution = solve_posed(circuit)
    wrong = replace(solution, currents={**solution.currents, "Ih": solution.currents["Ih"] * 2})
    unseen = [c for c in limit_cases(circuit, wrong) if c.variable.is_resistance and c.agree]
    assert [(c.element, c.to) for c in unseen] == [("R", "∞")]  # where every current vanishes


def test_one_case_alone_is_the_same_as_in_the_list() -> None:
    circuit = circuit_of(CHARGE_OR_HELP)
    alone = limit_case(circuit, LimitVariable("R2", LimitQuantity.RESISTANCE), "0")
    assert alone.formula == case(circuit, "R2", "0").formula


def test_a_product_in_the_split_sentence_is_a_resistance_that_vanishes() -> None:
    sentence = case(circuit_of(SAME_EMF), "R1", "0").sentence
    products = [piece for piece in sentence if isinstance(piece, Product)]
    field = Field(("x", "p", "q"))
    x, p, q = (field.symbol(n) for n in field.symbols)
    assert [ratio_of(product, field) for product in products] == [x * p, x * q]


def test_long_currents_are_only_said_to_stay_finite() -> None:
    sentence = case(circuit_of(SYMBOLIC["real bridge"]), "R5", "0").sentence
    assert " stay finite" in sentence
    assert len(sentence) < 40


def test_a_circuit_with_one_battery_has_no_battery_alone() -> None:
    circuit = circuit_of(SYMBOLIC["real bridge"])
    assert not any(" alone drives " in c.sentence for c in limit_cases(circuit))


SCALED = """
[branches]
I1 = "a, +E1, R1, b"
I2 = "b, R2, a"
I3 = "b, R3, a"
[elements]
R2 = "2 R3"
"""
OPPOSED = SCALED.replace('"b, R3, a"', '"a, +E2, R3, b"').replace('R2 = "2 R3"', 'R3 = "R1"\nE2 = "E1"')


def test_a_symbol_moves_every_element_that_carries_it() -> None:
    circuit = circuit_of(SCALED)
    found = case(circuit, "R3", "0", moved=("R2", "R3"))
    e, r = circuit.field.symbol("E1"), circuit.field.symbol("R1")
    assert [found.redrawn[n] for n in ("I1", "I2", "I3")] == [e / r, e / (r * 3), e * 2 / (r * 3)]
    assert found.agree
    assert as_text(found.head) == "R3 → 0, and with it R2"


def test_an_element_alone_says_what_keeps_its_value() -> None:
    found = case(circuit_of(SCALED), "R3", "0", moved=("R3",))
    assert not found.redrawn["I2"]
    assert as_text(found.head) == "R3 alone shorted (R2 keeps its value)"


def test_equal_emfs_that_oppose_are_said_to_balance() -> None:
    found = case(circuit_of(OPPOSED), "R2", "∞")
    assert as_text(found.sentence) == "R2 open: E1 and E2 balance one another, so no current flows."


def test_a_closed_chain_that_nothing_drives_carries_nothing_when_it_is_shorted() -> None:
    found = case(circuit_of(SCALED.replace('"b, R3, a"', '"a, R3, a"').replace("2 R3", "R2")), "R3", "0")
    assert as_text(found.sentence) == "R3 shorted: I3 vanishes; I1 = E1/(R1 + R2) and I2 = I1."
    assert found.agree


def test_currents_that_grow_alike_and_elements_that_stay_are_told_together() -> None:
    told = [as_text(case.sentence) for case in limit_cases(circuit_of(IDEAL_CUBE))]
    assert any("I1, I2, I3, I10, I11 and I12 ≈ 2 E/(5 R); I4" in sentence for sentence in told)
    assert any(
        sentence.startswith("R1 alone shorted (the other 11 keep their values): ") for sentence in told
    )


def test_limits_differ_by_a_split_only_where_one_current_runs_round_the_loop() -> None:
    field = Field(("E", "R"))
    e, zero = field.symbol("E"), field.zero
    fresh = {"I1": e, "I2": e, "I3": zero}
    loop = {"I1": 1, "I2": -1}
    assert _same_but_for_the_split({"I1": e * 3, "I2": -e, "I3": zero}, fresh, loop)
    assert not _same_but_for_the_split({"I1": e * 3, "I2": -e, "I3": e}, fresh, loop)
    assert not _same_but_for_the_split({"I1": e * 3, "I2": e * 3, "I3": zero}, fresh, loop)
