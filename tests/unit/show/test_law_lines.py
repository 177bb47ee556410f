"""The laws as lines: what follows from the others, which loops are usual, what elements fix."""

from __future__ import annotations

from loopwright.laws.laws import laws
from loopwright.show.law_lines import law_lines, loop_line
from tests.sample_circuits import OPEN_SWITCH, TWO_BATTERIES, circuit_of


def test_every_equation_has_its_line_and_the_last_says_which_are_enough() -> None:
    assert law_lines(laws(circuit_of(TWO_BATTERIES))) == [
        "Junctions",
        "  foot: I3 = I1 + I2   (follows from the others)",
        "  top: I1 + I2 = I3",
        "Loops",
        "* foot I1 E1 R1 top I3 R3: E1 − I1 R1 − I3 R3 = 0",
        "  foot I1 E1 R1 top I2 R2 E2: E1 − I1 R1 + I2 R2 − E2 = 0",
        "* foot I2 E2 R2 top I3 R3: E2 − I2 R2 − I3 R3 = 0",
        "3 currents: 1 junction + 2 loop equations (loops marked *) are enough.",
    ]


def test_a_current_that_an_element_fixes_is_told() -> None:
    assert "  I3 is fixed: I3 = 0" in law_lines(laws(circuit_of(OPEN_SWITCH)))


def test_a_loop_is_told_by_what_is_met_on_the_way() -> None:
    known = laws(circuit_of(TWO_BATTERIES))
    line = loop_line(known.circuit, known.loop("E2", "E1"))
    assert line == "top I2 R2 E2 foot I1 E1 R1: I2 R2 − E2 + E1 − I1 R1 = 0"
