"""A desk as a person starts it: the command in a process of its own, reached over the loopback."""

from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tests.architecture.source import ROOT

CHROMIUM = "/usr/bin/chromium"
PATIENCE = 60_000  # ms that a page has for anything, on a machine that does much else


@dataclass
class OpenDesk:
    """A desk that runs, and the cookie that lets in."""

    process: subprocess.Popen[str]
    port: int
    way_in: str
    cookie: str = field(default="")

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def send(
        self, method: str, path: str, body: bytes | None = None, headers: dict[str, str] | None = None
    ) -> tuple[int, dict[str, str], bytes]:
        """One request with exactly these headers (and Host); status, headers and body of the answer."""
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        try:
            connection.request(method, path, body, headers or {})
            answer = connection.getresponse()
            return answer.status, {k.lower(): v for k, v in answer.getheaders()}, answer.read()
        finally:
            connection.close()

    def enter(self) -> None:
        """Spends the key."""
        _, headers, _ = self.send("GET", self.way_in)
        self.cookie = headers["set-cookie"].split(";")[0]

    def get(self, path: str) -> tuple[int, Any]:
        """What the page would get, read as JSON."""
        status, _, content = self.send("GET", path, headers={"Cookie": self.cookie})
        return status, json.loads(content)

    def post(self, path: str, given: object) -> tuple[int, Any]:
        """What the page would get for what it sends, read as JSON."""
        headers = {"Cookie": self.cookie, "Origin": self.address, "Content-Type": "application/json"}
        status, _, content = self.send("POST", path, json.dumps(given).encode(), headers)
        return status, json.loads(content)

    def raw(self, content: bytes, wait: float = 20.0) -> bytes:
        """Whatever comes back for these bytes until the desk closes the connection."""
        with socket.create_connection(("127.0.0.1", self.port), timeout=wait) as connection:
            connection.sendall(content)
            parts = []
            with suppress(ConnectionResetError):  # closed before all was read
                while part := connection.recv(65536):
                    parts.append(part)
        return b"".join(parts)

    def stop(self, how: signal.Signals = signal.SIGTERM) -> int:
        """Ends it, and gives its exit status."""
        self.process.send_signal(how)
        return self.process.wait(timeout=30)


@contextmanager
def open_desk(place: Path, *, entered: bool = True) -> Iterator[OpenDesk]:
    """A desk of this folder or file, closed at the end."""
    command = [sys.executable, "-m", "loopwright", "desk", str(place), "--no-browser"]
    env = {**os.environ, "PYTHONPATH": str(ROOT / "src"), "PYTHONUNBUFFERED": "1"}
    with subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, env=env
    ) as process:
        try:
            assert process.stdout is not None
            found = next(
                filter(None, (re.search(r"http://127\.0\.0\.1:(\d+)(/\S+)", x) for x in process.stdout))
            )
            desk = OpenDesk(process, int(found[1]), found[2])
            if entered:
                desk.enter()
            yield desk
        finally:
            if process.poll() is None:
                process.terminate()
