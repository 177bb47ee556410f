"""Work that lasts too long, or for a text that is no more, is ended, and the next is done all the same."""

from __future__ import annotations

import asyncio
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
from tests.wide_circuits import cube

pytestmark = pytest.mark.slow
LONG = cube(5)  # what is proved of it takes minutes
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


def test_work_for_a_text_that_is_no_more_is_ended_and_the_next_is_done(nursery: Nursery) -> None:
    async def work(lane: Lane) -> object:
        begun = asyncio.create_task(lane.do("second", LONG, about="wide"))
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
        with pytest.raises(Refusal, match="given up after"):
            await lane.do("second", LONG)
        return await lane.do("changed", "# old\n", EDIT, "")

    assert in_lane(nursery, work, longest=2.0) == NEW


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
