"""The bank: problems kept in a folder, found again by words, by features and by likeness.

    with open_bank("bank") as bank:
        bank.add(Path("bus.toml").read_text(), "bus", "2026-03-01")
        found = bank.find("two sources, one battery charged")

What a call that changes the bank gives back is on the disk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Self

from ..circuit.circuit import Circuit
from ..circuit.names import nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from ..later import later
from ..versions.slips_apart import SlipCertificate
from . import beside, copies, given, looked_up, plain_files, problems
from .bank_extra import Connection
from .beside import KeptItem, KeptVersion
from .given import GivenPaper, GivenSet
from .likeness import Likeness, likeness
from .looking import WordsLooked, feature_near, looked_for
from .plain_files import WholeProblem
from .problems import Added, Kept, LikeProblem, WorkedProblem, worked
from .schema import schema_of
from .store import Store
from .tables import NEWEST

if TYPE_CHECKING:
    from .migrations.way import brought_to
else:
    brought_to = later("loopwright.bank.migrations.way", "brought_to")

TellStage = Callable[[str], None]
CHUNK = 100  # problems that are put in at a time


@dataclass(frozen=True, slots=True)
class FoundProblems:
    """What a search found: the first of them, and how many there are. `hints`: what may have been meant where
    nothing was found."""

    problems: tuple[Kept, ...]
    count: int
    hints: tuple[Finding, ...] = ()


class Bank:
    """A bank that is open; `open_bank` opens one."""

    def __init__(self, store: Store) -> None:
        self._store = store

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, trouble: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Lets go of the database."""
        self._store.close()

    # -- problems --------------------------------------------------------------------------------

    def add(self, text: str, name: str, day: str) -> Added:
        """Puts a problem in, under its name or the next free one like it; the same text only once. `day`: on
        which it is put in, as 2026-03-01. Raises FaultyMaterial for a text with faults."""
        (added,) = self.add_all([worked(text, name)], day)
        return added

    def add_all(
        self, many: Iterable[WorkedProblem], day: str, tell: TellStage = lambda _: None
    ) -> tuple[Added, ...]:
        """Puts problems in, a hundred at a time; those told of are on the disk. Raises FaultyMaterial for a
        day that is none."""
        given.checked_day(day)
        found: list[Added] = []
        chunk: list[WorkedProblem] = []
        for one in many:
            chunk.append(one)
            if len(chunk) == CHUNK:
                found += self._add(chunk, day)
                tell(f"{len(found)} problems in the bank")
                chunk = []
        return (*found, *(self._add(chunk, day) if chunk else ()))

    def _add(self, chunk: Sequence[WorkedProblem], day: str) -> list[Added]:
        with self._store.writing() as connection:
            return [problems.put_in(connection, one, day) for one in chunk]

    def names(self) -> tuple[str, ...]:
        """The names of all problems, sorted."""
        with self._store.reading() as connection:
            return problems.names(connection)

    def problem(self, name: str) -> Kept:
        """The problem of this name. Raises FaultyMaterial where there is none."""
        with self._store.reading() as connection:
            return self._named(connection, name)

    def _named(self, connection: Connection, name: str) -> Kept:
        found = problems.named(connection, name)
        if found is None:
            raise FaultyMaterial(_no_such(name, problems.names(connection)))
        return found

    def remove(self, name: str) -> None:
        """Takes a problem out for good, with all that is kept with it. Raises FaultyMaterial where there is
        none of this name, and for one that was given: what was set to students is not forgotten."""
        with self._store.writing() as connection:
            self._named(connection, name)
            if given.given(connection, problem=name):
                raise FaultyMaterial(_was_given(name))
            problems.take_out(connection, name)

    def find(self, line: str = "", most: int = 50) -> FoundProblems:
        """The problems for which all parts of a line hold (`looking`), those with the words in their title
        first, then by name. Raises FaultyMaterial for a line that cannot be read."""
        parts = looked_for(line)
        with self._store.reading() as connection:
            kept, count = looked_up.found(connection, parts, most)
            if count:
                return FoundProblems(kept, count)
            missing = looked_up.words_nowhere(connection, parts)
        either = [part.said for part in parts if isinstance(part, WordsLooked) and "or" in part.words]
        hints = (*(_nowhere(text) for text in missing), *map(_either, either))
        return FoundProblems((), 0, hints)

    def alike(self, circuit: Circuit) -> tuple[LikeProblem, ...]:
        """The problems whose circuit is this one up to renaming and redrawing, the most alike first. Raises
        FaultyMaterial for a circuit with too many parts alike."""
        forms = likeness(circuit)
        if not forms:
            raise FaultyMaterial(TOO_SYMMETRIC)
        with self._store.reading() as connection:
            return problems.alike(connection, forms)

    def groups(self, strength: Likeness = Likeness.NUMBERS) -> tuple[tuple[str, ...], ...]:
        """The names of problems in the bank that are alike in a strength, group by group."""
        with self._store.reading() as connection:
            return problems.groups(connection, strength)

    def counts(self) -> Mapping[str, int]:
        """How many problems, versions and quiz items there are."""
        with self._store.reading() as connection:
            return beside.counts(connection)

    # -- what goes with a problem ------------------------------------------------------------------

    def keep(
        self, name: str, versions: Mapping[str, str] | None = None, quizzes: Mapping[str, str] | None = None
    ) -> int:
        """Keeps versions (texts of problem files, by their names) and quizzes (JSON, by the names of their
        files) with a problem, in the place of those of the same names; how many versions and items. Raises
        FaultyMaterial, and keeps nothing, where one of them has a fault."""
        checked = beside.checked_versions(versions or {})
        items = [item for file, text in (quizzes or {}).items() for item in beside.quiz_items(text, file)]
        with self._store.writing() as connection:
            problem = self._named(connection, name)
            kept = beside.keep_versions(connection, problem, checked)
            return kept + beside.keep_items(connection, problem, items)

    def versions(self, name: str) -> tuple[KeptVersion, ...]:
        """The versions kept with a problem, by name."""
        with self._store.reading() as connection:
            return beside.versions_of(connection, self._named(connection, name))

    def items(self, name: str) -> tuple[KeptItem, ...]:
        """The quiz items kept with a problem, by name."""
        with self._store.reading() as connection:
            return beside.items_of(connection, self._named(connection, name))

    def certify(self, name: str) -> SlipCertificate:
        """Works out what the numbers of a problem tell of slips, and keeps it. Raises FaultyMaterial where
        numbers are missing."""
        problem = self.problem(name)
        found = beside.certificate_worked(problem)
        with self._store.writing() as connection:
            beside.keep_certificate(connection, problem, found)
        return found

    def certify_versions(
        self, name: str, tell: TellStage = lambda _: None
    ) -> tuple[tuple[str, SlipCertificate], ...]:
        """The same for each version with numbers that is kept with a problem, by its name."""
        found: list[tuple[str, SlipCertificate]] = []
        for version in self.versions(name):
            tell(f"{name}, {version.name}")
            if (certificate := beside.certificate_of(version)) is not None:
                found.append((version.name, certificate))
        with self._store.writing() as connection:
            problem = self._named(connection, name)
            for version_name, certificate in found:
                beside.keep_version_certificate(connection, problem, version_name, certificate)
        return tuple(found)

    # -- what was given ----------------------------------------------------------------------------

    def record(self, papers: Iterable[GivenPaper]) -> int:
        """Records what was given; how much of it was new. Raises FaultyMaterial, and records nothing, for a
        problem that the bank has not."""
        rows = tuple(papers)
        for row in rows:
            given.checked_day(row.day)
        with self._store.writing() as connection:
            for name in {row.problem for row in rows}:
                self._named(connection, name)
            return given.record(connection, rows)

    def record_papers(self, folder: str | Path, names: Sequence[str], day: str, occasion: str = "") -> int:
        """Records a folder of papers. `names`: of its problems, in the order in which they stand on each,
        where these are not the names that the folder says; `occasion`: what the set is called, by default as
        its folder."""
        what = occasion or Path(folder).resolve().name
        who = given.papers_in(Path(folder))
        named = names or given.problems_in(Path(folder))
        return self.record(GivenPaper(day, what, code, student, n) for code, student in who for n in named)

    def given(self, *, problem: str = "", student: str = "") -> tuple[GivenPaper, ...]:
        """What was given, by day: all of it, or of one problem, or to one student."""
        with self._store.reading() as connection:
            return given.given(connection, problem=problem, student=student)

    def sets(self, problem: str = "") -> tuple[GivenSet, ...]:
        """The sets of papers given, by day: all, or those with one problem."""
        with self._store.reading() as connection:
            return given.sets(connection, problem)

    # -- the whole bank ----------------------------------------------------------------------------

    def plain_files(self) -> Iterator[tuple[str, str]]:
        """Every file of an export, by its path in the folder, all of one moment."""
        with self._store.reading() as connection:
            yield from plain_files.plain_files(connection)

    def take_in(self, folder: str | Path, tell: TellStage = lambda _: None) -> int:
        """Puts in all of an export; how many problems were new. Raises FaultyMaterial, and puts in nothing,
        where the folder is no whole export."""
        whole: list[WholeProblem] = []
        for one in plain_files.read_plain_files(Path(folder)):
            whole.append(one)
            tell(f"{len(whole)} problems read")
        papers = plain_files.read_given(Path(folder))
        with self._store.writing() as connection:
            added = {one.problem.name: problems.put_in(connection, one.problem, one.added) for one in whole}
            for one in whole:
                problem = self._named(connection, added[one.problem.name].name)
                beside.keep_versions(connection, problem, one.versions)
                beside.keep_items(connection, problem, one.items)
                if one.certificate:
                    beside.put_certificate(connection, problem.key, one.certificate)
            names = {name: one.name for name, one in added.items()}
            given.record(connection, [replace(p, problem=names.get(p.problem, p.problem)) for p in papers])
        return sum(one.new for one in added.values())

    def back_up(self, file: str | Path, tell: TellStage = lambda _: None) -> None:
        """Writes the whole bank, as it is at one moment, into one file. Raises FaultyMaterial where the bank
        is damaged or there is no room; OSError where the file cannot be written."""
        copies.backed_up(self._store, Path(file), tell)

    def restore(self, file: str | Path, tell: TellStage = lambda _: None) -> None:
        """Fills this bank, which must be empty, with a backup."""
        copies.restored(self._store, Path(file), tell)


