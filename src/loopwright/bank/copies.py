"""A bank copied whole: into one file as a backup, and back out of it.

A backup is a bank of SQLite in one file, whatever database it was made of, and consistent: it holds what the
bank held at one moment, while others go on changing it.
"""

from __future__ import annotations

import os
import sqlite3
import tempfile
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

from ..errors import FaultyMaterial
from ..findings import Finding
from .bank_extra import Connection, func, insert, select, text
from .store import DATABASE, Store
from .store_troubles import trouble_told
from .tables import METADATA

PAGES = 2000  # of the file, copied at a time
ROWS = 500


def backed_up(store: Store, file: Path, tell: Callable[[str], None] = lambda _: None) -> None:
    """Writes a backup; what stood there before stays until the new one is whole and looked through. Raises
    FaultyMaterial where the bank is damaged or there is no room."""
    file.parent.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory(dir=file.parent, prefix=".loopwright-") as beside:
        fresh = Path(beside) / DATABASE
        try:
            if store.is_file:
                _copy_file(store.folder / DATABASE, fresh, tell)
            else:
                _copy_rows_out(store, Path(beside), tell)
            _look_through(fresh)
        except sqlite3.Error as trouble:
            raise FaultyMaterial(trouble_told(trouble, str(file))) from None
        handle = os.open(fresh, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
        os.replace(fresh, file)


def _copy_file(source: Path, fresh: Path, tell: Callable[[str], None]) -> None:
    def told(_: int, left: int, of: int) -> None:
        tell(f"{of - left} of {of} pages copied")

    with closing(sqlite3.connect(source)) as bank, closing(sqlite3.connect(fresh)) as copy:
        bank.backup(copy, pages=PAGES, progress=told)


def _copy_rows_out(store: Store, beside: Path, tell: Callable[[str], None]) -> None:
    copy = Store(beside, new=True)
    try:
        with store.reading() as source, copy.writing() as target:
            _copy_rows(source, target, tell)
    finally:
        copy.close()
    with closing(sqlite3.connect(beside / DATABASE)) as database:
        database.execute("PRAGMA wal_checkpoint(TRUNCATE)")


def _look_through(fresh: Path) -> None:
    with closing(sqlite3.connect(fresh)) as database:
        found = database.execute("PRAGMA integrity_check(1)").fetchone()[0]
        database.execute("PRAGMA journal_mode = DELETE")  # a single file, until it is used as a bank
    if found != "ok":
        raise FaultyMaterial(_damaged())


def restored(store: Store, file: Path, tell: Callable[[str], None] = lambda _: None) -> None:
    """Fills an empty bank with a backup. Raises FaultyMaterial for a bank that holds something, and for a
    file that is no backup."""
    if not file.is_file():
        raise FaultyMaterial(_no_backup(file))
    with tempfile.TemporaryDirectory(prefix="loopwright-") as beside:
        (Path(beside) / DATABASE).write_bytes(file.read_bytes())  # an older schema is brought up there
        backup = Store(Path(beside))
        try:
            with backup.reading() as source, store.writing() as target:
                if any(target.execute(select(table).limit(1)).first() for table in METADATA.sorted_tables):
                    raise FaultyMaterial(_not_empty(store.folder))
                _copy_rows(source, target, tell)
        finally:
            backup.close()


def _copy_rows(source: Connection, target: Connection, tell: Callable[[str], None]) -> None:
    for table in METADATA.sorted_tables:
        rows = source.execution_options(yield_per=ROWS).execute(select(table))
        for at, chunk in enumerate(rows.mappings().partitions(ROWS)):
            target.execute(insert(table), [dict(row) for row in chunk])
            tell(f"{table.name}: {at * ROWS + len(chunk)} rows copied")
        if target.dialect.name == "postgresql" and "id" in table.c:
            highest = target.execute(select(func.max(table.c.id))).scalar() or 0
            counter = f"pg_get_serial_sequence('{table.name}', 'id')"
            target.execute(text(f"SELECT setval({counter}, {highest + 1}, false)"))


def _damaged() -> Finding:
    mend = "Export what can still be read, and go back to an earlier backup."
    return Finding("bank/damaged-inside", "The bank is damaged inside; no backup was written.", mend)


def _no_backup(file: Path) -> Finding:
    return Finding("bank/no-backup", f"There is no file {file}.", "Look at the name of the backup.")


def _not_empty(folder: Path) -> Finding:
    mend = "Name a folder that holds no bank yet."
    return Finding("bank/not-empty", f"The bank in {folder} holds something already.", mend)
