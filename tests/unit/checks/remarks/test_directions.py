"""Which way currents flow, and when they would reverse."""

from __future__ import annotations

from fractions import Fraction

from loopwright.checks.remarks.directions import Direction, WhichWay, directions
from loopwright.circuit.circuit import Circuit
from loopwright.expressions.values import ratio_of
from loopwright.solve.exact import solve_posed
from tests.sample_circuits import (
    BRIDGE,
    CUBE,
    OPEN_SWITCH,
    TWO_BATTERIES,
    TWO_BATTERIES_IN_NUMBERS,
    circuit_of,
)


def found(circuit: Circuit) -> dict[str, Direction]:
    return {d.current: d for d in directions(circuit, solve_posed(circuit))}


def test_a_load_between_two_batteries_always_draws_along_its_arrow() -> None:
    assert found(circuit_of(TWO_BATTERIES))["I3"].way is WhichWay.ALONG


def test_a_flipped_arrow_turns_the_way_round() -> None:
    assert found(circuit_of(TWO_BATTERIES).flipped("I3"))["I3"].way is WhichWay.AGAINST


def test_a_battery_is_charged_when_the_other_outweighs_it() -> None:
    """I1 runs backwards when E2 R3 > E1 (R2 + R3)."""
    circuit = circuit_of(TWO_BATTERIES)
    condition = found(circuit)["I1"].condition
    assert condition is not None
    e1, e2, _, r2, r3 = (circuit.field.symbol(n) for n in circuit.symbols)
    assert condition.relation == ">"
    assert ratio_of(condition.left, circuit.field) == e2 * r3
    assert ratio_of(condition.right, circuit.field) == e1 * (r2 + r3)


def test_the_emf_cancels_from_the_balance_of_a_bridge() -> None:
    circuit = circuit_of(BRIDGE)
    condition = found(circuit)["I5"].condition
    assert condition is not None
    r1, r2, r3, r4 = (circuit.field.symbol(f"R{i}") for i in (1, 2, 3, 4))
    assert ratio_of(condition.left, circuit.field) == r1 * r4
    assert ratio_of(condition.right, circuit.field) == r2 * r3


def test_the_values_at_which_it_reverses_make_the_current_zero() -> None:
    """From I1 = 0: E1 = E2 R3/(R2 + R3) = 24 × 9/11 V and so on, worked by hand."""
    reversals = found(circuit_of(TWO_BATTERIES_IN_NUMBERS))["I1"].reversals
    assert {t.symbol: t.value for t in reversals} == {
        "E1": Fraction(216, 11),
        "E2": Fraction(44, 3),
        "R2": Fraction(9),
        "R3": Fraction(2),
    }
    assert [t.unit for t in reversals] == ["V", "V", "Ω", "Ω"]


def test_the_number_tells_which_way_it_really_flows() -> None:
    told = found(circuit_of(TWO_BATTERIES_IN_NUMBERS))["I1"]
    assert told.number == -1
    assert ", so it runs against the arrow" in told.sentence


def test_an_open_switch_carries_nothing() -> None:
    told = found(circuit_of(OPEN_SWITCH))["I3"]
    assert told.way is WhichWay.NONE
    assert told.sentence[1] == " is zero whatever the values."


def test_every_arrow_of_the_cube_is_settled() -> None:
    assert {d.way for d in found(circuit_of(CUBE)).values()} <= {WhichWay.ALONG, WhichWay.AGAINST}
