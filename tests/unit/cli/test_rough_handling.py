"""Streams of any encoding or none, bytes that are no text, signs that steer a terminal, links and umasks."""

from __future__ import annotations

import io
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

import loopwright
from loopwright.cli import many_workings
from loopwright.cli.main import main
from loopwright.legible import MARK, legible, legible_line
from loopwright.whole_files import LEFTOVER, write
from tests.sample_circuits import CHARGE_OR_HELP, CHARGE_OR_HELP_IN_NUMBERS

SOURCE = Path(loopwright.__file__).parents[1]
OVERRIDE = "\N{RIGHT-TO-LEFT OVERRIDE}"
STEERING = f"Night\x1b[2J watch{OVERRIDE}yad"
TITLED = f'title = "Night\\u001b[2J watch\\u202Eyad"\n{CHARGE_OR_HELP}'


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "buoy.toml").write_text(CHARGE_OR_HELP_IN_NUMBERS)
    (tmp_path / "titled.toml").write_text(TITLED)
    return tmp_path


def in_a_process(folder: Path, command: str, **also: str) -> subprocess.CompletedProcess[bytes]:
    """A command line as a shell runs it, in the folder; `loopwright` stands for this one."""
    line = command.replace("loopwright", f"'{sys.executable}' -m loopwright")
    surroundings = {**os.environ, "PYTHONPATH": str(SOURCE), **also}
    return subprocess.run(line, shell=True, cwd=folder, env=surroundings, capture_output=True, check=False)


# -- streams ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_a_console_of_any_encoding_is_written_to(here: Path, encoding: str) -> None:
    ended = in_a_process(here, "loopwright sheet buoy.toml --as say -o -", PYTHONIOENCODING=encoding)
    assert ended.returncode == 0
    assert ended.stdout.decode(encoding)
    ended = in_a_process(here, "loopwright limits buoy.toml", PYTHONIOENCODING=encoding)
    assert (" −" if encoding == "utf-8" else " -") in ended.stdout.decode(encoding)


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_standard_streams_end_in_no_traceback(here: Path, closed: str) -> None:
    ended = in_a_process(here, f"loopwright limits buoy.toml {closed}")
    assert ended.returncode == (1 if ">&-" in closed.replace("2>&-", "") else 0)
    assert b"Traceback" not in ended.stderr
    assert b"Exception" not in ended.stderr


def test_a_full_disk_is_told(here: Path) -> None:
    if not Path("/dev/full").exists():
        pytest.skip("this system has no device that is always full")
    ended = in_a_process(here, "loopwright limits buoy.toml > /dev/full")
    assert ended.returncode == 1
    assert ended.stderr.startswith(b"The system would not do it: ")
    assert ended.stderr.count(b"\n") == 1


@pytest.mark.parametrize("arguments", ["sheet -", "limits -", "read buoy.toml -"])
def test_bytes_that_are_no_text_on_standard_input_are_told(
    here: Path, arguments: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b'title = "a"\n\xff\xfe')))
    assert main(arguments.split()) == 1
    assert "not UTF-8 text. Save it again as UTF-8." in capsys.readouterr().err


