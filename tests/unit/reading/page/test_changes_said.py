"""Which changed circuit a line speaks of, as people say it. Common practice, no source."""

from __future__ import annotations

import pytest

from loopwright.reading.page.lines import working
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS, circuit_of

CIRCUIT = circuit_of(CHARGE_OR_HELP_IN_NUMBERS)


def settings(text: str) -> list[str]:
    return [line.setting.words for line in working(text, CIRCUIT).lines]


@pytest.mark.parametrize(
    "line",
    [
        "E1 alone:",
        "only E1",
        "With E2 shorted",
        "E1 acting on its own",
        "E1 only (E2 replaced by a wire):",
        "The effect of E1:",
        "due to E1 alone",
        "E2 off.",
        "Set E2 = 0:",
        "E2 = 0:",
        "E1 only, E2 = 0",
        "the 23 V battery alone",
        "second source off",
        "Short out E2.",
        "nur E1:",
        "E2 kurzgeschlossen:",
        "E2 durch Kurzschluss ersetzt:",
        "E1 seule, E2 en court-circuit :",
        "solo E1 (E2 en cortocircuito):",
    ],
)
def test_one_source_alone_is_said_in_many_ways(line: str) -> None:
    assert settings(line) == ["with E2 at zero"]


@pytest.mark.parametrize(
    "line",
    [
        "Rh out:",
        "Take Rh out and look into bus, rail.",
        "Remove the load Rh.",
        "without Rh",
        "ohne Rh:",
        "sans Rh :",
        "sin Rh:",
        "Rh entfernt:",
    ],
)
def test_a_resistor_taken_out_is_said_in_many_ways(line: str) -> None:
    assert settings(line) == ["without Rh"]


@pytest.mark.parametrize("line", ["E1 = E2 = 0:", "Set E1 = 0 and E2 = 0", "with E1, E2 = 0"])
def test_sources_set_to_zero_together_claim_nothing(line: str) -> None:
    assert not working(f"Rh out\n{line}", CIRCUIT).lines[1].claims
    assert settings(f"Rh out\n{line}")[1:] == ["without Rh"]


def test_a_load_is_out_where_the_rest_is_seen() -> None:
    assert settings("Rh is the load\nRth = 12/7 ohm")[:1] == ["without Rh"]
    assert settings("Rh is the load\nIh = 3 A") == ["", ""]


@pytest.mark.parametrize("line", ["Together:", "Sum", "now add the parts", "Superposing:", "put Rh back:"])
def test_parts_put_together_are_of_the_circuit_as_drawn(line: str) -> None:
    assert settings(f"E1 alone:\nIc = 2 A\n{line}\nIc = 3 A")[1:] == ["with E2 at zero", "", ""]


def test_what_is_said_behind_a_claim_holds_for_it_alone() -> None:
    assert settings("Ic' = 2 A (E1 alone)\nIc = 3 A") == ["with E2 at zero", ""]


def test_sources_all_at_rest_leave_out_what_is_out() -> None:
    assert settings("Rh out:\nE1 and E2 shorted: Rth = R1 R2/(R1 + R2)") == ["without Rh", "without Rh"]


@pytest.mark.parametrize("line", ["R1 and R2 in series: 4 + 3 = 7 ohm", "Total R = 4 + 3", "Ih = 3 A down"])
def test_other_lines_change_nothing(line: str) -> None:
    assert settings(line) == [""]


def test_a_letter_behind_a_current_is_no_unit_of_it() -> None:
    line = working("E1 alone: Ica = 2 A\nIcb = 2a", CIRCUIT).lines[1]
    assert (str(line.claims[0].written.left), line.notes) == (
        "Symbol(name='Icb')",
        ('"a" after a number is read as A',),
    )
