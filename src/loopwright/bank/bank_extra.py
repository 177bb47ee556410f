"""The libraries of the extra `bank`: the database toolkit, which every command of the bank uses.

Loaded here and nowhere else: where they are missing, one sentence says what to install.
"""

from __future__ import annotations

from ..errors import MissingExtra

try:
    from sqlalchemy import (
        Column,
        ColumnElement,
        Connection,
        Engine,
        ForeignKey,
        Index,
        Integer,
        MetaData,
        Row,
        Select,
        String,
        Table,
        Text,
        UniqueConstraint,
        create_engine,
        delete,
        event,
        func,
        insert,
        inspect,
        literal,
        make_url,
        select,
        text,
        update,
    )
    from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError
except ModuleNotFoundError:
    raise MissingExtra("The bank needs SQLAlchemy.", "bank") from None

__all__ = [
    "ArgumentError",
    "Column",
    "ColumnElement",
    "Connection",
    "DBAPIError",
    "Engine",
    "ForeignKey",
    "Index",
    "Integer",
    "MetaData",
    "NoSuchModuleError",
    "Row",
    "Select",
    "String",
    "Table",
    "Text",
    "UniqueConstraint",
    "create_engine",
    "delete",
    "event",
    "func",
    "insert",
    "inspect",
    "literal",
    "make_url",
    "select",
    "text",
    "update",
]
