"""`papers`: a set of papers made into a folder, with keys, the table of answers and the cover.

Papers are made one after another, on several processes or elsewhere, with the same bytes: what one paper is
follows from the plan alone. Files are written by the process that was asked, each whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..findings import Finding
from ..legible import legible
from ..many.each import ALONE, CrewWish, each
from ..many.outcomes import MadeOf
from ..sheet.document import Document
from ..sheet.forms import FORMS
from ..sheet.sheets import Tell
from .answers import answer_rows, answer_table, problem_table, who_table
from .cover import cover
from .folder import SetFolder
from .paper import paper_key, student_paper
from .plan import PaperPlan, PaperWishes, digest_of, planned
from .roster import Roster

ANSWERS, WHO, PROBLEMS_IN_IT, COVER = "answers.csv", "who.csv", "problems.csv", "cover"


@dataclass(frozen=True, slots=True)
class PapersMade:
    """What a run did: the plan, how many files it wrote, and how many stood there already."""

    folder: Path
    plan: PaperPlan
    written: int
    kept: int

    @property
    def told(self) -> str:
        """The same in a line."""
        many = (
            "1 paper with its key"
            if len(self.plan.papers) == 1
            else f"{len(self.plan.papers)} papers with keys"
        )
        went_on = f", standing there already: {self.kept}" if self.kept else ""
        return f"{self.folder}: {many}; files written: {self.written}{went_on}."


def papers(
    problems: Sequence[Circuit],
    roster: Roster,
    folder: str | Path,
    wishes: PaperWishes | None = None,
    *,
    crew: CrewWish = ALONE,
    tell: Tell = lambda _: None,
) -> PapersMade:
    """Makes a paper with its key for everybody on the roster, the table of answers and the cover.

    A run that was interrupted goes on; where all stands there, nothing is written. `crew`: how many papers at
    a time, or the scheduler whose machines make them. `tell` hears how far it has come.
    Raises FaultyMaterial for problems that have too few versions or cannot be worked, and for a folder that
    holds another set; BrokenPromise where a check of ours fails; OSError where a file cannot be written:
    what was written until then is whole
    and stays. A paper that cannot be made is told so when all others are there.
    """
    wishes = wishes or PaperWishes()
    place = SetFolder(folder, digest_of(problems, roster, wishes))
    before = len(place.made)
    plan = planned(problems, roster, wishes, tell, crew=crew)
    for name, content in contents(plan, frozenset(place.made), crew, tell):
        place.put(name, content)
    place.finish()
    return PapersMade(place.path, plan, len(place.made) - before, before)


def contents(
    plan: PaperPlan, made: frozenset[str], crew: CrewWish = ALONE, tell: Tell = lambda _: None
) -> Iterator[tuple[str, bytes]]:
    """The files of a set that are not made yet, each by its name in the folder: papers and keys first."""
    left = [at for at, paper in enumerate(plan.papers) if not made >= set(names_of(plan, paper.code))]
    for count, files in enumerate(_each(plan, left, crew), len(plan.papers) - len(left) + 1):
        tell(f"paper {count} of {len(plan.papers)}")
        yield from ((name, content) for name, content in files if name not in made)
    tell("cover and tables")
    whole: dict[str, Callable[[], bytes]] = {
        ANSWERS: lambda: _table(answer_table([row for p in plan.papers for row in answer_rows(plan, p)])),
        WHO: lambda: _table(who_table(plan)),
        PROBLEMS_IN_IT: lambda: _table(problem_table(plan)),
    }
    for form in plan.wishes.forms:
        name = COVER + FORMS[form].ending
        if name not in made:
            yield name, _written(cover(plan), form)
    yield from ((name, content()) for name, content in whole.items() if name not in made)


def names_of(plan: PaperPlan, code: str) -> list[str]:
    """The names of all files of one paper."""
    endings = [FORMS[form].ending for form in plan.wishes.forms]
    return [name + ending for name in (f"papers/{code}", f"keys/{code}-key") for ending in endings]


def _table(text: str) -> bytes:
    return legible(text.replace("\r", "")).replace("\n", "\r\n").encode()


def _written(document: Document, form: str) -> bytes:
    content = FORMS[form].write(document)
    return content.encode() if isinstance(content, str) else content


def files_of(plan: PaperPlan, at: int) -> list[tuple[str, bytes]]:
    """All files of one paper: itself and its key, in each form."""
    paper = plan.papers[at]
    documents = (student_paper(plan, paper), paper_key(plan, paper))
    made = [_written(document, form) for document in documents for form in plan.wishes.forms]
    return list(zip(names_of(plan, paper.code), made, strict=True))


class PaperMaker:
    """Makes one paper after another of a plan, wherever it was sent."""

    def __init__(self, plan: PaperPlan) -> None:
        self._plan = plan

    def __call__(self, at: int) -> list[tuple[str, bytes]]:
        """The files of a paper."""
        return files_of(self._plan, at)

    def called(self, at: int) -> str:
        """How a paper is called in what is told of it."""
        return f"paper {self._plan.papers[at].code}"


def _each(plan: PaperPlan, left: Sequence[int], crew: CrewWish) -> Iterator[list[tuple[str, bytes]]]:
    """The files of these papers, in order, made here, by several processes or elsewhere. Those that cannot be
    made are told when all others are."""
    if not crew.on and min(crew.hands, len(left)) <= 1:
        yield from (files_of(plan, at) for at in left)
        return
    missing: list[Finding] = []
    maker = PaperMaker(plan)
    with closing(
        each(
            maker,
            left,
            crew,
            name=maker.called,
        )
    ) as outcomes:
        for outcome in outcomes:
            if isinstance(outcome, MadeOf):
                yield outcome.result
            else:
                missing.append(outcome.finding)
    if missing:
        raise FaultyMaterial(*missing)
