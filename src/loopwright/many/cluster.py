"""The work done by machines that a Dask scheduler knows, in chunks; each chunk by the same crew as here."""

from __future__ import annotations

import pickle
import threading
from collections import deque
from collections.abc import Callable, Generator, Iterator, Sequence
from concurrent.futures import CancelledError
from typing import Any

from .. import __version__
from ..errors import FaultyMaterial
from ..findings import Finding
from .crew import by_crew
from .many_extra import distributed
from .outcomes import Outcome, Result, Thing, ended_its_process

MOST = 64  # things in a chunk
SHARE = 8  # chunks for each machine, where there are enough things: the last ones end at about the same time
AHEAD = 4  # chunks under way for each machine
PATIENCE = 10.0  # seconds until somebody must answer

_BEFORE = threading.local()  # in a worker's thread: the work that it had last, and the process at it


def by_cluster(
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    address: str,
    longest: float,
    chunk: int,
    name: Callable[[Thing], str],
) -> Generator[Outcome[Result], None, None]:
    """What `work` makes of each thing, in order, by the workers of a scheduler."""
    if not things:
        return
    with _client(address) as client:
        try:
            yield from _by_client(client, work, things, longest, chunk, name)
        except CancelledError as trouble:
            said = f"The scheduler at {address} is there no longer."
            raise FaultyMaterial(
                Finding("work/no-scheduler", said, "Start it, and begin again.")
            ) from trouble


def _by_client(
    client: Any,
    work: Callable[[Thing], Result],
    things: Sequence[Thing],
    longest: float,
    chunk: int,
    name: Callable[[Thing], str],
) -> Iterator[Outcome[Result]]:
    hands = sum(client.nthreads().values())
    size = chunk or max(1, min(MOST, len(things) // (SHARE * hands)))
    chunks = deque([things[at : at + size] for at in range(0, len(things), size)])
    packed = pickle.dumps((work, name))  # sent with each chunk: what lies with a worker is lost with it
    under_way: deque[tuple[Sequence[Thing], Any]] = deque()
    while chunks or under_way:
        while chunks and len(under_way) < AHEAD * hands:
            under_way.append((part := chunks.popleft(), _sent(client, packed, part, longest)))
        part, future = under_way.popleft()
        try:
            yield from future.result()
        except distributed.KilledWorker:
            yield from _one_by_one(client, packed, part, longest, name)


def _sent(client: Any, packed: bytes, part: Sequence[object], longest: float) -> Any:
    return client.submit(_worked, packed, part, longest, pure=False)


def _worked(packed: bytes, part: Sequence[Any], longest: float) -> list[Outcome[Any]]:
    """A chunk, worked where the scheduler sent it, by the process that had the chunk before it."""
    if getattr(_BEFORE, "packed", b"") != packed:
        for hand in getattr(_BEFORE, "hands", ()):
            hand.end()
        _BEFORE.packed, _BEFORE.hands = packed, []
    work, name = pickle.loads(packed)
    return list(by_crew(work, part, 1, longest, name, _BEFORE.hands))


def _one_by_one(
    client: Any,
    packed: bytes,
    part: Sequence[Thing],
    longest: float,
    name: Callable[[Thing], str],
) -> Iterator[Outcome[Any]]:
    """The things of a chunk on which machines were lost, each sent by itself: only the one at fault falls."""
    for thing in part:
        try:
            yield from _sent(client, packed, [thing], longest).result()
        except distributed.KilledWorker as trouble:
            yield ended_its_process(name(thing), trouble.allowed_failures)


def _client(address: str) -> Any:
    """A line to the scheduler, once it is known that its workers have this Loopwright."""
    scheme = address.partition("://")[0] if "://" in address else "tcp"
    try:
        if scheme not in distributed.comm.registry.backends:
            raise ValueError(scheme)  # the library's client would be made by half, and hang when it is gone
        client = distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError) as trouble:
        said = f"No Dask scheduler answers at {address}."
        mend = "Start one there, or look at the address; without --on the work is done here."
        raise FaultyMaterial(Finding("work/no-scheduler", said, mend)) from trouble
    try:
        client.wait_for_workers(1, timeout=PATIENCE)
        asked = [
            client.submit(_version_there, workers=[worker], allow_other_workers=True, pure=False)
            for worker in client.nthreads()
        ]
        others = {version for each in asked if (version := each.result(PATIENCE)) != __version__}
    except TimeoutError as trouble:
        client.close()
        said = f"The scheduler at {address} has no worker."
        raise FaultyMaterial(Finding("work/no-scheduler", said, "Start at least one.")) from trouble
    except ModuleNotFoundError:
        others = {""}
    if others:
        client.close()
        said = f"A worker at {address} has {_called(min(others))}, and this is {__version__}."
        mend = "Install the same version there: only then is what it makes the same."
        raise FaultyMaterial(Finding("work/other-version", said, mend))
    return client


def _called(version: str) -> str:
    return f"Loopwright {version}" if version else "no Loopwright"


def _version_there() -> str:
    return __version__
