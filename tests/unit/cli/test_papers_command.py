"""`loopwright papers`: what it writes, says and refuses."""

from __future__ import annotations

import hashlib
from pathlib import Path

import pytest

from loopwright.cli.main import main
from tests.sample_circuits import CHARGE_OR_HELP_IN_NUMBERS


@pytest.fixture
def bus(tmp_path: Path) -> Path:
    file = tmp_path / "bus.toml"
    file.write_text('title = "Bus"\n' + CHARGE_OR_HELP_IN_NUMBERS)
    return file


@pytest.fixture
def roster(tmp_path: Path) -> Path:
    file = tmp_path / "week5.csv"
    file.write_text("student,name\n1001,Ada Harbour\n1002,Ben Mole\n")
    return file


def test_a_set_is_written_and_a_second_run_adds_what_is_missing(
    bus: Path, roster: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    folder = tmp_path / "out"
    command = ["papers", str(bus), str(bus), "--roster", str(roster), "-o", str(folder), "--as", "html"]
    assert main([*command, "--title", "Week five", "--points", "8", "6"]) == 0
    assert "2 papers with keys; files written: 8." in capsys.readouterr().out
    for line in (folder / "made.txt").read_text().splitlines()[1:]:
        digest, name = line.split("  ")
        assert hashlib.sha256((folder / name).read_bytes()).hexdigest() == digest
    page = next((folder / "papers").iterdir())
    first = page.read_text("utf-8")
    assert "Ada Harbour" in first or "Ben Mole" in first
    page.unlink()
    assert main([*command, "--title", "Week five", "--points", "8", "6", "--jobs", "1"]) == 0
    assert "files written: 1, standing there already: 7." in capsys.readouterr().out
    assert page.read_text("utf-8") == first


def test_a_bad_roster_is_told_with_its_line_and_nothing_is_written(
    bus: Path, roster: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    roster.write_text("student,name,born\n1,=Ada,\n1,Ben,\n")
    assert main(["papers", str(bus), "--roster", str(roster), "-o", str(tmp_path / "out")]) == 1
    told = capsys.readouterr().err
    assert "week5.csv, line 2" in told
    assert "formula" in told
    assert not (tmp_path / "out").exists()


@pytest.mark.parametrize("more", [[], ["-o", "-"], ["-o", "out", "--points", "1", "2"]])
def test_a_folder_and_points_for_each_problem_are_asked_for(
    more: list[str], bus: Path, roster: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["papers", str(bus), "--roster", str(roster), *more]) == 2
    assert capsys.readouterr().err


def test_a_place_that_cannot_be_written_is_told(
    bus: Path, roster: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / "out").write_text("a file in the way")
    command = ["papers", str(bus), "--roster", str(roster), "-o", str(tmp_path / "out"), "--as", "md"]
    assert main(command) == 1
    assert "The system would not do it" in capsys.readouterr().err


def test_a_problem_with_versions_of_its_own_gives_each_student_another(
    bus: Path, roster: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bus.write_text(bus.read_text() + '[versions]\nR1 = "4 to 9 ohm"\nRh = "4 to 9 ohm"\n')
    folder = tmp_path / "out"
    command = ["papers", str(bus), "--roster", str(roster), "-o", str(folder), "--as", "html"]
    assert main([*command, "--jobs", "2"]) == 0
    assert "2 papers with keys; files written: 8." in capsys.readouterr().out
    rows = (folder / "answers.csv").read_text("utf-8").splitlines()[1:]
    assert len({row.split(",", 1)[0] for row in rows}) == 2
    assert len({row.split(",", 1)[1] for row in rows}) == len(rows)
