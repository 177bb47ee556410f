"""`loopwright plot` as a person types it."""

from __future__ import annotations

from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bus.toml").write_text(CHARGE_OR_HELP_IN_NUMBERS)
    return tmp_path


def run(*arguments: str) -> int:
    return main(["plot", "bus.toml", *arguments])


def test_a_plot_is_written_beside_by_the_name_of_the_problem(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run("P(Rh) against Rh") == 0
    assert capsys.readouterr().out == "bus-plot.svg\n"
    assert (here / "bus-plot.svg").read_text().startswith("<svg ")


@pytest.mark.parametrize(
    ("name", "start"), [("out.svg", "<svg "), ("out.csv", "Rh/Ω"), ("out.txt", "Ib against")]
)
def test_the_ending_of_the_file_named_tells_the_form(here: Path, name: str, start: str) -> None:
    assert run("Ib against Rh", "-o", name) == 0
    assert (here / name).read_text().startswith(start)


def test_words_go_to_the_terminal(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("Ib against Rh", "--as", "say") == 0
    assert "turns over at Rh = 14.4 Ω" in capsys.readouterr().out


def test_points_go_to_standard_output_where_asked(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("Ib against Rh", "--as", "csv", "-o", "-") == 0
    assert "14.4,0,reversal" in capsys.readouterr().out


def test_what_cannot_be_plotted_is_told_in_words(here: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run("Ib against R9") == 1
    assert "this circuit has no value R9" in capsys.readouterr().err
