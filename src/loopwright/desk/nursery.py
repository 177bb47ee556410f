"""The process from which workers are forked: it loads the engine once, then waits to be asked for one.

    python -m loopwright.desk.nursery NUMBER        the number of the socket to the desk, which starts it

It has one thread and does nothing else, so that forking it is safe and quick; it and its workers are a group
of their own, so that Ctrl-C in a terminal does not reach them. When the desk is gone, however it went, the
socket is closed, and the whole group ends at once.
"""

from __future__ import annotations

import gc
import os
import signal
import socket
import sys
import traceback
from multiprocessing.connection import Connection

from ..errors import FaultyMaterial
from .jobs import JOBS, warm
from .orders import ORDER
from .refusals import Refusal

GRACE = 2.0  # seconds after which the system ends a worker that its desk did not
QUIET, MOST_LITTERED = 0.5, 128  # seconds without a job, and jobs, after which a worker looks for litter
LITTER = 100_000  # objects made between two looks for circles among them, as in `cli/main`


def main(desk: socket.socket) -> None:
    """Forks and ends workers as the desk says, until it is gone."""
    warm()
    gc.collect()
    gc.freeze()
    workers: set[int] = set()
    while True:
        order, pipes, _, _ = socket.recv_fds(desk, ORDER.size, 1)
        if len(order) < ORDER.size:
            os.killpg(0, signal.SIGKILL)
        what, number = ORDER.unpack(order)
        workers -= _buried()
        if what == b"n":
            workers.add(_forked(desk, pipes[0]))
        elif number in workers:
            os.kill(number, signal.SIGKILL)


def _forked(desk: socket.socket, pipe: int) -> int:
    number = os.fork()
    if number == 0:
        try:
            desk.close()
            _work(Connection(pipe))
        finally:
            os._exit(0)
    os.close(pipe)
    desk.sendall(ORDER.pack(b"n", number))
    return number


def _buried() -> set[int]:
    """The workers that ended since it was last asked."""
    ended: set[int] = set()
    while True:
        try:
            number, _ = os.waitpid(-1, os.WNOHANG)
        except ChildProcessError:
            return ended
        if number == 0:
            return ended
        ended.add(number)


def _work(pipe: Connection) -> None:
    """What a worker does: one job after another, until its pipe is closed. Litter is swept while nothing is
    asked, so that nobody waits for it, or after a number of jobs, so that it does not pile up."""
    littered = 0
    while True:
        if littered and (littered >= MOST_LITTERED or not pipe.poll(QUIET)):
            gc.collect()
            littered = 0
        littered += 1
        try:
            longest, job, given = pipe.recv()
        except EOFError:
            return
        signal.setitimer(signal.ITIMER_REAL, longest + GRACE)  # ends this process, whatever it is at
        pipe.send(_done(job, given))
        signal.setitimer(signal.ITIMER_REAL, 0)


def _done(job: str, given: tuple[object, ...]) -> tuple[str, object]:
    try:
        return "made", JOBS[job](*given)
    except (FaultyMaterial, Refusal) as trouble:
        return "faulty", trouble
    except Exception:
        return "failed", traceback.format_exc(limit=-1).splitlines()[-1]


if __name__ == "__main__":
    gc.set_threshold(LITTER)
    main(socket.socket(fileno=int(sys.argv[1])))
