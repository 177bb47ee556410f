"""Schema 1: problems, with what they are looked up by."""

from loopwright.bank.bank_extra import Column, ForeignKey, Integer, String, Text
from loopwright.bank.migrations.migrations_bank_extra import op

revision = "1"
down_revision = None

PLAIN = String().with_variant(String(collation="C"), "postgresql")


def upgrade() -> None:
    """Makes the tables."""
    op.create_table(
        "problems",
        Column("id", Integer, primary_key=True),
        Column("name", PLAIN, nullable=False, unique=True),
        Column("title", Text, nullable=False),
        Column("text", Text, nullable=False),
        Column("digest", PLAIN, nullable=False, unique=True),
        Column("added", PLAIN, nullable=False),
        Column("numbers", PLAIN, nullable=False),
        Column("letters", PLAIN, nullable=False),
        Column("shape", PLAIN, nullable=False),
    )
    for strength in ("numbers", "letters", "shape"):
        op.create_index(f"problems_by_{strength}", "problems", [strength])
    op.create_table(
        "words",
        Column("word", PLAIN, primary_key=True),
        Column("problem", Integer, ForeignKey("problems.id", ondelete="CASCADE"), primary_key=True),
        sqlite_with_rowid=False,
    )
    op.create_index("words_by_problem", "words", ["problem"])
    op.create_table(
        "traits",
        Column("feature", PLAIN, primary_key=True),
        Column("amount", Integer, primary_key=True),
        Column("problem", Integer, ForeignKey("problems.id", ondelete="CASCADE"), primary_key=True),
        sqlite_with_rowid=False,
    )
    op.create_index("traits_by_problem", "traits", ["problem"])


def downgrade() -> None:
    """Leaves an empty database."""
    for table in ("traits", "words", "problems"):
        op.drop_table(table)
