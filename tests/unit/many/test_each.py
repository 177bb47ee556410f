"""One work on many things: in order, whoever does it, and whatever becomes of them."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from loopwright.many.crew import Hand, by_crew
from loopwright.many.each import CrewWish, each
from loopwright.many.outcomes import MadeOf, SetAside
from tests.many_works import KilledOnce, squared, squared_slowly

GOOD = [MadeOf(n * n) for n in range(10)]


@pytest.mark.parametrize("processes", [1, 3])
def test_it_comes_in_order(processes: int) -> None:
    assert list(each(squared, range(10), CrewWish(processes))) == GOOD


def test_of_nothing_comes_nothing() -> None:
    assert list(each(squared, [])) == []


@pytest.mark.parametrize("processes", [1, 2])
def test_what_spoils_one_thing_costs_no_other(processes: int) -> None:
    found = list(each(squared, range(12, 25), CrewWish(processes, longest=1.5)))
    told = {n: each.finding.message for n, each in enumerate(found, 12) if isinstance(each, SetAside)}
    assert told == {
        13: "13: the process that worked on it ended 2 times without a result.",
        17: "17: the work was given up after 1.5 seconds.",
        19: "Nineteen is spoilt.",
        23: "23: Loopwright failed on it (ZeroDivisionError: by hand).",
    }
    assert [o.result for o in found if isinstance(o, MadeOf)] == [
        n * n for n in range(12, 25) if n not in told
    ]
    assert [o.ours for o in found if isinstance(o, SetAside)] == [True, False, False, True]


def test_a_process_that_is_lost_costs_time_only(tmp_path: Path) -> None:
    assert list(each(KilledOnce(5, tmp_path / "mark"), range(10), CrewWish(2))) == GOOD
    assert (tmp_path / "mark").exists()


def processes_of(parent: int) -> list[str]:
    found = []
    for entry in Path("/proc").iterdir():
        if entry.name.isdigit():
            try:
                status = (entry / "stat").read_text().rsplit(")", 1)[1].split()
            except OSError:
                continue
            if int(status[1]) == parent and status[0] != "Z":
                found.append(entry.name)
    return found


def test_no_process_is_left_when_nobody_wants_the_rest() -> None:
    before = set(processes_of(os.getpid()))
    made = each(squared_slowly, range(1000), CrewWish(2))
    assert next(made) == MadeOf(0)
    assert len(set(processes_of(os.getpid())) - before) == 2
    made.close()
    assert set(processes_of(os.getpid())) <= before


def test_no_process_is_left_when_all_is_ended_from_outside(tmp_path: Path) -> None:
    text = "from loopwright.many.each import CrewWish, each\nfrom tests.many_works import squared_slowly\n"
    text += "for o in each(squared_slowly, range(10**6), CrewWish(2)): print(o.result, flush=True)\n"
    running = subprocess.Popen(
        [sys.executable, "-c", text],
        stdout=subprocess.PIPE,
        env={**os.environ, "PYTHONPATH": ":".join(sys.path)},
    )
    assert running.stdout is not None
    assert running.stdout.readline() == b"0\n"
    hands = processes_of(running.pid)
    assert len(hands) == 2
    running.send_signal(signal.SIGTERM)
    running.stdout.close()
    running.wait(20)
    until = time.monotonic() + 20
    while any((Path("/proc") / hand).exists() for hand in hands) and time.monotonic() < until:
        time.sleep(0.05)
    assert not any((Path("/proc") / hand).exists() for hand in hands)


def test_a_process_that_nobody_asked_for_long_is_replaced() -> None:
    kept: list[Hand] = []
    assert list(by_crew(squared, range(3), 1, 300.0, str, kept)) == GOOD[:3]
    (first,) = kept
    first.line.close()
    first._process.wait(20)
    assert not first.alive
    assert list(by_crew(squared, range(10), 1, 300.0, str, kept)) == GOOD
    assert len(kept) == 1
    assert kept[0] is not first
    kept[0].end()
