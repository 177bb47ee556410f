"""A fault of our own while somebody's working is read: it costs the line, never the working.

The line says that it could not be judged; what went wrong is kept with it in a word for us (`Reading.faults`,
JSON, and the exit status of the command). Tests are `strict`: there such a fault is raised.
"""

from __future__ import annotations

import traceback
from contextvars import ContextVar
from dataclasses import dataclass
from pathlib import PurePath

COULD_NOT = "Loopwright failed here, so this could not be judged: a fault of its own, not of the line"

strict: ContextVar[bool] = ContextVar("strict", default=False)


@dataclass(frozen=True, slots=True)
class OwnFault:
    """What went wrong with us. `line`: the number of the line that it cost, 0 where it was none alone;
    `what`: the exception and the place in our code, in one line."""

    line: int
    what: str


def own_fault(trouble: Exception, line: int = 0) -> OwnFault:
    """An exception that nobody foresaw, as a fault of ours; raised again where tests are `strict`."""
    if strict.get():
        raise trouble
    place = traceback.extract_tb(trouble.__traceback__)[-1]
    where = f"{PurePath(place.filename).name}, line {place.lineno}"
    said = " ".join(str(trouble).split())[:200]
    return OwnFault(line, f"{type(trouble).__name__}: {said} ({where})")
