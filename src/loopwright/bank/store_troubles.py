"""What a database has to say, in words: full, busy, damaged, out of reach, not allowed."""

from __future__ import annotations

from ..findings import Finding

_UNDONE = "Nothing of the change was kept; what was in the bank before is whole."


def trouble_told(trouble: BaseException | None, place: str) -> Finding:
    """The finding for what a database raised. `place`: where the bank lies."""
    kind = _kind(trouble)
    if kind == "full":
        mend = f"{_UNDONE} Make room and do it again."
        return Finding("bank/full", f"There is no room left on the disk for {place}.", mend)
    if kind == "busy":
        mend = f"{_UNDONE} Try again once the other has ended."
        return Finding("bank/busy", f"Another program has been changing {place} for too long.", mend)
    if kind == "damaged":
        mend = "Leave the file as it is, put a backup in its place, and add what was put in since."
        return Finding("bank/damaged", f"{place} is damaged, or it is no bank at all.", mend)
    if kind == "read-only":
        mend = f"{_UNDONE} Look at the permissions of the folder and of all files in it."
        return Finding("bank/not-allowed", f"{place} may not be changed, or not be opened.", mend)
    if kind == "out of reach":
        mend = f"Look at the address in bank.toml, and whether the server runs. It said: {_said(trouble)}"
        return Finding("bank/out-of-reach", f"The database {place} cannot be reached.", mend)
    mend = f"{_UNDONE} It said: {_said(trouble)}"
    return Finding("bank/would-not", f"The database {place} would not do it.", mend)


_OF_SQLITE = {
    "SQLITE_FULL": "full",
    "SQLITE_BUSY": "busy",
    "SQLITE_LOCKED": "busy",
    "SQLITE_CORRUPT": "damaged",
    "SQLITE_NOTADB": "damaged",
    "SQLITE_READONLY": "read-only",
    "SQLITE_CANTOPEN": "read-only",
    "SQLITE_PERM": "read-only",
    "SQLITE_IOERR": "full",  # the system would not write: mostly a disk or a quota at its end
}
_OF_POSTGRESQL = {  # by the first signs of the code; the PostgreSQL manual, appendix A
    "53": "full",
    "55P03": "busy",
    "40": "busy",
    "XX": "damaged",
    "42501": "read-only",
    "25006": "read-only",
    "08": "out of reach",
    "28": "out of reach",
    "3D": "out of reach",
    "57P": "out of reach",
}


def _kind(trouble: BaseException | None) -> str:
    name = getattr(trouble, "sqlite_errorname", "") or ""
    if name:
        return next((kind for start, kind in _OF_SQLITE.items() if name.startswith(start)), "")
    code = getattr(trouble, "sqlstate", "") or ""
    if code:
        return next((kind for start, kind in _OF_POSTGRESQL.items() if code.startswith(start)), "")
    return "out of reach" if type(trouble).__name__ == "OperationalError" else ""


def _said(trouble: BaseException | None) -> str:
    """The first line of what the database itself says."""
    lines = str(trouble).strip().splitlines()
    return lines[0] if lines else "nothing"
