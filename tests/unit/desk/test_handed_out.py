"""What goes out of a paper: plain values, no web."""

from pathlib import Path

import pytest

from loopwright.desk.handed_out import handed_out
from loopwright.errors import FaultyMaterial

TEXT = Path("examples/charge-or-help.toml").read_text()


@pytest.mark.parametrize(
    ("form", "begins", "ending"),
    [
        ("toml", b'title = "Charge or help"', ".toml"),
        ("svg", b"<svg ", ".svg"),
        ("png", b"\x89PNG", ".png"),
        ("picture", b"{\\setlength", ".tex"),
        ("formulas", b"\\[ I_{\\mathrm{c}}", ".tex"),
        ("html", b"<!DOCTYPE html>", ".html"),
    ],
)
def test_a_paper_goes_out_in_every_form(form: str, begins: bytes, ending: str) -> None:
    content, told = handed_out(TEXT, form, "problem" if form == "html" else "")
    assert content.startswith(begins)
    assert told == ending


def test_a_form_that_there_is_not_is_refused_in_words() -> None:
    with pytest.raises(FaultyMaterial) as caught:
        handed_out(TEXT, "bmp")
    assert caught.value.findings[0].code == "desk/no-such-form"
