"""The way from one schema of a bank to another, up or down.

Schemas are numbered from 1. Each step between two is a file in `migrations/steps/`, which goes up and down
with all that the tables hold; a whole way is one transaction.
"""

from __future__ import annotations

from pathlib import Path

from ..bank_extra import Connection
from ..schema import schema_of
from .migrations_bank_extra import Config, command

_HERE = Path(__file__).parent


def brought_to(connection: Connection, schema: str) -> None:
    """Brings a database to a schema, within the transaction of this connection."""
    now = int(schema_of(connection) or 0)
    config = Config()
    for key, path in (("script_location", _HERE), ("version_locations", _HERE / "steps")):
        config.set_main_option(key, str(path).replace("%", "%%"))
    config.set_main_option("path_separator", "newline")
    config.attributes["connection"] = connection
    if int(schema) > now:
        command.upgrade(config, schema)
    elif int(schema) < now:
        command.downgrade(config, schema if int(schema) else "base")
