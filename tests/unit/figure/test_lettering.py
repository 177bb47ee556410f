"""How wide letters are taken to be."""

from __future__ import annotations

import pytest

from loopwright.figure.drawing import Run
from loopwright.figure.lettering import run_width, tidy_number


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
