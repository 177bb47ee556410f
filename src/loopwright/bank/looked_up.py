"""What is looked for, looked up in the tables."""

from __future__ import annotations

from collections.abc import Sequence

from .bank_extra import ColumnElement, Connection, Select, func, select
from .features import words_of
from .looking import DayLooked, FeatureLooked, GivenLooked, PartLooked, WordsLooked
from .problems import Kept, kept
from .tables import GIVEN, ITEMS, PROBLEMS, TRAITS, VERSIONS, WORDS

_BESIDE = {"versions": VERSIONS, "items": ITEMS}  # features counted where they are kept
_LAST = "\U0010ffff"  # sorts after every sign of a word


def found(connection: Connection, parts: Sequence[PartLooked], most: int) -> tuple[tuple[Kept, ...], int]:
    """The first problems for which all parts hold, and how many there are."""
    holds = [condition for part in parts for condition in _conditions(part)]
    keys = connection.execute(
        select(PROBLEMS.c.id, PROBLEMS.c.name, PROBLEMS.c.title).where(*holds).order_by(PROBLEMS.c.name)
    ).all()
    words = [word for part in parts if isinstance(part, WordsLooked) for word in part.words]
    first = sorted(keys, key=lambda row: not _in_title(row.title, words)) if words else keys
    shown = [row.id for row in first[:most]]
    rows = {row.id: row for row in connection.execute(select(PROBLEMS).where(PROBLEMS.c.id.in_(shown)))}
    return tuple(kept(rows[key]) for key in shown), len(keys)


def words_nowhere(connection: Connection, parts: Sequence[PartLooked]) -> tuple[str, ...]:
    """The parts that are words of which one stands in no problem."""
    texts = (part for part in parts if isinstance(part, WordsLooked))
    return tuple(
        part.said
        for part in texts
        if any(connection.execute(_with_word(word).limit(1)).first() is None for word in part.words)
    )


def _conditions(part: PartLooked) -> list[ColumnElement[bool]]:
    match part:
        case WordsLooked(words):
            return [PROBLEMS.c.id.in_(_with_word(word)) for word in words]
        case FeatureLooked(feature, least, most) if feature in _BESIDE:
            table = _BESIDE[feature]
            many = select(func.count()).where(table.c.problem == PROBLEMS.c.id).scalar_subquery()
            return [many.between(least, most)]
        case FeatureLooked(feature, least, most):
            has = select(TRAITS.c.problem).where(
                TRAITS.c.feature == feature, TRAITS.c.amount.between(least, most)
            )
            return [PROBLEMS.c.id.in_(has)]
        case DayLooked("added", how, day):
            return [_on(PROBLEMS.c.added, how, day)]
        case DayLooked(_, how, day):
            return [PROBLEMS.c.id.in_(select(GIVEN.c.problem).where(_on(GIVEN.c.day, how, day)))]
        case GivenLooked(whether, student):
            papers = select(GIVEN.c.problem)
            papers = papers.where(GIVEN.c.student == student) if student else papers
            return [PROBLEMS.c.id.in_(papers) if whether else PROBLEMS.c.id.not_in(papers)]


def _with_word(word: str) -> Select[tuple[int]]:
    """The problems with a word that begins so."""
    return select(WORDS.c.problem).where(WORDS.c.word >= word, WORDS.c.word < word + _LAST)


def _on(column: ColumnElement[str], how: str, day: str) -> ColumnElement[bool]:
    if how == "since":
        return column >= day
    return column < day if how == "before" else func.substr(column, 1, len(day)) == day


def _in_title(title: str, words: Sequence[str]) -> bool:
    """Whether every word looked for begins a word of the title."""
    if title.isascii() and not all(word in title.casefold() for word in words):
        return False  # most of them, told without taking the title apart
    there = words_of(title)
    return all(any(known.startswith(word) for known in there) for word in words)
