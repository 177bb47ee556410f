"""`loopwright board`: the page, the script, how long it takes, and what is wrong with the command line."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from loopwright.board.outputs import OUTPUTS
from loopwright.board.plan import board
from loopwright.board.timeline import mark_of
from loopwright.cli.main import main
from loopwright.cli.options import BOARD_FORMS, BOARD_OUTPUTS
from loopwright.problem.problem_file import read
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
    assert main(["board", str(bus), "--make", "script", "-o", str(words)]) == 0
    assert "Which way do you expect I sub b to run?" in words.read_text(encoding="utf-8")
    assert (tmp_path / "words-figure.svg").exists()


def test_a_method_that_does_not_serve_is_told(bus: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["board", str(bus), "--method", "series and parallel", "-o", "-"]) == 1
    assert "does not serve here" in capsys.readouterr().err


def test_the_command_line_names_what_is_made_in_which_forms() -> None:
    assert tuple(OUTPUTS) == BOARD_OUTPUTS
    assert {form for output in OUTPUTS.values() for form in output.forms} == set(BOARD_FORMS)


def test_a_handout_leaves_empty_what_the_command_line_or_the_file_names(bus: Path, tmp_path: Path) -> None:
    made = tmp_path / "bus.md"
    assert main(["board", str(bus), "--make", "handout", "-o", str(made), "--gaps", "1, results"]) == 0
    assert "(1)" in made.read_text(encoding="utf-8")
    assert r"\tag{2}" in made.read_text(encoding="utf-8")
    bus.write_text(bus.read_text(encoding="utf-8") + "gaps = [2]\n", encoding="utf-8")
    assert main(["board", str(bus), "--make", "handout", "-o", str(made)]) == 0
    assert r"\tag{1}" in made.read_text(encoding="utf-8")
    assert r"\tag{2}" not in made.read_text(encoding="utf-8")


def test_a_form_that_there_is_not_is_refused_before_anything_is_worked(
    bus: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["board", str(bus), "--make", "slides", "-o", "x.png"]) == 1
    assert capsys.readouterr().err.strip() == "--make slides gives no png. Write --as pdf."


def test_captions_follow_a_run_and_say_what_was_hurried(
    bus: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    plan = board(read(bus))
    times = tmp_path / "times.json"
    times.write_text(
        json.dumps({"mark": mark_of(plan), "shown": [[0, 1], [40, 2], [41, 3]], "seconds": 60}),
        encoding="utf-8",
    )
    assert (
        main(["board", str(bus), "--make", "captions", "--timed", str(times), "-o", str(tmp_path / "a.vtt")])
        == 0
    )
    told = capsys.readouterr()
    assert [Path(line).name for line in told.out.split()] == ["a.vtt", "a-chapters.vtt"]
    assert "less than a third of the time its words take: stage 2." in told.err
    assert "00:00:40.000 --> " in (tmp_path / "a.vtt").read_text(encoding="utf-8")
    assert main(["board", str(bus), "--timed", str(tmp_path / "none.json")]) == 1
    assert "none.json" in capsys.readouterr().err
