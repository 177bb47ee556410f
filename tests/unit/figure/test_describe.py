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

BUOY = Circuit(
    (
        Branch("I1", "top", "foot", (Pass("R1"),)),
        Branch("I2", "foot", "top", (Pass("E2", +1), "m", Pass("R2"))),
        Branch("I3", "top", "foot", (Pass("R3"), Pass("E1", -1))),
    ),
    {
        "R1": resistor("R1"),
        "E2": battery("E2", internal=Symbol("r2")),
        "R2": resistor("R2", times(Number(Fraction(2)), Symbol("R"))),
        "R3": resistor("R3"),
        "E1": battery("E1"),
    },
    {"R1": Fraction(4700), "E2": Fraction(9), "r2": Fraction(1, 2), "R": Fraction(10), "E1": Fraction(3, 2)},
    {"R1": "4k7", "E2": "9.00 V", "r2": "0.50 ohm", "R": "10 ohm"},
)


def test_first_line_tells_the_whole_in_brief() -> None:
    assert describe(BUOY).splitlines()[0] == (
        "Circuit of two batteries and three resistors: three branches, two junctions (top, foot)."
    )


def test_each_branch_is_told_along_its_arrow() -> None:
    lines = describe(BUOY).splitlines()
    assert lines[1] == "Branch I1: arrow from top to foot, meeting resistor R1 = 4.7 kΩ."
    assert lines[2] == (
        "Branch I2: arrow from foot to top, meeting battery E2 = 9.00 V with internal resistance r2 = 0.50 Ω "
        "(+ terminal towards top); then point m; then resistor R2 = 2 R."
    )
    assert lines[3] == (
        "Branch I3: arrow from top to foot, meeting resistor R3; "
        "then battery E1 = 1.5 V (+ terminal towards top)."
    )


def test_numbers_of_other_symbols_stand_on_a_line_of_their_own() -> None:
    assert "Numbers: R = 10 Ω." in describe(BUOY)


def test_meshes_are_told_with_their_sense() -> None:
    assert "Mesh 1, clockwise: along I1, along I2." in describe(BUOY)


def test_text_alone_gives_the_circuit_back() -> None:
    again = rebuild(describe(BUOY))
    assert again.branches == BUOY.branches
    assert again.elements == BUOY.elements
    assert again.numbers == BUOY.numbers


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
    turned = BUOY.flipped("I2")
    assert "(+ terminal towards top)" in describe(turned)
    assert rebuild(describe(turned)).rise("I2") == -rebuild(describe(BUOY)).rise("I2")


def test_no_current_is_given_away() -> None:
    """A description holds the givens only: no value of a branch current, no power."""
    numbers = [line for line in describe(BUOY).splitlines() if " A" in line or " W" in line]
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
