"""Which way currents flow, and when they would reverse."""

from __future__ import annotations

from fractions import Fraction

from loopwright.checks.remarks.directions import Direction, WhichWay, directions, told_together
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.said import as_text
from loopwright.expressions.values import ratio_of
from loopwright.solve.exact import solve_posed
from tests.sample_circuits import (
    BRIDGE,
    CHARGE_OR_HELP,
    CHARGE_OR_HELP_IN_NUMBERS,
    CUBE,
    OPEN_SWITCH,
    circuit_of,
)


def found(circuit: Circuit) -> dict[str, Direction]:
    return {d.current: d for d in directions(circuit, solve_posed(circuit))}


def test_a_heater_between_two_sources_always_draws_along_its_arrow() -> None:
    assert found(circuit_of(CHARGE_OR_HELP))["Ih"].way is WhichWay.ALONG


def test_a_flipped_arrow_turns_the_way_round() -> None:
    assert found(circuit_of(CHARGE_OR_HELP).flipped("Ih"))["Ih"].way is WhichWay.AGAINST


def test_a_battery_helps_when_the_charger_does_not_reach_its_emf() -> None:
    """Ib runs against its arrow when E2 (R1 + Rh) > E1 Rh."""
    circuit = circuit_of(CHARGE_OR_HELP)
    condition = found(circuit)["Ib"].condition
    assert condition is not None
    e1, e2, r1, _, rh = (circuit.field.symbol(n) for n in circuit.symbols)
    assert condition.relation == ">"
    assert ratio_of(condition.left, circuit.field) == e2 * (r1 + rh)
    assert ratio_of(condition.right, circuit.field) == e1 * rh


def test_the_emf_cancels_from_the_balance_of_a_bridge() -> None:
    circuit = circuit_of(BRIDGE)
    condition = found(circuit)["I5"].condition
    assert condition is not None
    r1, r2, r3, r4 = (circuit.field.symbol(f"R{i}") for i in (1, 2, 3, 4))
    assert ratio_of(condition.left, circuit.field) == r1 * r4
    assert ratio_of(condition.right, circuit.field) == r2 * r3


def test_the_values_at_which_it_reverses_make_the_current_zero() -> None:
    """From Ib = 0: E1 = E2 (R1 + Rh)/Rh = 18 × 9/5 V and so on, worked by hand."""
    reversals = found(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))["Ib"].reversals
    assert {t.symbol: t.value for t in reversals} == {
        "E1": Fraction(162, 5),
        "E2": Fraction(115, 9),
        "R1": Fraction(25, 18),
        "Rh": Fraction(72, 5),
    }
    assert [t.unit for t in reversals] == ["V", "V", "Ω", "Ω"]


def test_the_number_tells_which_way_it_really_flows() -> None:
    told = found(circuit_of(CHARGE_OR_HELP_IN_NUMBERS))["Ib"]
    assert told.number == -1
    assert ", so it runs against the arrow" in told.sentence


def test_an_open_switch_carries_nothing() -> None:
    told = found(circuit_of(OPEN_SWITCH))["I3"]
    assert told.way is WhichWay.NONE
    assert told.sentence[1] == " is zero whatever the values."


def test_every_arrow_of_the_cube_is_settled() -> None:
    assert {d.way for d in found(circuit_of(CUBE)).values()} <= {WhichWay.ALONG, WhichWay.AGAINST}


def test_the_sentence_tells_the_condition() -> None:
    direction = found(circuit_of(CHARGE_OR_HELP))["Ib"]
    assert direction.condition in direction.sentence


def test_currents_that_always_run_along_their_arrows_share_a_sentence() -> None:
    circuit = circuit_of(BRIDGE)
    told = [as_text(said) for said in told_together(directions(circuit, solve_posed(circuit)))]
    assert told[0] == "I, I1, I2, I3 and I4 always run along their arrows."
    assert len(told) == 2
    assert told[1].startswith("I5 runs against its arrow when ")
