"""What was given to whom and when: a row for each problem on each paper.

A set of papers is read from its folder: `who.csv` says which student has which paper, `problems.csv` which
problems stand on them, by the names of their files; where the bank knows them by other names, whoever records
it says which they are. Nothing else of a student is kept than
what the roster tells them by.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from ..errors import FaultyMaterial
from ..findings import Finding, Place
from .bank_extra import Connection, func, insert, select
from .tables import GIVEN, PROBLEMS

WHO, PROBLEMS_ON_THEM = "who.csv", "problems.csv"
_DAY = re.compile(r"\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])")


@dataclass(frozen=True, slots=True)
class GivenPaper:
    """One problem on one paper. `occasion`: what the set is called; `day`: as 2026-03-01; `paper`: its code;
    `student`: by what the roster tells them."""

    day: str
    occasion: str
    paper: str
    student: str
    problem: str


@dataclass(frozen=True, slots=True)
class GivenSet:
    """A set of papers in short: the day, what it is called, its problems, and how many papers."""

    day: str
    occasion: str
    problems: tuple[str, ...]
    papers: int


def papers_in(folder: Path) -> tuple[tuple[str, str], ...]:
    """The code of each paper in a folder with the student who has it. Raises FaultyMaterial where the folder
    holds no such table."""
    rows = _rows(folder, WHO, "who has which paper")
    if not rows or not all(row.get("paper") and row.get("student") for row in rows):
        raise FaultyMaterial(_no_papers(folder, f"{WHO} has not a paper and a student in every row."))
    return tuple((row["paper"], row["student"]) for row in rows)


def problems_in(folder: Path) -> tuple[str, ...]:
    """The names of the problems on the papers in a folder, in their order. Raises FaultyMaterial where the
    folder does not say them."""
    rows = _rows(folder, PROBLEMS_ON_THEM, "which problems stand on the papers")
    names = tuple(row.get("name") or "" for row in rows)
    if not names or not all(names):
        raise FaultyMaterial(_no_papers(folder, f"{PROBLEMS_ON_THEM} has not a name in every row."))
    return names


def _rows(folder: Path, name: str, said: str) -> list[dict[str, str]]:
    """The rows of a table in a folder of papers; `said`: what it says."""
    try:
        with (folder / name).open(encoding="utf-8-sig", newline="") as file:
            return list(csv.DictReader(file, strict=True))
    except FileNotFoundError:
        message = f"{folder} holds no {name}, which says {said}."
        raise FaultyMaterial(_no_papers(folder, message)) from None
    except (UnicodeDecodeError, csv.Error):
        raise FaultyMaterial(_no_papers(folder, f"{name} is no table of comma-separated values.")) from None


def record(connection: Connection, many: Sequence[GivenPaper]) -> int:
    """Records what was given; what is recorded already stays as it is. How many rows are new."""
    key = {row.name: row.id for row in connection.execute(select(PROBLEMS.c.name, PROBLEMS.c.id))}
    columns = (GIVEN.c.occasion, GIVEN.c.day, GIVEN.c.paper, GIVEN.c.problem)
    there = {tuple(row) for row in connection.execute(select(*columns))}
    rows = {(one.occasion, one.day, one.paper, key[one.problem]): one.student for one in many}
    new = [
        {"occasion": what, "day": day, "paper": paper, "problem": problem, "student": student}
        for (what, day, paper, problem), student in rows.items()
        if (what, day, paper, problem) not in there
    ]
    if new:
        connection.execute(insert(GIVEN), new)
    return len(new)


def given(connection: Connection, *, problem: str = "", student: str = "") -> tuple[GivenPaper, ...]:
    """What was given, by day: all of it, or of one problem, or to one student."""
    query = select(GIVEN, PROBLEMS.c.name.label("called")).join(PROBLEMS)
    if problem:
        query = query.where(PROBLEMS.c.name == problem)
    if student:
        query = query.where(GIVEN.c.student == student)
    rows = connection.execute(query.order_by(GIVEN.c.day, GIVEN.c.occasion, GIVEN.c.paper, GIVEN.c.id))
    return tuple(GivenPaper(r.day, r.occasion, r.paper, r.student, r.called) for r in rows)


def sets(connection: Connection, problem: str = "") -> tuple[GivenSet, ...]:
    """The sets of papers given, by day: all, or those with a problem."""
    papers = func.count(GIVEN.c.paper.distinct())
    query = select(GIVEN.c.day, GIVEN.c.occasion, papers).group_by(GIVEN.c.day, GIVEN.c.occasion)
    names = select(GIVEN.c.day, GIVEN.c.occasion, PROBLEMS.c.name).join(PROBLEMS).distinct()
    by_set: dict[tuple[str, str], list[str]] = {}
    for day, occasion, name in connection.execute(names.order_by(PROBLEMS.c.name)):
        by_set.setdefault((day, occasion), []).append(name)
    rows = connection.execute(query.order_by(GIVEN.c.day, GIVEN.c.occasion))
    found = (GivenSet(day, what, tuple(by_set[day, what]), count) for day, what, count in rows)
    return tuple(one for one in found if not problem or problem in one.problems)


def checked_day(text: str) -> str:
    """A day as it is kept. Raises FaultyMaterial for any other text."""
    if _DAY.fullmatch(text) is None:
        message = f'"{text}" is no day.'
        raise FaultyMaterial(Finding("bank/no-day", message, "Write it as 2026-03-01."))
    return text


def _no_papers(folder: Path, message: str) -> Finding:
    mend = "Name a folder that loopwright papers wrote; of an older one say the problems with --of NAME..."
    return Finding("bank/no-papers", message, mend, Place(str(folder / WHO)))
