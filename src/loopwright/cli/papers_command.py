"""`loopwright papers`: a paper for every student, with keys, a table of answers and a cover."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

from ..many.each import CrewWish
from ..papers.folder import SetFolder
from ..papers.papers import PapersMade, contents
from ..papers.plan import FORMS_MADE, PaperPlan, PaperWishes, digest_of, planned
from ..papers.roster import roster_file
from .files import circuit_from, say, show
from .watch import TellProgress, streamed, watched


def run(given: argparse.Namespace) -> int:
    """Writes what is missing of a set of papers."""
    files = [given.file, *given.others]
    if not given.output or given.output == "-":
        say("Papers go into a folder: name it after -o.")
        return 2
    if len(given.points) > 1 and len(given.points) != len(files):
        say(f"Points are given for {len(given.points)} problems, and there are {len(files)}.")
        return 2
    roster = roster_file(given.roster)
    for note in roster.notes:
        say(note.as_text())
    problems = [circuit_from(file, given.terms, endless=True) for file in files]
    wishes = _wishes(given)
    place = SetFolder(given.output, digest_of(problems, roster, wishes))
    kept = len(place.made)
    crew = CrewWish(given.jobs, given.on, given.longest)
    plan = watched(lambda tell: planned(problems, roster, wishes, tell, crew=crew), given.longest)

    def work(tell: TellProgress) -> Iterator[tuple[str, bytes]]:
        return contents(plan, frozenset(place.made), crew, tell)

    with closing(streamed(work, given.longest)) as made:
        for name, content in made:
            place.put(name, content)
    place.finish()
    show(_told(plan, place, kept))
    return 0


def _wishes(given: argparse.Namespace) -> PaperWishes:
    return PaperWishes(
        title=" ".join(given.title.split()),
        points=tuple(given.points),
        edition=given.edition,
        key=given.key,
        room=given.room,
        named=not given.no_names,
        count=given.versions,
        seed=given.seed,
        forms=tuple(dict.fromkeys(given.formats or FORMS_MADE)),
        paper=given.paper,
        terms=given.terms or "british",
        resistors=given.resistors,
    )


def _told(plan: PaperPlan, place: SetFolder, kept: int) -> str:
    return PapersMade(Path(place.path), plan, len(place.made) - kept, kept).told
