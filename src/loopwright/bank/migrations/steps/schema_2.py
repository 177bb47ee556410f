"""Schema 2: what goes with a problem (versions, quiz items, certificates), and what was given to whom."""

from loopwright.bank.bank_extra import Column, ForeignKey, Integer, String, Text, UniqueConstraint
from loopwright.bank.migrations.migrations_bank_extra import op

revision = "2"
down_revision = "1"

PLAIN = String().with_variant(String(collation="C"), "postgresql")


def _kept_with_a_problem(table: str, *columns: Column[str]) -> None:
    op.create_table(
        table,
        Column("id", Integer, primary_key=True),
        Column("problem", Integer, ForeignKey("problems.id", ondelete="CASCADE"), nullable=False),
        Column("name", PLAIN, nullable=False),
        *columns,
        UniqueConstraint("problem", "name"),
    )


def upgrade() -> None:
    """Adds the tables, and to each problem an empty certificate."""
    op.add_column("problems", Column("certificate", Text, nullable=False, server_default=""))
    _kept_with_a_problem(
        "versions",
        Column("text", Text, nullable=False),
        Column("certificate", Text, nullable=False, server_default=""),
    )
    _kept_with_a_problem(
        "items",
        Column("kind", PLAIN, nullable=False),
        Column("data", Text, nullable=False),
    )
    op.create_table(
        "given",
        Column("id", Integer, primary_key=True),
        Column("problem", Integer, ForeignKey("problems.id"), nullable=False),
        Column("day", PLAIN, nullable=False),
        Column("occasion", PLAIN, nullable=False),
        Column("paper", PLAIN, nullable=False),
        Column("student", PLAIN, nullable=False),
        UniqueConstraint("occasion", "day", "paper", "problem"),
    )
    op.create_index("given_by_problem", "given", ["problem"])
    op.create_index("given_by_student", "given", ["student"])


def downgrade() -> None:
    """Takes them out; the problems stay as they are."""
    for table in ("given", "items", "versions"):
        op.drop_table(table)
    op.drop_column("problems", "certificate")
    op.execute("DELETE FROM traits WHERE feature = 'slips apart'")
