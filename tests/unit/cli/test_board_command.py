"""`loopwright board`: the page, the script, how long it takes, and what is wrong with the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@pytest.fixture
def bus(tmp_path: Path) -> Path:
    path = tmp_path / "bus.toml"
    path.write_text(CHARGE_OR_HELP_IN_NUMBERS + '[board]\nlook = "light"\nminutes = 0\n', encoding="utf-8")
    return path


def test_the_page_is_written_as_the_file_wishes_and_its_length_is_told(
    bus: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    page = tmp_path / "out.html"
    assert main(["board", str(bus), "-o", str(page)]) == 0
    told = capsys.readouterr()
    assert told.out.strip() == str(page)
    assert " minutes." in told.err
    assert "Left out" not in told.err
    assert 'data-look="light"' in page.read_text(encoding="utf-8")
    assert main(["board", str(bus), "-o", str(page), "--minutes", "8", "--look", "dark"]) == 0
    assert "Left out for the time: results in other forms" in capsys.readouterr().err
    assert 'data-look="dark"' in page.read_text(encoding="utf-8")


def test_the_script_is_written_in_the_form_asked_for(bus: Path, tmp_path: Path) -> None:
    words = tmp_path / "words.md"
    assert main(["board", str(bus), "--script", "md", "-o", str(words)]) == 0
    assert "Which way do you expect I sub b to run?" in words.read_text(encoding="utf-8")
    assert (tmp_path / "words-figure.svg").exists()


def test_a_method_that_does_not_serve_is_told(bus: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["board", str(bus), "--method", "series and parallel", "-o", "-"]) == 1
    assert "does not serve here" in capsys.readouterr().err
