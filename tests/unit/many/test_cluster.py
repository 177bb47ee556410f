"""The same by a scheduler's workers: same outcomes, whoever is lost on the way."""

from __future__ import annotations

import os
import shutil
import signal
import socket
import threading
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any

import dask
import distributed
import pytest

from loopwright.cli.main import main
from loopwright.errors import FaultyMaterial
from loopwright.many import cluster as by
from loopwright.many.each import ALONE, CrewWish, each
from loopwright.many.outcomes import MadeOf, SetAside
from loopwright.papers.papers import contents
from loopwright.papers.plan import PaperWishes, planned
from loopwright.papers.roster import Roster, RosterEntry
from loopwright.problem.problem_file import read
from loopwright.versions.versions import versions
from tests.many_works import squared, squared_or_fatal, squared_slowly, whose

pytestmark = pytest.mark.slow
EXAMPLES = Path(__file__).parents[3] / "examples"


@pytest.fixture(scope="module")
def cluster() -> Iterator[Any]:
    """A scheduler with two workers of this machine, who give a task up after two of them died on it."""
    with (
        dask.config.set({"distributed.scheduler.allowed-failures": 1}),
        distributed.LocalCluster(  # type: ignore[no-untyped-call]
            n_workers=2, threads_per_worker=1, dashboard_address=":0"
        ) as made,
    ):
        yield made


@pytest.mark.parametrize("chunk", [0, 7])
def test_it_is_the_same_as_here(cluster: Any, chunk: int) -> None:
    here = list(each(squared, range(12, 25), CrewWish(longest=3)))
    there = list(each(squared, range(12, 25), CrewWish(on=cluster.scheduler_address, longest=3), chunk=chunk))
    assert there == here
    assert sum(isinstance(outcome, SetAside) for outcome in there) == 4


def test_a_worker_killed_in_the_middle_costs_time_only(cluster: Any) -> None:
    with distributed.Client(  # type: ignore[no-untyped-call]
        cluster.scheduler_address, set_as_default=False
    ) as client:
        victim = min(client.run(os.getpid).values())
    killed = threading.Timer(0.7, lambda: os.kill(victim, signal.SIGKILL))
    killed.start()
    found = list(each(squared_slowly, range(150), CrewWish(on=cluster.scheduler_address), chunk=10))
    assert killed.finished.is_set()
    assert found == [MadeOf(n * n) for n in range(150)]


def test_a_thing_that_ends_the_workers_is_set_aside_alone(cluster: Any) -> None:
    found = list(each(squared_or_fatal, range(8), CrewWish(on=cluster.scheduler_address), chunk=4))
    assert [n for n, outcome in enumerate(found) if isinstance(outcome, SetAside)] == [5]
    assert found[:5] + found[6:] == [MadeOf(n * n) for n in range(8) if n != 5]


def test_where_nobody_answers_that_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by, "PATIENCE", 0.5)
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        address = f"tcp://127.0.0.1:{taken.getsockname()[1]}"
        with pytest.raises(FaultyMaterial, match=f"No Dask scheduler answers at {address}"):
            list(each(squared, range(3), CrewWish(on=address)))


@pytest.mark.parametrize("address", ["somewhere", "http://somewhere:1", "://"])
def test_an_address_that_is_none_is_told(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by, "PATIENCE", 0.5)
    with pytest.raises(FaultyMaterial, match=f"No Dask scheduler answers at {address}"):
        list(each(squared, range(3), CrewWish(on=address)))


def test_a_worker_of_another_version_is_refused(cluster: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by, "__version__", "9.9")
    with pytest.raises(FaultyMaterial, match=r"has Loopwright 0\.1\.0, and this is 9\.9"):
        list(each(squared, range(3), CrewWish(on=cluster.scheduler_address)))


def test_a_scheduler_without_workers_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(by, "PATIENCE", 1.0)
    with (
        distributed.LocalCluster(  # type: ignore[no-untyped-call]
            n_workers=0, dashboard_address=":0"
        ) as empty,
        pytest.raises(FaultyMaterial, match="has no worker"),
    ):
        list(each(squared, range(3), CrewWish(on=empty.scheduler_address)))


def test_a_pile_of_workings_is_read_alike_here_and_there(
    cluster: Any, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    shutil.copytree(EXAMPLES / "workings", tmp_path / "pile", ignore=shutil.ignore_patterns("in-time"))
    problem, pile = str(EXAMPLES / "charge-or-help.toml"), str(tmp_path / "pile")
    said = []
    for more in (["--jobs", "1"], ["--jobs", "2"], ["--on", cluster.scheduler_address]):
        main(["read", problem, pile, "--mark", "ten", *more])
        said.append(capsys.readouterr().out)
    assert said[0] == said[1] == said[2]
    assert "right in every line" in said[0]


def test_papers_are_made_alike_here_and_there(cluster: Any) -> None:
    problem = read(EXAMPLES / "charge-or-help.toml")
    roster = Roster(tuple(RosterEntry(f"s{n}") for n in range(3)))
    plan = planned([problem], roster, PaperWishes(forms=("html",), count=1))
    here = dict(contents(plan, frozenset()))
    there = dict(contents(plan, frozenset(), CrewWish(on=cluster.scheduler_address)))
    assert there == here
    assert len(here) == 10


def test_a_worker_has_one_process_for_all_chunks_of_a_work(cluster: Any) -> None:
    found = list(each(whose, range(20), CrewWish(on=cluster.scheduler_address), chunk=2))
    assert len({outcome.result for outcome in found if isinstance(outcome, MadeOf)}) in (1, 2)
    assert not any(isinstance(outcome, SetAside) for outcome in found)


def test_a_scheduler_that_goes_in_the_middle_is_told() -> None:
    with distributed.LocalCluster(  # type: ignore[no-untyped-call]
        n_workers=1, threads_per_worker=1, dashboard_address=":0"
    ) as brief:
        made = each(squared_slowly, range(500), CrewWish(on=brief.scheduler_address), chunk=5)
        assert next(made) == MadeOf(0)
        brief.close()
        with pytest.raises(FaultyMaterial, match="is there no longer"):
            list(made)


def test_versions_are_found_alike_here_and_there(cluster: Any) -> None:
    problem = read(EXAMPLES / "papers" / "buoy-charger.toml")
    there = CrewWish(on=cluster.scheduler_address)
    alone, two, far = (versions(problem, 60, crew=who) for who in (ALONE, CrewWish(2), there))
    assert alone.versions == two.versions == far.versions
    assert alone.looked_at == two.looked_at == far.looked_at
    assert len(alone) == 60
    too_much = replace(problem.versions, hold=(*problem.versions.hold, "E1 > 100 V"))
    clashes = [versions(problem, 2, asked=too_much, crew=who).clash for who in (ALONE, there)]
    assert clashes[0] == clashes[1]
    assert clashes[0] is not None
    assert clashes[0].wishes == ("E1 > 100 V",)
