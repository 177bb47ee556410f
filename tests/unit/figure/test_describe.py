"""The figure in words: enough to build the circuit again, and nothing that is asked for."""

from fractions import Fraction

import pytest
from hypothesis import given, settings

from loopwright.circuit.circuit import Circuit, battery, resistor
from loopwright.circuit.elements import Branch, Element, Kind, Pass
from loopwright.expressions.nodes import Number, Symbol, times
from loopwright.figure.describe import describe
from loopwright.figure.rebuild import Unbuildable, rebuild
from loopwright.solve.exact import solve
from tests.sample_circuits import SYMBOLIC, circuit_of
from tests.strategies import circuits

BUS = Circuit(
    (
        Branch("Ih", "bus", "rail", (Pass("Rh"),)),
        Branch("Ic", "rail", "bus", (Pass("E1", +1), "m", Pass("R1"))),
        Branch("Ib", "bus", "rail", (Pass("R2"), Pass("E2", -1))),
    ),
    {
        "Rh": resistor("Rh"),
        "E1": battery("E1", internal=Symbol("r1")),
        "R1": resistor("R1", times(Number(Fraction(2)), Symbol("R"))),
        "R2": resistor("R2"),
        "E2": battery("E2"),
    },
    {"Rh": Fraction(4700), "E1": Fraction(9), "r1": Fraction(1, 2), "R": Fraction(10), "E2": Fraction(3, 2)},
    {"Rh": "4k7", "E1": "9.00 V", "r1": "0.50 ohm", "R": "10 ohm"},
)


def test_first_line_tells_the_whole_in_brief() -> None:
    assert describe(BUS).splitlines()[0] == (
        "Circuit of two batteries and three resistors: three branches, two junctions (bus, rail)."
    )


def test_each_branch_is_told_along_its_arrow() -> None:
    lines = describe(BUS).splitlines()
    assert lines[1] == "Branch Ih: arrow from bus to rail, meeting resistor Rh = 4.7 kΩ."
    assert lines[2] == (
        "Branch Ic: arrow from rail to bus, meeting battery E1 = 9.00 V with internal resistance r1 = 0.50 Ω "
        "(+ terminal towards bus); then point m; then resistor R1 = 2 R."
    )
    assert lines[3] == (
        "Branch Ib: arrow from bus to rail, meeting resistor R2; "
        "then battery E2 = 1.5 V (+ terminal towards bus)."
    )


def test_numbers_of_other_symbols_stand_on_a_line_of_their_own() -> None:
    assert "Numbers: R = 10 Ω." in describe(BUS)


def test_meshes_are_told_with_their_sense() -> None:
    assert "Mesh 1, clockwise: along Ih, along Ic." in describe(BUS)


def test_text_alone_gives_the_circuit_back() -> None:
    again = rebuild(describe(BUS))
    assert again.branches == BUS.branches
    assert again.elements == BUS.elements
    assert again.numbers == BUS.numbers


@pytest.mark.parametrize("name", SYMBOLIC)
def test_rebuilt_circuit_has_the_same_currents(name: str) -> None:
    circuit = circuit_of(SYMBOLIC[name])
    again = rebuild(describe(circuit))
    assert {n: str(i) for n, i in solve(again).currents.items()} == {
        n: str(i) for n, i in solve(circuit).currents.items()
    }


@given(circuits(loops=4, points=5))
@settings(max_examples=80)
def test_every_circuit_is_built_again_from_its_description(circuit: Circuit) -> None:
    again = rebuild(describe(circuit))
    assert again.branches == circuit.branches
    assert {n: (e.kind, e.closed) for n, e in again.elements.items()} == {
        n: (e.kind, e.closed) for n, e in circuit.elements.items()
    }
    wider = circuit.field
    assert all(str(again.worked_in(wider).value(n)) == str(circuit.value(n)) for n in circuit.elements)
    assert all(
        str(again.worked_in(wider).internal_resistance(n)) == str(circuit.internal_resistance(n))
        for n in circuit.elements
    )


@pytest.mark.parametrize("closed", [True, False])
def test_switches_say_whether_they_are_closed(closed: bool) -> None:
    circuit = Circuit(
        (Branch("I", "a", "a", (Pass("E", +1), Pass("S"))),),
        {"E": battery("E"), "S": Element("S", Kind.SWITCH, closed=closed)},
    )
    assert ("closed" if closed else "open") + " switch S" in describe(circuit)
    assert rebuild(describe(circuit)).elements["S"].closed is closed


def test_turned_battery_changes_the_text() -> None:
    turned = BUS.flipped("Ic")
    assert "(+ terminal towards bus)" in describe(turned)
    assert rebuild(describe(turned)).rise("Ic") == -rebuild(describe(BUS)).rise("Ic")


def test_no_current_is_given_away() -> None:
    """A description holds the givens only: no value of a branch current, no power."""
    numbers = [line for line in describe(BUS).splitlines() if " A" in line or " W" in line]
    assert numbers == []


@pytest.mark.parametrize(
    "line",
    [
        "Branch I1: from a to b.",
        "Branch I1: arrow from a to b, meeting lamp L1.",
        "Branch I1: arrow from a to b, meeting battery E1 (+ terminal towards c).",
    ],
)
def test_line_that_does_not_say_what_stands_where_is_refused(line: str) -> None:
    with pytest.raises(Unbuildable):
        rebuild(line)
