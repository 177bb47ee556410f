"""How wide letters are taken to be."""

from __future__ import annotations

import pytest

from loopwright.figure.drawing import Run
from loopwright.figure.lettering import run_width


@pytest.mark.parametrize("letter", [*"ℰIRVCL0123456789Ωkµ=−.()", " "])
def test_every_letter_takes_room(letter: str) -> None:
    assert 0.2 < run_width(Run(letter), 2.7) < 4.0
