"""What is gone on with in ways that need no formula: shares, equal currents put in, the junction rule."""

from __future__ import annotations

import pytest

from loopwright.reading.judge import read_working
from loopwright.reading.verdicts import ClaimKind
from tests.sample_circuits import FAR_END, circuit_of


@pytest.mark.parametrize(
    ("text", "carried"),
    [
        ("I1 = 24/10 = 2.4 A\nI2 = 1.2 A", True),  # half of it, as in truth
        ("I1 = 24/10 = 2.4 A\nI2 = 1.6 A", False),
        ("I1 = I3\n24 - 2 I3 - 8 I2 = 0", True),  # the loop, with that put in
        ("I1 = I3\n24 - 2 I3 + 8 I2 = 0", False),
        ("I1 = 5 A\nI2 = 2 A\nI3 = 3 A", True),  # the junction, which is not written
        ("I1 = 5 A\nI2 = 2 A\nI3 = 7 A", False),
    ],
)
def test_what_a_wrong_line_gives_is_carried(text: str, carried: bool) -> None:
    last = read_working(circuit_of(FAR_END), text).verdicts[-1]
    assert (last.kind, last.carried) == (ClaimKind.UNTRUE, carried)


@pytest.mark.parametrize(
    ("text", "carried"),
    [
        ("I1 = 2.5 A\nV1 = 2 I1 = 4.9 V", True),  # of 2.45 A
        ("I1 = 2.5 A\nV1 = 2 I1 = 4.7 V", False),
        ("I3 = 2 mA\n2 mA - 1.333 A = 0.667 A", True),  # with the digits alone
        ("I3 = 2 mA\n2 mA - 1.333 A = 0.767 A", False),
        ("I1 = 4 A\n4/2 = 1 A", False),  # that the truth comes out of it does not make the sum right
    ],
)
def test_what_is_worked_with_a_wrong_result_is_carried_as_far_as_its_rounding_goes(
    text: str, carried: bool
) -> None:
    last = read_working(circuit_of(FAR_END), text).verdicts[-1]
    assert (last.kind, last.carried) == (ClaimKind.UNTRUE, carried)


def test_conductance_is_one_over_its_resistance() -> None:
    assert read_working(circuit_of(FAR_END), "G2 = 0.125 S, G4 = 167 mS\nI2 = 16 G2 = 2 A").right
    assert not read_working(circuit_of(FAR_END), "G2 = 0.25 S").right


def test_mixed_number_is_read() -> None:
    assert read_working(circuit_of(FAR_END), "I4 = 1 1/3 A").right
    assert not read_working(circuit_of(FAR_END), "I4 = 2 1/3 A").right


@pytest.mark.parametrize(("said", "right"), [("V3 = 4 V", True), ("V3 = -4 V", True), ("V3 = 5 V", False)])
def test_voltage_with_the_mark_of_a_resistor_is_across_it(said: str, right: bool) -> None:
    behind = (
        FAR_END.replace('I3 = "a, R3, c"', 'I3 = "a, R3, R6, c"').replace('"4 ohm"', '"2 ohm"')
        + 'R6 = "2 ohm"\n'
    )
    assert read_working(circuit_of(behind), said).right is right


def test_result_upside_down_is_called_so() -> None:
    (verdict,) = read_working(circuit_of(FAR_END), "I4 = 3/4 A").verdicts
    assert verdict.repairs[0].entry == "fraction-inverted"


def test_follows_from_the_lines_that_it_says_it_rests_on() -> None:
    lines = "(1) I1 = I2 + I3\n(2) 24 - 2 I1 - 8 I2 = 0\n(3) I2 = 2 A\n(4) I3 = 2 A\n"
    for said, used in (("from (2) and (3)", (2, 3)), ("from (1), (3) and (4)", (1, 3, 4))):
        last = read_working(circuit_of(FAR_END), f"{lines}(5) {said}: I1 = 4 A").verdicts[-1]
        assert last.used == used


def test_a_name_that_two_unlike_units_left_without_meaning_costs_no_line_below() -> None:
    text = "V4 = R4 = 6 V\nI2 = (24 - 6)/8 = 2.25 A\nI4 = 6/6 = 1 A"
    reading = read_working(circuit_of(FAR_END), text)
    assert not reading.faults
    assert all(verdict.kind is not ClaimKind.UNDECIDED for verdict in reading.verdicts)


@pytest.mark.parametrize(("line", "right"), [("Voc = Rth = 2.90 V", False), ("Rth = 0.00290 kohm", True)])
def test_a_name_keeps_the_kind_of_its_first_unit(line: str, right: bool) -> None:
    text = f"Rth = 6 || (4 + 2 || 8) = 2.90 ohm\n{line}"
    assert read_working(circuit_of(FAR_END), text).right is right


def test_a_current_is_never_taken_for_that_of_a_branch_that_is_out() -> None:
    """I0 with R3 out is 577 µA; with R1 out nothing flows through R1, and line 2 would be true of that."""
    circuit = circuit_of(
        """
        [branches]
        I1 = "g, +E1, R1, a"
        I2 = "g, +E2, R2, a"
        I3 = "g, R3, a"
        [numbers]
        E1 = "20 V"
        E2 = "5 V"
        R1 = "6 kohm"
        R2 = "20 kohm"
        R3 = "24 kohm"
        """
    )
    text = """I0 = (E1 - E2)/(R1 + R2) = (20 - 5)/(6 + 20) = 0.577 mA
    Voc = -E1 - I0 R1 = -20 - 0.577*6 = -23.5 V
    Rth = R1 R2/(R1 + R2) = 6*20/(6 + 20) = 4.62 kohm
    I3 = -Voc/(Rth + R3) = -(-23.5)/(4.62 + 24) = 0.820 mA
    V = -I3 R3 = -0.820*24 = -19.7 V
    I1 = (E1 - V)/R1 = (20 - (-19.7))/6 = 6.61 mA"""
    reading = read_working(circuit, text)
    assert [v.line for v in reading.verdicts if not v.holds and not v.carried] == [2]
