"""Works that tests have done by other processes, which can load them from here by name."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

from loopwright.errors import FaultyMaterial
from loopwright.findings import Finding


def squared(number: int) -> int:
    """The work of an honest thing; some are poisoned."""
    match number:
        case 13:
            os.kill(os.getpid(), signal.SIGKILL)
        case 17:
            time.sleep(600)
        case 19:
            raise FaultyMaterial(Finding("file/not-toml", "Nineteen is spoilt.", "Take another."))
        case 23:
            raise ZeroDivisionError("by hand")
    return number * number


def squared_slowly(number: int) -> int:
    """The same after a while."""
    time.sleep(0.02)
    return number * number


class KilledOnce:
    """A work whose process is killed the first time that it comes to the thing in the middle."""

    def __init__(self, middle: int, mark: Path) -> None:
        self.middle, self.mark = middle, mark

    def __call__(self, number: int) -> int:
        """The square of a number."""
        if number == self.middle and not self.mark.exists():
            self.mark.touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return number * number


def squared_or_fatal(number: int) -> int:
    """A work of which one thing ends who asked for it too."""
    if number == 5:
        os.kill(os.getppid(), signal.SIGKILL)
    return number * number


def whose(number: int) -> int:
    """The number of the process that works it."""
    return os.getpid()
