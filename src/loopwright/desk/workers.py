"""Processes that work for the page: the one that talks with it is never held up, and each can be ended.

A lane has one process and does one thing at a time. Work that lasts too long, or is for a text that is no
more, is ended with its process, and the next is forked from the `nursery`, in which the engine is warm. None
of them outlives the desk.
"""

from __future__ import annotations

import asyncio
import socket
import threading
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from multiprocessing.connection import Connection

from ..many.processes import ended, started
from .orders import ORDER
from .refusals import Refusal


class WorkGivenUp(Exception):
    """The text that was worked on is no more, or the desk is closing, and the process was ended."""


class Nursery:
    """The process from which workers are forked: it loads the engine while everything else goes on."""

    def __init__(self) -> None:
        self._process, self._socket = started("loopwright.desk.nursery")
        self._turn = threading.Lock()

    def worker(self) -> tuple[int, Connection]:
        """A new worker: the number of its process, and the pipe to it. Waits while the engine loads."""
        here, there = socket.socketpair()
        with self._turn, there:
            try:
                socket.send_fds(self._socket, [ORDER.pack(b"n", 0)], [there.fileno()])
                reply = self._socket.recv(ORDER.size, socket.MSG_WAITALL)
            except OSError:
                reply = b""
        if len(reply) < ORDER.size:
            here.close()
            raise WorkGivenUp
        return ORDER.unpack(reply)[1], Connection(here.detach())

    def end_worker(self, number: int) -> None:
        """Ends one worker."""
        try:
            self._socket.sendall(ORDER.pack(b"e", number))
        except OSError:  # it is gone, and all workers with it
            return

    def end(self) -> None:
        """Ends it and all its workers; a second time it does nothing."""
        if self._process.returncode is not None:
            return
        ended(self._process)
        self._socket.close()


class Lane:
    """Work of one kind, one thing after another; what a later one makes needless is not begun."""

    def __init__(self, nursery: Nursery, threads: ThreadPoolExecutor, longest: float) -> None:
        self._nursery, self._threads, self._longest = nursery, threads, longest
        self._turn = asyncio.Lock()
        self._latest: dict[str, object] = {}
        self._at = ""
        self._worker: tuple[int, Connection] | None = None

    async def do(self, job: str, *given: object, about: str = "") -> object:
        """Has a job done when its turn comes, and gives what it makes.

        `about`: what it is about; when something else is asked about the same meanwhile, or `give_up` is
        called, it raises WorkGivenUp. Raises FaultyMaterial for what is wrong with the material, and Refusal
        when it lasts too long or fails.
        """
        ticket = object()
        if about:
            self._latest[about] = ticket

        def wanted() -> bool:
            return not about or self._latest.get(about) is ticket

        async with self._turn:
            if not wanted():
                raise WorkGivenUp
            self._at = about
            try:
                loop = asyncio.get_running_loop()
                return await loop.run_in_executor(self._threads, self._ask, wanted, job, given)
            finally:
                self._at = ""
                if self._latest.get(about) is ticket:
                    del self._latest[about]

    def give_up(self, about: str) -> None:
        """Drops the work about this, waiting or begun."""
        self._latest.pop(about, None)
        if self._at == about and self._worker is not None:
            self._nursery.end_worker(self._worker[0])

    def _ask(self, wanted: Callable[[], bool], job: str, given: tuple[object, ...]) -> object:
        if self._worker is None:
            self._worker = self._nursery.worker()
        if not wanted():  # given up while there was no worker yet
            raise WorkGivenUp
        number, pipe = self._worker
        try:
            pipe.send((self._longest, job, given))
            how, content = pipe.recv() if pipe.poll(self._longest) else ("late", None)
        except (EOFError, OSError):
            self._worker = None
            pipe.close()
            raise WorkGivenUp from None
        if how == "late":
            self._worker = None
            self._nursery.end_worker(number)
            pipe.close()
            what = f"The work was given up after {self._longest:g} seconds."
            raise Refusal(503, what, "A smaller circuit takes less.")
        if how == "faulty" and isinstance(content, Exception):
            raise content
        if how == "failed":
            raise Refusal(500, "Loopwright failed at this text, which is a fault of ours.", str(content))
        return content
