"""Long work under watch: bounded in time, with its progress told, stopped at once when asked.

The work runs in a child process, for a long step of the algebra listens to nobody: only so can Ctrl-C and
the time allowed end it at any moment. It writes no file; what it makes comes back whole or not at all.
Nothing may be worked there that keeps threads of its own, such as the typesetter: a child made by forking
has none of them. The clock decides nothing of the result: work is done in full, or given up with a finding.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import sys
import time
import traceback
from collections.abc import Callable, Generator, Iterator
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Any, TypeVar

from ..errors import BrokenPromise, FaultyMaterial
from ..findings import Finding
from ..many.processes import ended_in_order

Made = TypeVar("Made")
TellProgress = Callable[[str], None]

QUIET = 2.0  # seconds before progress is told
TICK = 0.5  # seconds between looks
_STOPS = {signal.SIGINT, signal.SIGTERM}


def watched(work: Callable[[TellProgress], Made], longest: float) -> Made:
    """Runs `work` in a child process and gives back what it makes.

    `work` gets a function by which it may tell what it is at. `longest`: the seconds allowed; after them
    FaultyMaterial is raised and nothing has been made. What `work` raises is raised here; KeyboardInterrupt
    when the person stops it, the child being gone by then. Where a system cannot fork, the work runs in
    place, without the bound.
    """
    (made,) = streamed(lambda tell: iter((work(tell),)), longest)
    return made


def streamed(work: Callable[[TellProgress], Iterator[Made]], longest: float) -> Generator[Made, None, None]:
    """The same for a work that makes several things one after another: each comes back as it is made, and
    `longest` is the seconds allowed for each."""
    if "fork" not in multiprocessing.get_all_start_methods():
        yield from work(lambda _: None)
        return
    here, there = multiprocessing.Pipe(duplex=False)
    child = multiprocessing.get_context("fork").Process(target=_worked, args=(work, here, there))
    with ended_in_order():
        usual = signal.pthread_sigmask(signal.SIG_BLOCK, _STOPS)  # so that no child is left unknown
        child.start()
        try:
            signal.pthread_sigmask(signal.SIG_SETMASK, usual)
            there.close()
            yield from _outcomes(here, longest)
        finally:
            _end(child)
            here.close()


def _end(child: BaseProcess) -> None:
    """Ends the child, and the processes that it may have started itself: they are of its group."""
    with contextlib.suppress(ProcessLookupError, PermissionError):
        os.killpg(child.pid or 0, signal.SIGKILL)
    child.kill()  # in case that it had no group of its own yet
    child.join()


def _worked(work: Callable[[TellProgress], Iterator[object]], here: Connection, there: Connection) -> None:
    """What the child does: the work, sending back what it is at and what it made, or the trouble. It does
    not hear Ctrl-C; the parent does, and ends it. Should the parent be gone, it ends with the next thing that
    it sends: the end `here` must not stay open for that."""
    os.setpgid(0, 0)
    here.close()
    with contextlib.suppress(BrokenPipeError):
        _sent(work, there)


def _sent(work: Callable[[TellProgress], Iterator[object]], there: Connection) -> None:
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    try:
        for made in work(lambda stage: there.send(("at", stage))):
            there.send(("made", made))
        there.send(("done", None))
    except (FaultyMaterial, BrokenPromise, OSError) as trouble:
        there.send(("raised", trouble))
    except Exception:
        traceback.print_exc()


def _outcomes(here: Connection, longest: float) -> Iterator[Any]:
    """Waits for what the child sends: gives what it made, raises its trouble, or FaultyMaterial once the
    time is over."""
    begun = time.monotonic()
    progress = _Progress(begun)
    try:
        while True:
            if here.poll(TICK):
                what, content = here.recv()
                if what == "done":
                    return
                if what == "raised":
                    raise content
                if what == "made":
                    progress.clear()
                    yield content
                    begun = time.monotonic()
                else:
                    progress.stage = content
            if time.monotonic() - begun > longest:
                raise FaultyMaterial(_too_long(longest, progress.stage))
            progress.tell()
    except EOFError as trouble:
        raise BrokenPromise("the work ended without a result") from trouble
    finally:
        progress.clear()


def _too_long(longest: float, stage: str) -> Finding:
    where = f" (it was at: {stage})" if stage else ""
    return Finding(
        "work/takes-too-long",
        f"The work was given up after {longest:g} seconds{where}; nothing was written.",
        "Allow more with --longest SECONDS, or give equal elements the same symbol.",
    )


class _Progress:
    """One line on a terminal's standard error, rewritten; nothing anywhere else."""

    def __init__(self, begun: float) -> None:
        self.begun, self.stage, self.shown = begun, "", False

    def tell(self) -> None:
        """Shows what is being worked at, once it takes a while."""
        passed = time.monotonic() - self.begun
        if passed >= QUIET and sys.stderr.isatty():
            sys.stderr.write(f"\r\x1b[K{self.stage or 'working'}, {passed:.0f} s (Ctrl-C stops)")
            sys.stderr.flush()
            self.shown = True

    def clear(self) -> None:
        """Takes the line away."""
        if self.shown:
            sys.stderr.write("\r\x1b[K")
            sys.stderr.flush()