def open_bank(folder: str | Path, *, new: bool = False) -> Bank:
    """Opens the bank of a folder. `new`: begins one where there is none.

    Raises FaultyMaterial where there is none, it is damaged, of a newer schema, or out of reach."""
    return Bank(Store(Path(folder), new=new))


def bring_to(folder: str | Path, schema: int, *, let_go: bool = False) -> None:
    """Brings a bank to a schema from 1 to the newest, up or down, in one transaction. Raises FaultyMaterial
    for a schema that there is not, and where an older one would lose something that may not be let go."""
    if not 1 <= schema <= int(NEWEST):
        raise FaultyMaterial(_no_schema(schema))
    store = Store(Path(folder), schema="0")
    try:
        lost = 0
        with store.reading() as connection:
            if schema < 2 and schema_of(connection) == "2":
                lost = sum(n for name, n in beside.counts(connection).items() if name != "problems")
                lost += len(given.given(connection))
        if lost and not let_go:
            raise FaultyMaterial(_would_lose(schema, lost))
        with store.writing() as connection:
            brought_to(connection, str(schema))
    finally:
        store.close()


def _no_schema(schema: int) -> Finding:
    message = f"There is no schema {schema}; this Loopwright knows 1 to {NEWEST}."
    return Finding("bank/no-schema", message, "Name one of these.")


