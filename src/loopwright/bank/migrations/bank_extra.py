"""The libraries of the extra `bank` that only a change of schema needs, and so every new bank.

Loaded here and nowhere else: where they are missing, one sentence says what to install.
"""

from __future__ import annotations

from ...errors import MissingExtra

try:
    from alembic import command, context, op
    from alembic.config import Config
    from sqlalchemy import Column, ForeignKey, Integer, String, Text
except ModuleNotFoundError:
    raise MissingExtra("The bank needs Alembic.", "bank") from None

__all__ = ["Column", "Config", "ForeignKey", "Integer", "String", "Text", "command", "context", "op"]
