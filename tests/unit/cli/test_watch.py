"""Long work is bounded, stopped at once when asked, and leaves nothing half written."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from loopwright.cli.main import main
from loopwright.cli.watch import TellProgress, watched
from loopwright.errors import BrokenPromise, FaultyMaterial
from loopwright.findings import Finding
from tests.architecture.source import ROOT
from tests.wide_circuits import cube, ladder


def test_what_is_made_comes_back() -> None:
    assert watched(lambda _: [b"one", "two"], 60) == [b"one", "two"]


def test_a_finding_comes_back_as_it_was() -> None:
    fault = Finding("a/b", "Something is wrong.", "Mend it.")

    def work(_: TellProgress) -> None:
        raise FaultyMaterial(fault)

    with pytest.raises(FaultyMaterial) as raised:
        watched(work, 60)
    assert raised.value.findings == (fault,)


def test_a_broken_promise_comes_back() -> None:
    def work(_: TellProgress) -> None:
        raise BrokenPromise("one is two")

    with pytest.raises(BrokenPromise, match="one is two"):
        watched(work, 60)


def test_work_that_dies_is_told() -> None:
    with pytest.raises(BrokenPromise, match="without a result"):
        watched(lambda _: os._exit(1), 60)


def test_too_long_a_work_is_given_up_with_a_finding_that_says_where_it_was() -> None:
    def work(tell: TellProgress) -> None:
        tell("limits")
        time.sleep(60)

    begun = time.monotonic()
    with pytest.raises(
        FaultyMaterial, match=r"after 0\.6 seconds \(it was at: limits\); nothing was written"
    ):
        watched(work, 0.6)
    assert time.monotonic() - begun < 20


def test_the_time_allowed_can_be_stated(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("long.toml").write_text(cube(5))
    assert main(["sheet", "long.toml", "--longest", "0.1"]) == 1
    assert "--longest SECONDS" in capsys.readouterr().err
    assert [p.name for p in tmp_path.iterdir()] == ["long.toml"]
    with pytest.raises(SystemExit):
        main(["sheet", "long.toml", "--longest", "soon"])


@pytest.mark.parametrize(
    ("text", "stop", "status", "said"),
    [
        (cube(5), signal.SIGINT, 130, b"Stopped; nothing was left half written.\n"),
        (ladder(12), signal.SIGINT, 130, b"Stopped; nothing was left half written.\n"),
        (cube(5), signal.SIGTERM, 143, b""),
    ],
    ids=["cube", "ladder", "cube, terminated"],
)
def test_a_big_sheet_is_stopped_at_once_and_nothing_is_left(
    tmp_path: Path, text: str, stop: signal.Signals, status: int, said: bytes
) -> None:
    (tmp_path / "big.toml").write_text(text)
    arguments = [sys.executable, "-m", "loopwright", "sheet", "big.toml", "--as", "html", "--as", "md"]
    with subprocess.Popen(
        arguments,
        cwd=tmp_path,
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        start_new_session=True,
    ) as process:
        deadline = time.monotonic() + 60
        while not (children := _children(process.pid)) and time.monotonic() < deadline:
            time.sleep(0.01)
        asked = time.monotonic()
        if stop is signal.SIGINT:
            os.killpg(process.pid, stop)  # as a terminal does: to all in the foreground
        else:
            process.send_signal(stop)
        out, err = process.communicate(timeout=60)
    assert process.returncode == status
    assert time.monotonic() - asked < 10
    assert (out, err) == (b"", said)
    assert [p.name for p in tmp_path.iterdir()] == ["big.toml"]
    assert not any(Path(f"/proc/{child}").exists() for child in children)


FLOOD = """
from loopwright.cli.watch import streamed

def work(tell):
    while True:
        yield bytes(100_000)

for made in streamed(work, 60):
    import time; time.sleep(60)
"""


def test_whoever_is_killed_leaves_no_work_behind() -> None:
    """The child sends more than anybody takes; once its parent is gone it must not wait for ever."""
    with subprocess.Popen(
        [sys.executable, "-c", FLOOD], env={**os.environ, "PYTHONPATH": str(ROOT / "src")}
    ) as process:
        deadline = time.monotonic() + 60
        while not (children := _children(process.pid)) and time.monotonic() < deadline:
            time.sleep(0.01)
        time.sleep(0.5)  # until the line between the two is full
        process.kill()
    (child,) = children
    deadline = time.monotonic() + 20
    while _lives(child) and time.monotonic() < deadline:
        time.sleep(0.05)
    assert not _lives(child)


def _lives(process: int) -> bool:
    try:
        return ") Z " not in Path(f"/proc/{process}/stat").read_text()
    except OSError:
        return False


def _children(parent: int) -> list[int]:
    try:
        return [int(n) for n in Path(f"/proc/{parent}/task/{parent}/children").read_text().split()]
    except OSError:
        return []


def test_progress_is_told_on_a_terminal_alone(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def work(tell: TellProgress) -> int:
        tell("derivation")
        time.sleep(1.2)
        return 1

    monkeypatch.setattr("loopwright.cli.watch.QUIET", 0.0)
    assert watched(work, 60) == 1
    assert capsys.readouterr().err == ""
    monkeypatch.setattr(sys.stderr, "isatty", lambda: True)
    assert watched(work, 60) == 1
    told = capsys.readouterr().err
    assert "derivation, " in told
    assert told.endswith("\r\x1b[K")
