"""A program killed at any moment loses nothing that it has told is in the bank, on either database; and a
bank on PostgreSQL is the same bank."""

from __future__ import annotations

import os
import random
import shutil
import signal
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest

from loopwright.bank.bank import bring_to, open_bank
from loopwright.bank.likeness import Likeness
from loopwright.bank.problems import WorkedProblem, worked
from loopwright.errors import FaultyMaterial
from loopwright.problem.problem_file import read_text
from tests.bank_samples import BUS, DAY, TRAM, fill, whole
from tests.bank_server import BankServer, bank_server

MOMENTS = 50
LONGEST = 0.06  # seconds that a program has before it is killed, at most


@pytest.fixture(scope="module")
def server() -> Iterator[BankServer]:
    with bank_server() as running:
        yield running


def problems(first: int) -> Iterator[WorkedProblem]:
    """Problems worked out beforehand, so that nearly all the time goes into the database."""
    base = worked(BUS, "bus")
    for number in range(first, first + 100_000):
        yield replace(base, name=f"p{number}", text=f"# {number}\n{BUS}", digest=f"{number:064}")


def killed_while_adding(folder: Path, first: int, after: float) -> list[str]:
    """A process that puts in one problem after another and tells each once it is in, killed after so many
    seconds; what it told."""
    told, tell = os.pipe()
    child = os.fork()
    if not child:
        try:
            os.close(told)
            with open_bank(folder) as bank:
                for one in problems(first):
                    bank.add_all([one], DAY)
                    os.write(tell, f"{one.name}\n".encode())
        finally:
            os._exit(1)
    os.close(tell)
    with os.fdopen(told) as heard:
        lines = [heard.readline()]  # it is under way
        time.sleep(after)
        os.kill(child, signal.SIGKILL)
        lines += heard.readlines()
    os.waitpid(child, 0)
    return [line.strip() for line in lines if line.endswith("\n")]


def kept(folder: Path) -> set[str]:
    with open_bank(folder) as bank:
        return set(bank.names())


def kill_at_all_moments(folder: Path, between: Callable[[int], object]) -> None:
    chance, told = random.Random(11), set[str]()
    for moment in range(MOMENTS):
        told |= set(killed_while_adding(folder, 100_000 * moment, chance.uniform(0, LONGEST)))
        between(moment)
    assert told <= kept(folder)
    assert len(kept(folder) - told) <= MOMENTS  # each may have been killed between the disk and its word
    assert len(told) >= MOMENTS
    with open_bank(folder) as bank:
        assert bank.find("two sources, battery").count == len(kept(folder))


@pytest.mark.slow  # fifty processes
def test_a_program_killed_at_fifty_moments_loses_nothing_it_has_told(tmp_path: Path) -> None:
    folder = tmp_path / "bank"
    open_bank(folder, new=True).close()

    def looked_through(moment: int) -> None:
        if moment % 10 == 9:
            with closing(sqlite3.connect(folder / "bank.db")) as database:
                assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
                assert not database.execute("PRAGMA foreign_key_check").fetchall()

    kill_at_all_moments(folder, looked_through)


@pytest.mark.slow  # fifty processes, and a server that is killed as well
def test_nor_on_postgresql_where_the_server_is_killed_with_it(server: BankServer, tmp_path: Path) -> None:
    folder = server.folder_of_bank(tmp_path / "bank", "killed")
    open_bank(folder, new=True).close()

    def killed_too(moment: int) -> None:
        if moment % 20 == 9:
            server.kill()
            server.start()

    kill_at_all_moments(folder, killed_too)


LINES = (
    *("two sources", "battery charged", "tra", "no bridge, given", "given to s18", "never given", "versions"),
    *("at most 1 items, added since 2026", "given before 2026-03-02", '"bridge"', "surces"),
)


@pytest.mark.slow  # a server is started
def test_a_bank_on_postgresql_is_the_same_bank(server: BankServer, filled_bank: Path, tmp_path: Path) -> None:
    folder = server.folder_of_bank(tmp_path / "bank", "same")
    copy = Path(shutil.copytree(filled_bank, tmp_path / "sqlite"))
    with open_bank(folder, new=True) as bank, open_bank(copy) as sqlite:
        fill(bank)
        assert whole(bank) == whole(sqlite)
        assert dict(bank.plain_files()) == dict(sqlite.plain_files())
        for line in LINES:
            assert [p.name for p in bank.find(line).problems] == [p.name for p in sqlite.find(line).problems]
        circuit, _ = read_text(TRAM)
        assert circuit is not None
        assert bank.alike(circuit) == sqlite.alike(circuit)
        assert bank.groups(Likeness.LETTERS) == sqlite.groups(Likeness.LETTERS)
        bank.back_up(tmp_path / "backup.db")
        with pytest.raises(FaultyMaterial, match="was given to students"):
            bank.remove("bus")
    again = server.folder_of_bank(tmp_path / "again", "again")
    for restored in (again, tmp_path / "file"):
        with open_bank(restored, new=True) as bank, open_bank(copy) as sqlite:
            bank.restore(tmp_path / "backup.db")
            assert whole(bank) == whole(sqlite)
            bank.add(BUS + "# one more\n", "more", DAY)  # numbers of rows go on after those restored
    there_and_back(folder)


def there_and_back(folder: Path) -> None:
    """The schema down and up, with what the tables hold."""
    with open_bank(folder) as bank:
        before = [(p.name, p.text) for p in map(bank.problem, bank.names())]
    with pytest.raises(FaultyMaterial, match="no place for"):
        bring_to(folder, 1)
    bring_to(folder, 1, let_go=True)
    with open_bank(folder) as bank:
        assert [(p.name, p.text) for p in map(bank.problem, bank.names())] == before
        assert bank.find("two sources, bridge").count + bank.find("two sources").count > 1
        assert bank.sets() == ()


@pytest.mark.slow  # a server is started
def test_what_postgresql_has_against_it_is_told(
    server: BankServer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("loopwright.bank.store.PATIENCE", 1)
    folder = server.folder_of_bank(tmp_path / "bank", "trouble")
    with open_bank(folder, new=True) as bank:
        fill(bank)
        held = whole(bank)
        with open_bank(folder) as other, other._store.writing():
            assert bank.find("bridge").count == 1  # looking waits for nobody
            with pytest.raises(FaultyMaterial, match="Another program"):
                bank.remove("bridge")
        assert whole(bank) == held
    (folder / "bank.toml").write_text(f'database = "postgresql://keeper@/nowhere?host={server.folder}"\n')
    with pytest.raises(FaultyMaterial, match="cannot be reached"):
        open_bank(folder)
    (folder / "bank.toml").write_text(f'database = "postgresql://keeper@/x?host={tmp_path}"\n')
    with pytest.raises(FaultyMaterial, match="cannot be reached"):
        open_bank(folder)
