"""Two desks on one folder, and editors beside them: each sees what others do, and overwrites nobody."""

from __future__ import annotations

import json
import socket
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.open_desk import OpenDesk, open_desk
from tests.sample_circuits import CHARGE_OR_HELP


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    place = tmp_path_factory.mktemp("week")
    (place / "bus.toml").write_text(CHARGE_OR_HELP)
    return place


@pytest.fixture(scope="module")
def desks(place: Path) -> Iterator[tuple[OpenDesk, OpenDesk]]:
    with open_desk(place) as one, open_desk(place) as other:
        yield one, other


def events(desk: OpenDesk) -> Iterator[dict[str, Any]]:
    """What the desk tells of changes, as it comes."""
    with socket.create_connection(("127.0.0.1", desk.port), timeout=20) as stream:
        head = f"GET /events HTTP/1.1\r\nHost: 127.0.0.1:{desk.port}\r\nCookie: {desk.cookie}\r\n\r\n"
        stream.sendall(head.encode())
        for line in stream.makefile("rb"):
            if line.startswith(b"retry:"):
                yield {}
            if line.startswith(b"data: "):
                yield json.loads(line.removeprefix(b"data: "))


def change(desk: OpenDesk, version: str, text: str) -> tuple[int, Any]:
    return desk.post("/papers/bus/edits", {"version": version, "edits": [{"do": "text", "text": text}]})


@pytest.mark.slow
def test_a_change_behind_its_back_is_told_and_then_refused_to_be_overwritten(
    desks: tuple[OpenDesk, OpenDesk], place: Path
) -> None:
    desk = desks[0]
    before = desk.get("/papers/bus")[1]
    told = events(desk)
    assert next(told) == {}
    (place / "bus.toml").write_text(CHARGE_OR_HELP + "# theirs\n")
    event = next(each for each in told if each["version"] != before["version"])
    assert event["paper"] == "bus"
    assert event["version"] == desk.get("/papers/bus")[1]["version"] != before["version"]
    status, both = change(desk, before["version"], CHARGE_OR_HELP + "# mine\n")
    assert (status, both["version"]) == (409, event["version"])
    assert (both["theirs"], both["yours"]) == (CHARGE_OR_HELP + "# theirs\n", CHARGE_OR_HELP + "# mine\n")
    assert (place / "bus.toml").read_text() == CHARGE_OR_HELP + "# theirs\n"


@pytest.mark.slow
def test_what_one_desk_writes_the_other_tells(desks: tuple[OpenDesk, OpenDesk]) -> None:
    one, other = desks
    told = events(other)
    assert next(told) == {}
    status, written = change(one, one.get("/papers/bus")[1]["version"], CHARGE_OR_HELP + "# one\n")
    assert status == 200
    # What was written before this one began to listen may be told first; the stream ends the wait after 20 s.
    assert any(event["version"] == written["version"] for event in told)


@pytest.mark.slow
def test_of_two_who_change_one_version_at_a_time_one_is_written_and_one_is_told(
    desks: tuple[OpenDesk, OpenDesk], place: Path
) -> None:
    for number in range(12):
        version = desks[0].get("/papers/bus")[1]["version"]
        told: dict[str, tuple[int, Any]] = {}

        def write(desk: OpenDesk, who: str, version: str = version, told: dict[str, Any] = told) -> None:
            told[who] = change(desk, version, who)

        names = [f"# {number} from {who}\n" for who in ("one", "other")]
        writers = [threading.Thread(target=write, args=each) for each in zip(desks, names, strict=True)]
        for writer in writers:
            writer.start()
        for writer in writers:
            writer.join()
        kept = (place / "bus.toml").read_text()
        assert sorted(status for status, _ in told.values()) == [200, 409]
        assert told[kept][0] == 200
        (refused,) = (answer for status, answer in told.values() if status == 409)
        assert refused["theirs"] == kept