def test_a_hundred_thousand_brackets_are_a_fault_of_the_file(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    for opening in ("[", "{a=", "[[", "{a=["):
        Path("deep.toml").write_text(f"title = 'x'\nfind = {opening * 100_000}\n{CHARGE_OR_HELP}")
        assert main(["limits", "deep.toml"]) == 1
        assert "deep.toml, line 2: brackets stand within brackets too deep" in capsys.readouterr().err


# -- signs that are not for reading ----------------------------------------------------------------


def test_signs_that_steer_are_made_visible_and_others_stay() -> None:
    assert legible(STEERING) == f"Night{MARK}[2J watch{MARK}yad"
    assert legible("a\tb\nR₁ → 4.7 kΩ é ﬁ 中") == "a\tb\nR₁ → 4.7 kΩ é ﬁ 中"
    assert legible_line("one\ntwo\x1b") == f"one two{MARK}"


@pytest.mark.parametrize("form", ["html", "pdf", "tex", "md", "say"])
def test_a_title_steers_no_page_and_no_terminal(
    here: Path, form: str, capfdbinary: pytest.CaptureFixture[bytes]
) -> None:
    assert main(["sheet", "titled.toml", "--as", form, "-o", "-"]) == 0
    told = capfdbinary.readouterr().out
    assert form not in ("html", "md") or MARK in told.decode()
    for sign in (OVERRIDE, "\x1b[2J"):
        assert sign.encode() not in told


def test_names_of_files_workings_and_keys_steer_no_terminal(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    name = f"a{OVERRIDE}\x1b[2Jb"
    (here / f"{name}.toml").write_text(f'{CHARGE_OR_HELP}"{"x" + OVERRIDE}" = "a, R, b"\n')
    (here / f"{name}.txt").write_text(f"I1 = 7 {STEERING}\n")
    assert main(["sheet", f"{name}.toml"]) == 1
    assert main(["read", "buoy.toml", f"{name}.txt", "missing\udcff.txt"]) == 1
    assert main(["read", "buoy.toml", f"{name}.txt", "--as", "json"]) == 0
    assert main(["sheet", "buoy.toml", "-o", f"{name}.md"]) == 0
    told = capsys.readouterr()
    assert MARK in told.out
    assert MARK in told.err
    assert not {OVERRIDE, "\x1b", "\udcff"} & set(told.out + told.err)


def test_a_figure_carries_no_override(here: Path) -> None:
    assert main(["figure", "titled.toml"]) == 0
    assert OVERRIDE not in (here / "titled.svg").read_text()


# -- files -----------------------------------------------------------------------------------------


def test_a_new_file_gets_the_permissions_of_the_umask_and_an_old_one_keeps_its_own(tmp_path: Path) -> None:
    usual = os.umask(0o027)
    try:
        write(tmp_path / "new.md", "one")
        (tmp_path / "old.md").touch(mode=0o600)
        write(tmp_path / "old.md", "one")
    finally:
        os.umask(usual)
    assert (tmp_path / "new.md").stat().st_mode & 0o777 == 0o640
    assert (tmp_path / "old.md").stat().st_mode & 0o777 == 0o600


def test_a_link_is_written_through_and_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "there").mkdir()
    (tmp_path / "link.md").symlink_to("there/sheet.md")
    for content in ("first", "second"):
        write(tmp_path / "link.md", content)
        assert (tmp_path / "link.md").is_symlink()
        assert (tmp_path / "there/sheet.md").read_text() == content
    assert [p.name for p in (tmp_path / "there").iterdir()] == ["sheet.md"]


def test_a_device_is_written_into_and_stays_a_device() -> None:
    write(Path(os.devnull), "nothing")
    assert not Path(os.devnull).is_file()


# -- bounds and places -----------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("command", "worked"),
    [
        ("sheet", "sheet"),
        ("limits", "solve"),
        ("loops", "laws"),
        ("slips", "slip_table"),
        ("figure", "draw"),
    ],
)
def test_every_command_gives_up_after_the_time_allowed(
    here: Path,
    command: str,
    worked: str,
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    monkeypatch.setattr(f"loopwright.cli.{command}_command.{worked}", lambda *_, **__: time.sleep(60))
    begun = time.monotonic()
    assert main([command, "buoy.toml", "--longest", "0.01"]) == 1
    assert "given up after 0.01 seconds" in capsys.readouterr().err
    assert time.monotonic() - begun < 20


def test_a_working_that_takes_too_long_costs_no_other(
    here: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    usual = many_workings._made

    def slow(
        job: many_workings.Job, source: many_workings.WorkingSource, before: object
    ) -> many_workings.WorkingOutcome:
        if source.name == "slow.txt":
            time.sleep(60)
        return usual(job, source, {})

    monkeypatch.setattr(many_workings, "_made", slow)
    for name in ("first", "slow", "last"):
        Path(f"{name}.txt").write_text("I1 + I2 = I3\n")
    assert main(["read", "buoy.toml", "first.txt", "slow.txt", "last.txt", "--longest", "4"]) == 1
    told = capsys.readouterr()
    assert "slow.txt: The work was given up after 4 seconds" in told.err
    assert "2 of 3 right in every line" in told.out


def test_a_circuit_without_one_answer_is_told_with_file_and_line(
    here: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    Path("shorted.toml").write_text('\n[branches]\nI1 = "a, +E1, b"\nI2 = "a, b"\nI3 = "a, R1, b"\n')
    for command in ("sheet", "limits"):
        assert main([command, "shorted.toml"]) == 1
        assert capsys.readouterr().err.startswith("shorted.toml, line 3, branches.I1: battery E1 is shorted")


# -- a disk without room ---------------------------------------------------------------------------


def test_a_disk_without_room_is_told_leaves_nothing_half_and_the_same_again_goes_on(here: Path) -> None:
    (here / "roster.csv").write_text("student\n1\n2\n")
    papers = "loopwright papers buoy.toml --roster roster.csv --as html -o week5 --jobs 1"
    for command, left in ((papers, "week5"), ("loopwright items buoy.toml --kinds choice -o quiz.zip", "")):
        ended = in_a_process(here, f"ulimit -f 8; {command}")  # no file may be longer than some kilobytes
        assert ended.returncode == 1
        assert b"The system would not do it: File too large" in ended.stderr
        assert b"Traceback" not in ended.stderr
        written = [path for path in (here / left).rglob("*") if path.is_file()] if left else []
        assert {path.name for path in written} <= {"made.txt", "answers.csv", "who.csv", "problems.csv"}
    assert not (here / "quiz.zip").exists()
    assert not list(here.rglob(f"{LEFTOVER}*"))
    assert in_a_process(here, papers).returncode == 0
    assert len(list((here / "week5" / "keys").iterdir())) == 2
