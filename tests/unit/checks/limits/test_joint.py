"""Two resistances to zero together."""

from __future__ import annotations

from loopwright.checks.limits.cases import Ending
from loopwright.checks.limits.joint import joint_cases
from loopwright.checks.limits.limit_of_ratio import Unbounded
from loopwright.expressions.nodes import Equation, Symbol
from tests.sample_circuits import BRIDGE, CHARGE_OR_HELP, EQUAL_CELLS, circuit_of


def test_batteries_that_differ_drive_a_current_round_themselves() -> None:
    first = joint_cases(circuit_of(CHARGE_OR_HELP))[0]
    assert first.elements == ("R1", "R2")
    assert first.ending is Ending.UNBOUNDED
    assert isinstance(first.formula["Ic"], Unbounded)
    assert first.agree


def test_the_split_is_offered_for_the_day_when_emfs_are_equal() -> None:
    """Ic → (E/Rh) q/(p + q) for R1 = x p, R2 = x q: the ratio of approach decides."""
    first = joint_cases(circuit_of(CHARGE_OR_HELP))[0]
    assert first.if_equal == Equation(Symbol("E1"), Symbol("E2"))
    assert first.split is not None
    share = first.split.currents["Ic"]
    e, r, a, b = (share.field.symbol(n) for n in ("E1", "Rh", "p", "q"))
    assert share == e * b / (r * (a + b))


def test_equal_batteries_leave_the_split_open() -> None:
    first = joint_cases(circuit_of(EQUAL_CELLS))[0]
    assert first.ending is Ending.SPLIT_OPEN
    assert first.agree
    assert first.split is not None
    assert [signs for signs, _ in first.split.fixed] == [{"Ic": 1, "Ib": -1}]


def test_an_ideal_battery_shorted_by_two_resistances() -> None:
    cases = joint_cases(circuit_of(BRIDGE))
    assert [c.elements for c in cases] == [("R1", "R3"), ("R2", "R4")]
    assert all(c.sources == ("E",) and c.agree for c in cases)


def test_the_number_of_joint_cases_is_bounded() -> None:
    assert len(joint_cases(circuit_of(CHARGE_OR_HELP), limit=2)) == 2


def test_inside_resistances_are_told_as_such() -> None:
    sentence = joint_cases(circuit_of(EQUAL_CELLS))[0].sentence
    assert sentence[:4] == (
        "the internal resistance of ",
        Symbol("E1"),
        " and ",
        "the internal resistance of ",
    )