def _would_lose(schema: int, lost: int) -> Finding:
    return Finding(
        "bank/would-lose",
        f"Schema {schema} has no place for {lost:,} versions, items and records of what was given.",
        "Back the bank up first, then say --let-go.",
    )


def _no_such(name: str, known: Iterable[str]) -> Finding:
    near = nearest(name, known)
    mend = f"Did you mean {near}?" if near else "Look into the list: loopwright bank FOLDER find."
    return Finding("bank/no-such-problem", f"The bank has no problem called {name}.", mend)


def _was_given(name: str) -> Finding:
    message = f"{name} was given to students, and stays as the record of what they had."
    return Finding("bank/was-given", message, "Leave it; add the changed problem beside it.")


def _either(text: str) -> Finding:
    message = f'In "{text}" all words must stand, "or" among them: what is looked for all holds together.'
    return Finding("bank/either-or", message, "Look for one after the other.")


def _nowhere(text: str) -> Finding:
    near = feature_near(text)
    mend = f"Did you mean {near}?" if near else "Write the beginning of a word, or a feature."
    return Finding("bank/word-nowhere", f'No problem in the bank has the words "{text}".', mend)


TOO_SYMMETRIC = Finding(
    "bank/too-symmetric",
    "The circuit has so many parts alike that it takes too long to tell which others it is like.",
    "It can be kept and found by words and features all the same.",
)
