"""The bank: problems kept in a folder, found again by words, by features and by likeness.

    with open_bank("bank") as bank:
        bank.add(Path("bus.toml").read_text(), "bus", "2026-03-01")
        found = bank.find("two sources, one battery charged")

What a call that changes the bank gives back is on the disk.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Self

from ..circuit.circuit import Circuit
from ..circuit.names import nearest
from ..errors import FaultyMaterial
from ..findings import Finding
from . import looked_up, problems
from .likeness import Likeness, likeness
from .looking import feature_near, looked_for
from .problems import Added, Kept, LikeProblem, WorkedProblem, worked
from .store import Store

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
        """Puts problems in, a hundred at a time; those told of are on the disk."""
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
            found = problems.named(connection, name)
            if found is None:
                raise FaultyMaterial(_no_such(name, problems.names(connection)))
            return found

    def remove(self, name: str) -> None:
        """Takes a problem out for good. Raises FaultyMaterial where there is none of this name."""
        self.problem(name)
        with self._store.writing() as connection:
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
        return FoundProblems((), 0, tuple(_nowhere(text) for text in missing))

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


def open_bank(folder: str | Path, *, new: bool = False) -> Bank:
    """Opens the bank of a folder. `new`: begins one where there is none.

    Raises FaultyMaterial where there is none, it is damaged, of a newer schema, or out of reach."""
    return Bank(Store(Path(folder), new=new))


def _no_such(name: str, known: Iterable[str]) -> Finding:
    near = nearest(name, known)
    mend = f"Did you mean {near}?" if near else "Look into the list: loopwright bank FOLDER find."
    return Finding("bank/no-such-problem", f"The bank has no problem called {name}.", mend)


def _nowhere(text: str) -> Finding:
    near = feature_near(text)
    mend = f"Did you mean {near}?" if near else "Write the beginning of a word, or a feature."
    return Finding("bank/word-nowhere", f'No problem in the bank has the words "{text}".', mend)


TOO_SYMMETRIC = Finding(
    "bank/too-symmetric",
    "The circuit has so many parts alike that it takes too long to tell which others it is like.",
    "It can be kept and found by words and features all the same.",
)
