"""The laws as lines: what follows from the others, which loops are usual, what elements fix."""

from __future__ import annotations

from loopwright.laws.laws import laws
from loopwright.show.law_lines import law_lines, loop_line
from tests.sample_circuits import CHARGE_OR_HELP, OPEN_SWITCH, circuit_of


def test_every_equation_has_its_line_and_the_last_says_which_are_enough() -> None:
    assert law_lines(laws(circuit_of(CHARGE_OR_HELP))) == [
        "Junctions",
        "  rail: Ib + Ih = Ic   (follows from the others)",
        "  bus: Ic = Ib + Ih",
        "Loops",
        "* rail Ic E1 R1 bus Ih Rh: E1 − Ic R1 − Ih Rh = 0",
        "  rail Ic E1 R1 bus Ib R2 E2: E1 − Ic R1 − Ib R2 − E2 = 0",
        "* rail Ib E2 R2 bus Ih Rh: E2 + Ib R2 − Ih Rh = 0",
        "3 currents: 1 junction + 2 loop equations (loops marked *) are enough.",
    ]


def test_a_current_that_an_element_fixes_is_told() -> None:
    assert "  I3 is fixed: I3 = 0" in law_lines(laws(circuit_of(OPEN_SWITCH)))


def test_a_loop_is_told_by_what_is_met_on_the_way() -> None:
    known = laws(circuit_of(CHARGE_OR_HELP))
    line = loop_line(known.circuit, known.loop("E2", "E1"))
    assert line == "bus Ib R2 E2 rail Ic E1 R1: −Ib R2 − E2 + E1 − Ic R1 = 0"
