"""A process that works one thing after another, as it is told over a socket.

    python -m loopwright.many.hand NUMBER        the number of the socket, to the process that started it

It begins with the work itself, then takes things until the socket is closed, or no more come for a while. It
shares no memory with who started it, so no thread of theirs can hold it up; and it ends by itself should they
be gone.
"""

from __future__ import annotations

import gc
import pickle
import signal
import sys
from multiprocessing.connection import Connection

from ..errors import FaultyMaterial

IDLE = 60.0  # seconds after which a process that nobody asks for anything is gone
GRACE = 2.0  # seconds after which the system ends a process that nobody else did
LITTER = 100_000  # objects made between two looks for circles among them, as in `cli/main`


def main(line: Connection) -> None:
    """Works what is sent, until nothing more is."""
    try:
        work = pickle.loads(line.recv_bytes())
        while line.poll(IDLE):
            thing, longest = line.recv()
            signal.setitimer(signal.ITIMER_REAL, longest + GRACE)
            line.send(_done(work, thing))
            signal.setitimer(signal.ITIMER_REAL, 0)
    except (EOFError, BrokenPipeError, ConnectionResetError):
        return


def _done(work: object, thing: object) -> tuple[str, object]:
    try:
        return "made", work(thing)  # type: ignore[operator]
    except FaultyMaterial as trouble:
        return "faulty", trouble.findings[0]
    except Exception as trouble:
        return "failed", f"{type(trouble).__name__}: {trouble}"


if __name__ == "__main__":
    gc.set_threshold(LITTER)
    main(Connection(int(sys.argv[1])))
