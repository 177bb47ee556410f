"""The library of the extra `bank` that speaks to PostgreSQL.

Loaded here and nowhere else: where it is missing, one sentence says what to install.
"""

from __future__ import annotations

from ..errors import MissingExtra

try:
    import psycopg
except ImportError:  # also where the system lacks the library that it speaks through
    raise MissingExtra("A bank on PostgreSQL needs psycopg.", "bank") from None

__all__ = ["psycopg"]
