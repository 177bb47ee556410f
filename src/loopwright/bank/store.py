"""Where a bank lies and how it is reached: the folder, its one setting, connections, one writer at a time.

FOLDER/bank.db is a database of SQLite, with a write-ahead log and full synchronisation: what was committed is
on the disk. With `database = "postgresql://..."` in FOLDER/bank.toml the bank is kept there instead. Every
change is one transaction, done whole or not at all. What a database has to say against it is told by
`store_troubles`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from sqlite3 import Connection as SQLiteConnection
from sqlite3 import Error as SQLiteError
from typing import TYPE_CHECKING

from ..errors import FaultyMaterial
from ..findings import Finding, Place
from ..later import later
from .bank_extra import (
    ArgumentError,
    Connection,
    DBAPIError,
    Engine,
    NoSuchModuleError,
    create_engine,
    event,
    inspect,
    make_url,
    text,
)
from .schema import schema_of
from .store_troubles import trouble_told
from .tables import NEWEST

if TYPE_CHECKING:
    from . import postgresql_bank_extra
    from .migrations.way import brought_to
else:
    brought_to = later("loopwright.bank.migrations.way", "brought_to")
    postgresql_bank_extra = later("loopwright.bank.postgresql_bank_extra")

DATABASE, SETTING = "bank.db", "bank.toml"
PATIENCE = 5  # seconds that a change waits for another
_WRITERS = 7_120_453  # the number by which writers on one PostgreSQL database wait for each other


class Store:
    """The database of one bank. Every transaction begins anew; nothing is held between two."""

    def __init__(self, folder: Path, *, new: bool = False, schema: str = NEWEST) -> None:
        """Reaches the bank of a folder. `new`: makes it where there is none. A bank of an older `schema` is
        brought to it. Raises FaultyMaterial where there is none, it is damaged, newer or out of reach."""
        self.folder = folder
        address = _setting(folder)
        self.place = address or str(folder / DATABASE)
        if not address and not (folder / DATABASE).is_file():
            if not new:
                raise FaultyMaterial(_not_there(folder))
            folder.mkdir(parents=True, exist_ok=True)
        self.engine = _engine(address, folder)
        try:
            self._ready(new, schema)
        except BaseException:
            self.close()
            raise

    @property
    def is_file(self) -> bool:
        """Whether the bank is a file of SQLite in its folder."""
        return self.engine.dialect.name == "sqlite"

    def _ready(self, new: bool, schema: str) -> None:
        with self.reading() as connection:
            there = schema_of(connection)
            strange = not there and bool(inspect(connection).get_table_names())
        if strange:
            raise FaultyMaterial(_not_a_bank(self.place))
        if not there and not new:
            raise FaultyMaterial(_not_there(self.folder))
        if int(there or 0) < int(schema):
            with self.writing() as connection:
                brought_to(connection, schema)
        if self.is_file:
            self._log_ahead()

    def _log_ahead(self) -> None:
        """Has the file keep a write-ahead log, which it then remembers."""
        with self._told(), closing(self.engine.raw_connection()) as connection:
            connection.cursor().execute("PRAGMA journal_mode = WAL")

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """One consistent look at the bank."""
        with self._told(), self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """One change: all of it is on the disk afterwards, or none."""
        opened = self.engine.connect
        with self._told(), opened().execution_options(writing=True) as connection, connection.begin():
            yield connection

    @contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except DBAPIError as trouble:
            raise FaultyMaterial(trouble_told(trouble.orig, self.place)) from trouble
        except SQLiteError as trouble:
            raise FaultyMaterial(trouble_told(trouble, self.place)) from trouble

    def close(self) -> None:
        """Lets go of the database."""
        self.engine.dispose()


def _engine(address: str, folder: Path) -> Engine:
    if not address:
        engine = create_engine(f"sqlite:///{folder / DATABASE}", connect_args={"timeout": PATIENCE})
        event.listen(engine, "connect", _as_sqlite_should)
        event.listen(engine, "begin", _sqlite_begins)
        return engine
    options = f"-c lock_timeout={PATIENCE * 1000}"
    url = make_url(address).set(drivername="postgresql+psycopg")
    engine = create_engine(
        url,
        module=postgresql_bank_extra.psycopg,
        connect_args={"connect_timeout": PATIENCE, "options": options},
    )
    event.listen(engine, "begin", _postgresql_begins)
    return engine


def _as_sqlite_should(connection: SQLiteConnection, _: object) -> None:
    connection.isolation_level = None  # transactions begin where `_sqlite_begins` says so, also around tables
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")


def _sqlite_begins(connection: Connection) -> None:
    writing = connection.get_execution_options().get("writing", False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writing else "BEGIN")


def _postgresql_begins(connection: Connection) -> None:
    if connection.get_execution_options().get("writing", False):
        connection.execute(text(f"SELECT pg_advisory_xact_lock({_WRITERS})"))
    else:
        connection.execute(text("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ READ ONLY"))


# -- the setting ----------------------------------------------------------------------------------


def _setting(folder: Path) -> str:
    """The address of a database in bank.toml; empty where there is no such file."""
    path = folder / SETTING
    if not path.exists():
        return ""
    try:
        content = tomllib.loads(path.read_text("utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError):
        raise FaultyMaterial(_bad_setting("it is not TOML")) from None
    address = content.get("database")
    if set(content) != {"database"} or not isinstance(address, str):
        raise FaultyMaterial(_bad_setting("it holds one key, database, with a text"))
    try:
        url = make_url(address)
        backend = url.get_backend_name()
    except (ArgumentError, NoSuchModuleError):
        raise FaultyMaterial(_bad_setting("the address cannot be read")) from None
    if backend != "postgresql" or not url.database:
        raise FaultyMaterial(_bad_setting("the address is not that of a PostgreSQL database"))
    if url.password:
        mend = "Leave it out of the file: keep it in .pgpass in your home folder, or in PGPASSWORD."
        raise FaultyMaterial(_bad_setting("the password stands where everybody can read it", mend))
    return address


def _bad_setting(
    why: str, mend: str = 'Write database = "postgresql://user@host/name", or take the file out.'
) -> Finding:
    return Finding("bank/setting", f"The setting of the bank is not clear: {why}.", mend, Place(SETTING))


def _not_there(folder: Path) -> Finding:
    mend = f"Look at the name, or begin one: loopwright bank {folder} add FILE."
    return Finding("bank/not-there", f"There is no bank in {folder}.", mend)


def _not_a_bank(place: str) -> Finding:
    mend = "Name another folder, or another database; nothing was changed."
    return Finding("bank/not-a-bank", f"{place} holds tables that are none of a bank's.", mend)
