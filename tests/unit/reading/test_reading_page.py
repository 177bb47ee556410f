"""The page on reading tells every verdict and every sense of truth."""

from pathlib import Path

import pytest

from loopwright.reading.verdicts import ClaimKind, Truth

PAGE = (Path(__file__).parents[3] / "docs/reading.md").read_text("utf-8")


@pytest.mark.parametrize("word", [*ClaimKind, *(t for t in Truth if t is not Truth.NO)])
def test_every_verdict_and_sense_has_its_row(word: str) -> None:
    assert f"\n| {word} |" in PAGE
