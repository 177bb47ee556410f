"""Problems in the tables: put in with all they are looked up by, named, taken out, compared."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..findings import Finding, Severity
from ..problem.problem_file import read_text
from .bank_extra import Connection, Row, delete, func, insert, select
from .features import features, words_of
from .likeness import Likeness, likeness
from .tables import PROBLEMS, TRAITS, WORDS

_FORMS = {
    Likeness.NUMBERS: PROBLEMS.c.numbers,
    Likeness.LETTERS: PROBLEMS.c.letters,
    Likeness.SHAPE: PROBLEMS.c.shape,
}


@dataclass(frozen=True, slots=True)
class WorkedProblem:
    """A problem with all that is kept beside its text: `digest` of the text, `forms` of the circuit."""

    name: str
    title: str
    text: str
    digest: str
    forms: Mapping[Likeness, str]
    words: tuple[str, ...]
    traits: Mapping[str, int]


@dataclass(frozen=True, slots=True)
class Kept:
    """A problem as it stands in the bank. `added`: on which day; `certificate`: what its numbers tell of
    slips, as JSON, empty where that was not worked; `key`: its number in the tables."""

    name: str
    title: str
    added: str
    text: str
    certificate: str
    key: int


@dataclass(frozen=True, slots=True)
class LikeProblem:
    """A problem in the bank that is like another, and how."""

    name: str
    title: str
    how: Likeness


@dataclass(frozen=True, slots=True)
class Added:
    """What came of putting a problem in: the name it has, whether it is new there, and those it is like."""

    name: str
    new: bool
    like: tuple[LikeProblem, ...]


def worked(text: str, name: str, file: str = "") -> WorkedProblem:
    """Works out what is kept of a problem. Raises FaultyMaterial with all faults of its text, and for a name
    that no file could have. `file`: the name that findings tell."""
    if name in ("", ".", "..") or set(name) & set("/\\\0\n\r") or len(name) > 100:
        raise FaultyMaterial(_bad_name(name))
    circuit, findings = read_text(text, file or name)
    if circuit is None:
        raise FaultyMaterial(*(f for f in findings if f.severity is Severity.ERROR))
    plain = text.removeprefix("\ufeff").replace("\r\n", "\n")
    return WorkedProblem(
        name,
        circuit.title,
        plain,
        sha256(plain.encode()).hexdigest(),
        likeness(circuit),
        words_of(name, circuit.title, circuit.story),
        features(circuit),
    )


def put_in(connection: Connection, one: WorkedProblem, day: str) -> Added:
    """Puts a problem in, unless its very text is there."""
    there = connection.execute(select(PROBLEMS.c.name).where(PROBLEMS.c.digest == one.digest)).scalar()
    if there is not None:
        return Added(there, False, ())
    like = alike(connection, one.forms)
    name = _free(connection, one.name)
    made = connection.execute(
        insert(PROBLEMS).values(
            name=name,
            title=one.title,
            text=one.text,
            digest=one.digest,
            added=day,
            **{str(column.name): one.forms.get(how, "") for how, column in _FORMS.items()},
        )
    )
    key = made.inserted_primary_key
    problem = key[0] if key is not None else 0
    words = [{"word": word, "problem": problem} for word in dict.fromkeys((*one.words, *words_of(name)))]
    traits = [{"feature": f, "amount": n, "problem": problem} for f, n in one.traits.items()]
    connection.execute(insert(WORDS), words)
    connection.execute(insert(TRAITS), traits)
    return Added(name, True, like)


def _free(connection: Connection, name: str) -> str:
    """The name, or the next that is free: bus, bus-2, bus-3."""
    like_it = select(PROBLEMS.c.name).where(PROBLEMS.c.name >= name, PROBLEMS.c.name < name + "\U0010ffff")
    taken = set(connection.execute(like_it).scalars())
    found, number = name, 1
    while found in taken:
        number += 1
        found = f"{name}-{number}"
    return found


def names(connection: Connection) -> tuple[str, ...]:
    """The names of all problems, sorted."""
    return tuple(connection.execute(select(PROBLEMS.c.name).order_by(PROBLEMS.c.name)).scalars())


def named(connection: Connection, name: str) -> Kept | None:
    """The problem of a name."""
    row = connection.execute(select(PROBLEMS).where(PROBLEMS.c.name == name)).one_or_none()
    return None if row is None else kept(row)


def kept(row: Row[Any]) -> Kept:
    """A row as a value."""
    return Kept(row.name, row.title, row.added, row.text, row.certificate, row.id)


def take_out(connection: Connection, name: str) -> None:
    """Takes a problem out; what is kept beside it goes with it."""
    connection.execute(delete(PROBLEMS).where(PROBLEMS.c.name == name))


def alike(connection: Connection, forms: Mapping[Likeness, str]) -> tuple[LikeProblem, ...]:
    """The problems with one of these forms, each once, in its greatest strength."""
    found: dict[str, LikeProblem] = {}
    for how, form in forms.items():
        columns = select(PROBLEMS.c.name, PROBLEMS.c.title).where(_FORMS[how] == form)
        for name, title in connection.execute(columns.order_by(PROBLEMS.c.name)):
            found.setdefault(name, LikeProblem(name, title, how))
    return tuple(found.values())


def groups(connection: Connection, strength: Likeness) -> tuple[tuple[str, ...], ...]:
    """The names of problems that share a form."""
    form = _FORMS[strength]
    shared = select(form).where(form != "").group_by(form).having(func.count() > 1)
    rows = connection.execute(select(form, PROBLEMS.c.name).where(form.in_(shared)).order_by(PROBLEMS.c.name))
    found: dict[str, list[str]] = {}
    for key, name in rows:
        found.setdefault(key, []).append(name)
    return tuple(map(tuple, found.values()))


def told_like(like: Iterable[LikeProblem]) -> str:
    """Problems alike in words: `the same numbers: bus and tram; the same shape: winch`."""
    by: dict[Likeness, list[str]] = {}
    for one in like:
        by.setdefault(one.how, []).append(one.name)
    return "; ".join(f"{how}: {listed(found)}" for how, found in by.items())


def circuit_kept(problem: Kept) -> Circuit:
    """The circuit of a problem in the bank. Raises FaultyMaterial where it is no longer read."""
    circuit, findings = read_text(problem.text, problem.name)
    if circuit is None:
        raise FaultyMaterial(*findings)
    return circuit


def _bad_name(name: str) -> Finding:
    message = f"A problem cannot be called {name!r}: the name is also that of its file."
    return Finding("bank/bad-name", message, "Take letters, digits, spaces and hyphens, at most 100.")
