"""What changes in the folder from elsewhere, found by looking, and told to every page as it happens.

A quarter of a second between two looks is quick enough for a person, and looking costs little: the names,
times and sizes of the files; only a file whose time or size changed is read.
"""

from __future__ import annotations

import asyncio
import json
from collections.abc import AsyncIterator, Callable
from concurrent.futures import ThreadPoolExecutor

from .folder import PaperFolder
from .refusals import Refusal

BETWEEN = 0.25  # seconds between two looks
ALIVE = 15.0  # seconds after which a silent page is told that the desk is still there
MOST_WAITING = 1000  # events held for a page that does not fetch them

_Mark = tuple[int, int, int]


class Changes:
    """Watches a folder; `gone` is called with the name of each paper that changed."""

    def __init__(self, folder: PaperFolder, threads: ThreadPoolExecutor, gone: Callable[[str], None]) -> None:
        self._folder, self._threads, self._gone = folder, threads, gone
        self._versions: dict[str, tuple[_Mark, str]] = {}
        self._pages: set[asyncio.Queue[str]] = set()

    async def watch(self) -> None:
        """Looks again and again, until it is cancelled."""
        loop = asyncio.get_running_loop()
        self._versions = await loop.run_in_executor(self._threads, self._look)
        while True:
            await asyncio.sleep(BETWEEN)
            try:
                now = await loop.run_in_executor(self._threads, self._look)
            except OSError:  # the folder is not there, perhaps for a moment
                continue
            before, self._versions = self._versions, now
            for name in sorted(before.keys() | now.keys()):
                old, new = before.get(name, ((), ""))[1], now.get(name, ((), ""))[1]
                if old != new:
                    self._gone(name)
                    self._tell({"paper": name, "version": new or None})

    async def told(self) -> AsyncIterator[str]:
        """The events for one page: which paper now has which version (none when it is gone)."""
        queue: asyncio.Queue[str] = asyncio.Queue(MOST_WAITING)
        self._pages.add(queue)
        try:
            yield "retry: 1000\n\n"
            while True:
                try:
                    async with asyncio.timeout(ALIVE):
                        event = await queue.get()
                except TimeoutError:
                    event = ": the desk is here\n\n"
                if not event:
                    return
                yield event
        finally:
            self._pages.discard(queue)

    def made(self, name: str, version: str) -> None:
        """Tells of a change that was made here, without waiting for the next look."""
        mark, known = self._versions.get(name, ((0, 0, 0), ""))
        if known != version:
            self._versions[name] = (mark, version)
            self._gone(name)
            self._tell({"paper": name, "version": version})

    def close(self) -> None:
        """Ends the stream of every page."""
        for queue in self._pages:
            while queue.full():
                queue.get_nowait()
            queue.put_nowait("")

    def _tell(self, event: dict[str, object]) -> None:
        for queue in list(self._pages):
            if queue.full():  # the page sleeps: it comes back and asks for everything
                self._pages.discard(queue)
                queue.get_nowait()
                queue.put_nowait("")
            else:
                queue.put_nowait(f"data: {json.dumps(event)}\n\n")

    def _look(self) -> dict[str, tuple[_Mark, str]]:
        found = {}
        for name, info in self._folder.seen().items():
            mark = (info.st_ino, info.st_size, info.st_mtime_ns)
            held = self._versions.get(name)
            if held is None or held[0] != mark:
                try:
                    held = (mark, self._folder.version(name))
                except Refusal:  # unreadable, or gone between two looks
                    continue
            found[name] = held
        return found
