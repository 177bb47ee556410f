"""The schema of a bank: which one a database has, and which this Loopwright knows."""

from __future__ import annotations

from ..errors import FaultyMaterial
from ..findings import Finding
from .bank_extra import Connection, inspect, text
from .tables import NEWEST


def schema_of(connection: Connection) -> str:
    """The number of the schema that a database has; empty for none. Raises FaultyMaterial for a newer one
    than this Loopwright knows."""
    if not inspect(connection).has_table("alembic_version"):
        return ""
    schema = connection.execute(text("SELECT version_num FROM alembic_version")).scalar() or ""
    if schema and not (schema.isdigit() and int(schema) <= int(NEWEST)):
        raise FaultyMaterial(_newer(str(schema)))
    return str(schema)


def _newer(schema: str) -> Finding:
    return Finding(
        "bank/newer-schema",
        f"A newer Loopwright wrote the bank: it has schema {schema}, and this one knows up to {NEWEST}.",
        "Use the newer Loopwright, or let it bring the bank down: loopwright bank FOLDER schema "
        f"{NEWEST}. Nothing was changed.",
    )
