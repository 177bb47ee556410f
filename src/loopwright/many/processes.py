"""Processes of our own: started with a line to them, and gone in the end, however it comes."""

from __future__ import annotations

import contextlib
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Iterator
from typing import NoReturn


def started(module: str) -> tuple[subprocess.Popen[bytes], socket.socket]:
    """A process that runs a module, which is given the number of its socket, and the other end of that."""
    here, there = socket.socketpair()
    with there:
        process = subprocess.Popen(
            [sys.executable, "-m", module, str(there.fileno())],
            stdin=subprocess.DEVNULL,
            pass_fds=[there.fileno()],
            process_group=0,  # out of reach of Ctrl-C, which is heard here, and to be ended as one
            env={
                **os.environ,
                "PYTHONPATH": os.pathsep.join(filter(None, sys.path)),
                "OPENBLAS_NUM_THREADS": "1",  # one core each; and a process with threads is not safely forked
            },
        )
    return process, here


def ended(process: subprocess.Popen[bytes]) -> None:
    """Ends such a process and all of its group, whatever they are at."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(process.pid, signal.SIGKILL)
    process.wait()


@contextlib.contextmanager
def ended_in_order() -> Iterator[None]:
    """Lets SIGTERM, which otherwise ends a process on the spot, end its children first."""
    try:
        before = signal.signal(signal.SIGTERM, _terminated)
    except ValueError:  # not in the main thread, which alone hears signals
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGTERM, before)


def _terminated(number: int, frame: object) -> NoReturn:
    raise SystemExit(128 + number)
