"""What a set of papers is: who gets which code and which numbers, settled before anything is written.

The same problems, roster and wishes give the same plan, down to the codes; the digest of all of them tells
whether papers in a folder belong to it.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import astuple, dataclass

from .. import __version__
from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..findings import Finding
from ..many.each import ALONE, CrewWish
from ..problem.problem_text import written
from ..sheet.sheets import Tell
from ..versions.told import clash_found
from ..versions.versions import versions
from .codes import codes
from .roster import Roster, RosterEntry

POINTS = 10  # of a problem where nothing is said
MOST_POINTS = 1000
FORMS_MADE = ("pdf", "html")  # where nothing is said
ROOM = 60.0  # mm for the working of a problem, at least, where nothing is said
MOST_ROOM = 200.0


@dataclass(frozen=True, slots=True)
class PaperWishes:
    """How papers are to be. `title`: of the set; `points`: of each problem, or one number for all (empty: ten
    each); `edition`: of the sheet that is handed out; `key`: of the one in the key; `room`: millimetres for
    the working of each problem, at least, and the rest of its page (0: none, and no page of its own);
    `named`: whether papers bear who they are for, and not the code alone; `count`: how many versions of each
    problem (0: one for each paper); `seed`: another seed finds other versions and codes; `forms`: of the
    papers and keys. `paper`, `terms`, `resistors`: as for a sheet."""

    title: str = "Circuits"
    points: tuple[int, ...] = ()
    edition: str = "problem"
    key: str = "solution"
    room: float = ROOM
    named: bool = True
    count: int = 0
    seed: int = 1
    forms: tuple[str, ...] = FORMS_MADE
    paper: str = "a4"
    terms: str = "british"
    resistors: str = "iec"


@dataclass(frozen=True, slots=True)
class StudentPaper:
    """One paper: its code, whose it is, and the problems in its own numbers."""

    code: str
    entry: RosterEntry
    circuits: tuple[Circuit, ...]


@dataclass(frozen=True, slots=True)
class PaperPlan:
    """The whole set. `points`: of each problem; `digest`: of all that the files are made from."""

    wishes: PaperWishes
    points: tuple[int, ...]
    problems: tuple[Circuit, ...]
    papers: tuple[StudentPaper, ...]
    digest: str


def digest_of(problems: Sequence[Circuit], roster: Roster, wishes: PaperWishes) -> str:
    """By what sets of papers are told apart."""
    told = [__version__, repr(astuple(wishes)), *(written(problem) for problem in problems)]
    told += [f"{entry.student}\n{entry.name}" for entry in roster.entries]
    return hashlib.sha256("\0".join(told).encode()).hexdigest()


def planned(
    problems: Sequence[Circuit],
    roster: Roster,
    wishes: PaperWishes,
    tell: Tell = lambda _: None,
    *,
    crew: CrewWish = ALONE,
) -> PaperPlan:
    """Finds the versions and deals them out, one after another down the roster, so that neighbours on it have
    unlike ones. A problem without [versions] is the same on every paper. `crew`: who works at the search.

    Raises FaultyMaterial where there are too few versions, ValueError for wishes that make no sense.
    """
    points = _points(len(problems), wishes)
    several = [_versions(problem, len(roster.entries), wishes, tell, crew) for problem in problems]
    digest = digest_of(problems, roster, wishes)
    drawn = codes(digest, len(roster.entries))
    papers = [
        StudentPaper(code, entry, tuple(found[at % len(found)] for found in several))
        for at, (code, entry) in enumerate(zip(drawn, roster.entries, strict=True))
    ]
    return PaperPlan(wishes, points, tuple(problems), tuple(papers), digest)


def _points(problems: int, wishes: PaperWishes) -> tuple[int, ...]:
    given = wishes.points or (POINTS,)
    if not problems:
        raise ValueError("a paper needs a problem")
    if len(given) not in (1, problems):
        raise ValueError(f"points are given for {len(given)} problems, and there are {problems}")
    if not all(0 < each <= MOST_POINTS for each in given):
        raise ValueError(f"a problem has from 1 to {MOST_POINTS} points")
    if not 0 <= wishes.room <= MOST_ROOM:
        raise ValueError(f"room for working is from 0 to {MOST_ROOM:g} mm")
    return given if len(given) == problems else given * problems


def _versions(
    problem: Circuit, papers: int, wishes: PaperWishes, tell: Tell, crew: CrewWish
) -> tuple[Circuit, ...]:
    if not problem.versions.choices and not problem.versions.in_form:
        return (problem,)
    count = min(wishes.count or papers, papers)
    name = problem.title or "a circuit"
    tell(f"{count} versions of {name}")
    found = versions(problem, count, seed=wishes.seed, crew=crew, tell=lambda stage: tell(f"{name}: {stage}"))
    if not found.complete:
        clash = clash_found(found)
        mend = f"{clash.mend} Papers may share versions: --versions {max(1, len(found))}."
        message = f"{problem.title or 'Circuit'}: {clash.message}"
        raise FaultyMaterial(Finding(clash.code, message, mend, problem.place("versions"), clash.about))
    return found.circuits
