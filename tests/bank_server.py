"""A server of PostgreSQL for one test, as Debian's package brings it: made, started, killed, started."""

from __future__ import annotations

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

PROGRAMS = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))


class BankServer:
    """One server on a socket in its own folder; what it writes is on the disk as by default."""

    def __init__(self, folder: Path) -> None:
        self.folder, self._programs = folder, PROGRAMS[-1].parent
        self._user = "postgres" if os.geteuid() == 0 else pwd.getpwuid(os.geteuid()).pw_name
        if os.geteuid() == 0:  # the server will not run as root
            shutil.chown(folder, self._user)
        self._run(
            "initdb", "-D", str(folder / "data"), "-U", "keeper", "-A", "trust", "-E", "UTF8", "--no-sync"
        )
        self._server: subprocess.Popen[bytes] | None = None
        self.start()

    def _run(self, program: str, *given: str) -> None:
        command = [str(self._programs / program), *given]
        subprocess.run(command, check=True, capture_output=True, user=self._as(), cwd=self.folder)

    def _as(self) -> str | None:
        return self._user if os.geteuid() == 0 else None

    def start(self) -> None:
        """Starts it, and waits until it answers."""
        command = [str(self._programs / "postgres"), "-D", str(self.folder / "data"), "-k", str(self.folder)]
        self._server = subprocess.Popen(
            [*command, "-c", "listen_addresses="],
            user=self._as(),
            cwd=self.folder,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,
        )
        end = time.monotonic() + 60
        while time.monotonic() < end:
            ready = [str(self._programs / "pg_isready"), "-q", "-h", str(self.folder)]
            if subprocess.run(ready, check=False).returncode == 0:
                return
            time.sleep(0.02)
        raise TimeoutError("the server does not answer")

    def kill(self) -> None:
        """Kills the server with all its processes, as when the machine goes off."""
        if self._server is not None:
            children = Path(f"/proc/{self._server.pid}/task/{self._server.pid}/children").read_text().split()
            for process in (self._server.pid, *map(int, children)):
                os.kill(process, signal.SIGKILL)
            self._server.wait()
            for child in children:
                while Path(f"/proc/{child}").exists() and "Z" not in _state(child):
                    time.sleep(0.01)

    def database(self, name: str) -> str:
        """A new database; its address."""
        self._run("createdb", "-h", str(self.folder), "-U", "keeper", name)
        return f"postgresql://keeper@/{name}?host={self.folder}"

    def folder_of_bank(self, folder: Path, name: str) -> Path:
        """A folder whose bank is a new database."""
        folder.mkdir()
        (folder / "bank.toml").write_text(f'database = "{self.database(name)}"\n')
        return folder


def _state(process: str) -> str:
    try:
        return Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()[0]
    except FileNotFoundError:
        return "Z"


@contextmanager
def bank_server() -> Iterator[BankServer]:
    """A server for as long as it is needed; the test is skipped where the package is not installed (in CI it
    must be)."""
    if not PROGRAMS:
        assert os.environ.get("CI") != "true", "PostgreSQL is not installed"
        pytest.skip("needs PostgreSQL: apt-get install postgresql")
    with tempfile.TemporaryDirectory(prefix="bank-") as folder:  # a short name: sockets take a hundred signs
        server = BankServer(Path(folder))
        try:
            yield server
        finally:
            server.kill()
