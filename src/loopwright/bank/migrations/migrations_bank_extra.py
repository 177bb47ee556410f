"""The library of the extra `bank` that only a change of schema needs, and so every new bank.

Loaded here and nowhere else: where it is missing, one sentence says what to install.
"""

from __future__ import annotations

from ...errors import MissingExtra

try:
    from alembic import command, context, op
    from alembic.config import Config
except ModuleNotFoundError:
    raise MissingExtra("The bank needs Alembic.", "bank") from None

__all__ = ["Config", "command", "context", "op"]
