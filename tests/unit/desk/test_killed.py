"""A desk that is killed at any moment loses nothing that it acknowledged, and leaves nothing running."""

from __future__ import annotations

import http.client
import itertools
import os
import random
import signal
import socket
import threading
import time
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from loopwright.desk.folder import PaperFolder, version_of
from tests.open_desk import open_desk
from tests.sample_circuits import CHARGE_OR_HELP
from tests.wide_circuits import cube


def texts(before: str, first: int) -> Iterator[str]:
    """What an edit by script writes, one after another: each third text is taken back and done again."""
    for number in itertools.count(first):
        text = f"# {number}\n" * 300
        yield text
        if number % 3 == 0:
            yield before
            yield text
        before = text


def edit(place: Path, first: int) -> Iterator[str]:
    """The same by writing, undo and redo; the version after each, once it is acknowledged."""
    papers = PaperFolder(place)
    papers.tidy()
    opened = papers.open("bus")
    for number in itertools.count(first):
        opened = papers.write("bus", opened.version, f"# {number}\n" * 300)
        yield opened.version
        if number % 3 == 0:
            for step in (papers.undo, papers.redo):
                opened = step("bus", opened.version)
                yield opened.version


def acknowledged(place: Path, first: int, moment: float) -> list[str]:
    """The versions that a process of its own told before it was killed, so many seconds after its first."""
    end, told = os.pipe()
    editor = os.fork()
    if editor == 0:
        try:
            for version in edit(place, first):
                os.write(told, version.encode() + b"\n")
        finally:
            os._exit(1)
    os.close(told)
    with os.fdopen(end) as lines:
        versions = [lines.readline().strip()]
        time.sleep(moment)
        os.kill(editor, signal.SIGKILL)
        os.waitpid(editor, 0)
        return versions + [line.strip() for line in lines if line.endswith("\n")]


@pytest.mark.slow
def test_fifty_kills_at_any_moment_lose_nothing_that_was_acknowledged(tmp_path: Path) -> None:
    text = CHARGE_OR_HELP
    (tmp_path / "bus.toml").write_text(text)
    chance = random.Random(11)
    for kill in range(50):
        versions = acknowledged(tmp_path, 1000 * kill, chance.uniform(0, 0.04))
        written = list(itertools.islice(texts(text, 1000 * kill), len(versions) + 1))
        assert [version_of(known.encode()) for known in written[:-1]] == versions
        papers = PaperFolder(tmp_path)
        opened = papers.open("bus")
        assert opened.text in written[-2:]  # the last one acknowledged, or one more that was not yet told
        assert papers.state("bus", versions[-1]) == written[-2]
        text = opened.text


@pytest.mark.slow
def test_the_command_killed_amid_an_edit_keeps_what_it_said_and_leaves_no_process(tmp_path: Path) -> None:
    (tmp_path / "bus.toml").write_text(CHARGE_OR_HELP)
    with open_desk(tmp_path) as desk:
        opened = desk.get("/papers/bus")[1]
        group = _children(desk.process.pid)
        threading.Timer(0.2, desk.process.kill).start()
        with suppress(http.client.HTTPException, OSError):
            while True:
                edits = [{"do": "text", "text": opened["text"] + "#\n"}]
                opened = desk.post("/papers/bus/edits", {"version": opened["version"], "edits": edits})[1]
    assert (tmp_path / "bus.toml").read_text() in (opened["text"], opened["text"] + "#\n")
    assert PaperFolder(tmp_path).state("bus", opened["version"]) == opened["text"]
    assert group
    assert _gone(group)


@pytest.mark.slow
@pytest.mark.parametrize("stop", [signal.SIGINT, signal.SIGTERM])
def test_a_desk_that_is_stopped_amid_its_work_ends_well_and_leaves_no_process(
    tmp_path: Path, stop: signal.Signals
) -> None:
    (tmp_path / "wide.toml").write_text(cube(5))
    with open_desk(tmp_path) as desk, socket.create_connection(("127.0.0.1", desk.port)) as waiting:
        version = desk.get("/papers/wide")[1]["version"]
        head = f"GET /papers/wide/proved?version={version} HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\n"
        waiting.sendall(f"{head}Cookie: {desk.cookie}\r\n\r\n".encode())
        time.sleep(0.5)
        group = _children(desk.process.pid)
        assert desk.stop(stop) == 0
        assert desk.process.stderr is not None
        assert desk.process.stderr.read() == "The desk is closed.\n"
    assert group
    assert _gone(group)


def _children(parent: int) -> set[int]:
    """The processes that one started, and theirs."""
    found = {int(n) for n in Path(f"/proc/{parent}/task/{parent}/children").read_text().split()}
    return found.union(*map(_children, found))


def _gone(processes: set[int]) -> bool:
    """Whether all have ended, within a while."""
    end = time.monotonic() + 10
    while time.monotonic() < end:
        if not any(_runs(process) for process in processes):
            return True
        time.sleep(0.02)
    return False


def _runs(process: int) -> bool:
    try:
        return Path(f"/proc/{process}/stat").read_text().rsplit(")", 1)[1].split()[0] != "Z"
    except OSError:
        return False
