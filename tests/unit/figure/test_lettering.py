"""How wide letters are taken to be."""

from __future__ import annotations

import pytest

from loopwright.expressions.nodes import Symbol
from loopwright.figure.drawing import Run
from loopwright.figure.lettering import run_width, tidy_number, value_runs
from tests.unit.transients.sample_transients import LAMP, circuit_of


@pytest.mark.parametrize("letter", [*"ℰIRVCL0123456789Ωkµ=−.()", " "])
def test_every_letter_takes_room(letter: str) -> None:
    assert 0.2 < run_width(Run(letter), 2.7) < 4.0


@pytest.mark.parametrize(
    ("written", "shown"),
    [
        ("47 ohm", "47 Ω"),
        ("4k7", "4.7 kΩ"),
        ("4.7e3 V", "4.7 kV"),
        ("1.5e-3 kohm", "1.5 Ω"),
        ("3e2 A", "300 A"),
    ],
)
def test_a_number_is_shown_with_a_prefix_and_no_power_of_ten(written: str, shown: str) -> None:
    assert tidy_number(written) == shown


def test_a_switch_that_moves_more_than_twice_has_its_times_alone_beside_it() -> None:
    moves = '["open -> closed", "closed -> open at 30 ms", "open -> closed at 60 ms"]'
    text = LAMP.replace('"open -> closed"', moves)
    told = "".join(run.text for run in value_runs(circuit_of(text), Symbol("S1"), "S1"))
    assert told.startswith("moves at t = 0, t")
    assert "closes" not in told
