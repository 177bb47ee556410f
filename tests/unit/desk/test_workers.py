"""Work that lasts too long, or for a text that is no more, is ended, and the next is done all the same."""

from __future__ import annotations

import asyncio
import os
import signal
from collections.abc import Callable, Coroutine, Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from loopwright.desk import workroom
from loopwright.desk.folder import PaperFolder
from loopwright.desk.refusals import Refusal
from loopwright.desk.server import Desk
from loopwright.desk.workers import Lane, Nursery, WorkGivenUp
from tests.sample_circuits import CHARGE_OR_HELP

pytestmark = pytest.mark.slow
EDIT = [{"do": "text", "text": "# new\n"}]
NEW = ("# new\n", "")  # and what is said of it


@pytest.fixture(scope="module")
def nursery() -> Iterator[Nursery]:
    started = Nursery()
    yield started
    started.end()


def in_lane(
    nursery: Nursery, work: Callable[[Lane], Coroutine[object, object, object]], longest: float = 60.0
) -> object:
    async def run() -> object:
        with ThreadPoolExecutor(4) as threads:
            return await work(Lane(nursery, threads, longest))

    return asyncio.run(run())


async def hold_the_worker(lane: Lane) -> None:
    """Stops the process that the lane's work goes to, so that nothing it is given ever comes to an end."""
    assert await lane.do("changed", "# old\n", EDIT, "") == NEW
    worker = lane._worker
    assert worker is not None
    os.kill(worker[0], signal.SIGSTOP)


def test_work_for_a_text_that_is_no_more_is_ended_and_the_next_is_done(nursery: Nursery) -> None:
    async def work(lane: Lane) -> object:
        await hold_the_worker(lane)
        begun = asyncio.create_task(lane.do("second", CHARGE_OR_HELP, about="wide"))
        await asyncio.sleep(0.3)
        lane.give_up("wide")
        with pytest.raises(WorkGivenUp):
            await asyncio.wait_for(begun, 30)
        return await lane.do("changed", "# old\n", EDIT, "")

    assert in_lane(nursery, work) == NEW


def test_what_a_later_text_makes_needless_is_not_begun(nursery: Nursery) -> None:
    async def work(lane: Lane) -> object:
        first = asyncio.create_task(lane.do("changed", "", EDIT, ""))
        needless, last = (
            asyncio.create_task(lane.do("changed", "", EDIT, "", about="bus")) for _ in range(2)
        )
        with pytest.raises(WorkGivenUp):
            await needless
        return [await first, await last]

    assert in_lane(nursery, work) == [NEW, NEW]


def test_what_lasts_too_long_is_told_and_the_next_is_done(nursery: Nursery) -> None:
    async def work(lane: Lane) -> object:
        await hold_the_worker(lane)
        with pytest.raises(Refusal, match="given up after"):
            await lane.do("second", CHARGE_OR_HELP)
        return await lane.do("changed", "# old\n", EDIT, "")

    assert in_lane(nursery, work, longest=3.0) == NEW


def test_a_fault_of_ours_in_a_worker_is_told_and_the_next_is_done(nursery: Nursery) -> None:
    async def work(lane: Lane) -> object:
        with pytest.raises(Refusal, match="a fault of ours"):
            await lane.do("changed", 3, [{"do": "turn"}], "")
        return await lane.do("changed", "# old\n", EDIT, "")

    assert in_lane(nursery, work) == NEW


def test_a_text_whose_answer_takes_too_long_is_opened_and_says_so(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(workroom, "QUICK", 0.0)

    async def run() -> object:
        desk = Desk(PaperFolder(tmp_path))
        try:
            return await desk._first("bus", CHARGE_OR_HELP)
        finally:
            desk.end()

    answer = asyncio.run(run())
    assert isinstance(answer, dict)
    assert "The work was given up after 0 seconds." in answer["pieces"]["findings"]
