"""Who is slow to say what is wanted is told so and sent away; others are served meanwhile."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Coroutine
from pathlib import Path

import pytest

from loopwright.desk import connections, gate
from loopwright.desk.folder import PaperFolder
from loopwright.desk.server import Desk, serving

Talk = Callable[[int], Coroutine[object, object, bytes]]


def answered(talk: Talk, place: Path, monkeypatch: pytest.MonkeyPatch) -> bytes:
    """What comes back when one talks to a desk whose patience is short and whose cookie is known."""
    monkeypatch.setattr(connections, "PATIENCE", 0.3)
    monkeypatch.setattr(gate, "PATIENCE", 0.3)
    monkeypatch.setattr("secrets.token_urlsafe", lambda size: "known")

    async def both() -> bytes:
        ready: asyncio.Future[str] = asyncio.get_running_loop().create_future()
        running = asyncio.create_task(serving(Desk(PaperFolder(place)), "", ready.set_result))
        port = int((await ready).split(":")[2].split("/")[0])
        try:
            return await asyncio.wait_for(talk(port), 20)
        finally:
            running.cancel()
            await asyncio.gather(running, return_exceptions=True)

    return asyncio.run(both())


class Heard(asyncio.Protocol):
    """Keeps what comes, whether the other side then closes or, as something was still sent, resets."""

    def __init__(self) -> None:
        self.came = b""
        self.ended = asyncio.get_running_loop().create_future()

    def data_received(self, data: bytes) -> None:
        self.came += data

    def connection_lost(self, trouble: Exception | None) -> None:
        self.ended.set_result(None)


def dripping(*parts: bytes) -> Talk:
    """Sends the parts and then one byte after another, until the other side has enough."""

    async def talk(port: int) -> bytes:
        line, heard = await asyncio.get_running_loop().create_connection(Heard, "127.0.0.1", port)
        for part in parts:
            line.write(part.replace(b"PORT", str(port).encode()))
        while not heard.ended.done():
            line.write(b"x")
            await asyncio.wait([heard.ended], timeout=0.05)
        return heard.came

    return talk


@pytest.mark.parametrize("begun", [b"", b"GET / HT", b"GET / HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nX: "])
def test_first_lines_that_do_not_end_are_given_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, begun: bytes
) -> None:
    assert answered(dripping(begun), tmp_path, monkeypatch).startswith(b"HTTP/1.1 408 ")


def test_first_lines_of_a_second_request_that_do_not_end_are_given_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = b"GET /papers HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nCookie: desk-PORT=known\r\n\r\n"
    answer = answered(dripping(whole, b"GET / "), tmp_path, monkeypatch)
    assert answer.startswith(b"HTTP/1.1 200 ")
    assert b"HTTP/1.1 408 " in answer


def test_a_body_that_does_not_end_is_given_up(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    head = (
        b"POST /papers HTTP/1.1\r\nHost: 127.0.0.1:PORT\r\nOrigin: http://127.0.0.1:PORT\r\n"
        b"Content-Type: application/json\r\nContent-Length: 1000\r\nCookie: desk-PORT=known\r\n\r\n"
    )
    answer = answered(dripping(head), tmp_path, monkeypatch)
    assert answer.startswith(b"HTTP/1.1 408 ")
    assert b"did not come to an end in time" in answer


def test_others_are_served_while_hundreds_say_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    async def talk(port: int) -> bytes:
        silent = [await asyncio.open_connection("127.0.0.1", port) for _ in range(150)]
        reader, writer = await asyncio.open_connection("127.0.0.1", port)
        writer.write(b"GET / HTTP/1.0\r\nHost: 127.0.0.1:%d\r\n\r\n" % port)
        answer = await reader.read()
        for _, other in [*silent, (reader, writer)]:
            other.close()
        return answer

    assert answered(talk, tmp_path, monkeypatch).startswith(b"HTTP/1.1 403 ")
