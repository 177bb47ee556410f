"""The tables of a bank as the newest schema has them; `migrations/` tells how they came about.

The text of a problem is the truth. Its words, features and likenesses are worked from it and kept beside it
to be looked up.
"""

from __future__ import annotations

from .bank_extra import (
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
)

NEWEST = "2"  # the schema these tables are

METADATA = MetaData()
PLAIN = String().with_variant(String(collation="C"), "postgresql")  # sorted by the signs themselves

PROBLEMS = Table(
    "problems",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("name", PLAIN, nullable=False, unique=True),
    Column("title", Text, nullable=False),
    Column("text", Text, nullable=False),
    Column("digest", PLAIN, nullable=False, unique=True),  # of the text
    Column("added", PLAIN, nullable=False),  # a day, as 2026-03-01
    Column("numbers", PLAIN, nullable=False),  # the likenesses; empty where they were not to be told
    Column("letters", PLAIN, nullable=False),
    Column("shape", PLAIN, nullable=False),
    Column("certificate", Text, nullable=False, server_default=""),  # JSON; empty where none was worked
)
for _strength in ("numbers", "letters", "shape"):
    Index(f"problems_by_{_strength}", PROBLEMS.c[_strength])

WORDS = Table(
    "words",
    METADATA,
    Column("word", PLAIN, primary_key=True),
    Column("problem", ForeignKey(PROBLEMS.c.id, ondelete="CASCADE"), primary_key=True),
    Index("words_by_problem", "problem"),
    sqlite_with_rowid=False,
)
TRAITS = Table(
    "traits",
    METADATA,
    Column("feature", PLAIN, primary_key=True),
    Column("amount", Integer, primary_key=True),
    Column("problem", ForeignKey(PROBLEMS.c.id, ondelete="CASCADE"), primary_key=True),
    Index("traits_by_problem", "problem"),
    sqlite_with_rowid=False,
)


def _with_a_problem(name: str, *columns: Column[str]) -> Table:
    return Table(
        name,
        METADATA,
        Column("id", Integer, primary_key=True),
        Column("problem", ForeignKey(PROBLEMS.c.id, ondelete="CASCADE"), nullable=False),
        Column("name", PLAIN, nullable=False),
        *columns,
        UniqueConstraint("problem", "name"),
    )


VERSIONS = _with_a_problem(
    "versions",
    Column("text", Text, nullable=False),
    Column("certificate", Text, nullable=False, server_default=""),
)
ITEMS = _with_a_problem(
    "items",
    Column("kind", PLAIN, nullable=False),
    Column("data", Text, nullable=False),  # the item as JSON, by the keys of docs/items.md
)
GIVEN = Table(
    "given",
    METADATA,
    Column("id", Integer, primary_key=True),
    Column("problem", ForeignKey(PROBLEMS.c.id), nullable=False),
    Column("day", PLAIN, nullable=False),  # as 2026-03-01
    Column("occasion", PLAIN, nullable=False),
    Column("paper", PLAIN, nullable=False),  # its code
    Column("student", PLAIN, nullable=False),  # by what the roster tells them
    UniqueConstraint("occasion", "day", "paper", "problem"),
    Index("given_by_problem", "problem"),
    Index("given_by_student", "student"),
)
