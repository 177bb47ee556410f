"""The roster: who gets a paper. A table of comma-separated values (RFC 4180) in UTF-8 that holds no more
than that: a column `student` by which each is told from the others, and a column `name` if papers are to bear
names.

Spreadsheets write such tables with commas, semicolons or tabs; the line of heads tells which. A cell that a
spreadsheet would take for a formula is refused, for it would stand in the tables written here as well.
"""

from __future__ import annotations

import csv
import io
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from ..errors import FaultyMaterial
from ..findings import Finding, Place, Severity, in_order
from .codes import MOST_PAPERS

COLUMNS = {
    "student": "what each student is told by: a number or a code of yours",
    "name": "the name to print",
}
LARGEST = 4_000_000  # bytes
LONGEST_CELL = 80  # signs
FORMULA = "=+-@\t\r"  # what a cell begins with that a spreadsheet takes for a formula
_DIRECTIONS = "\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069"
_JOINERS = "\u200c\u200d"  # unseen as well, but part of how some names are written
_MARKS = ((b"\xff\xfe", "UTF-16"), (b"\xfe\xff", "UTF-16"), (b"PK\x03\x04", "a workbook"))


@dataclass(frozen=True, slots=True)
class RosterEntry:
    """One student: what they are told by, and the name to print (empty where there is none)."""

    student: str
    name: str = ""


@dataclass(frozen=True, slots=True)
class Roster:
    """All who get a paper, in the order of the file; `notes`: what was left out of account."""

    entries: tuple[RosterEntry, ...]
    notes: tuple[Finding, ...] = ()


def roster_file(path: str | Path) -> Roster:
    """Reads a roster. Raises FaultyMaterial with everything that is wrong with it, each with its line."""
    file = str(path)
    try:
        data = Path(path).read_bytes()
    except FileNotFoundError:
        raise FaultyMaterial(
            Finding("roster/missing", "There is no such file.", "Look at its name again.", Place(file))
        ) from None
    except OSError as trouble:
        message = f"The file cannot be read: {trouble.strerror or trouble}."
        raise FaultyMaterial(
            Finding("roster/missing", message, "Name a file that you may read.", Place(file))
        ) from None
    return read_roster(data, file)


def read_roster(data: bytes, file: str = "roster") -> Roster:
    """The same from its bytes; `file` is what it is called where something is wrong."""
    rows = _rows(_text(data, file), file)
    head_line, head = rows[0]
    names = [" ".join(cell.split()).lower() for cell in head]
    faults = _faults_of_head(names, head_line, file)
    notes = tuple(
        Finding(
            "roster/unused-column",
            f"The column {name or 'without a head'} is not read.",
            "Take it out: a roster holds no more than is needed, and papers need none of it.",
            Place(file, head_line),
            severity=Severity.NOTE,
        )
        for name in dict.fromkeys(names)
        if name not in COLUMNS
    )
    if faults:
        raise FaultyMaterial(*faults)
    entries: list[RosterEntry] = []
    met: dict[str, int] = {}
    for line, row in rows[1:]:
        if len(row) != len(head):
            message = f"This line has {len(row)} cells, and the line of heads {len(head)}."
            mend = "Give each line as many; a cell with a comma in it stands between double quotes."
            faults.append(Finding("roster/uneven", message, mend, Place(file, line)))
            continue
        cells = {name: _plain(cell) for name, cell in zip(names, row, strict=True) if name in COLUMNS}
        faults += _faults_of_row(cells, line, file)
        same = unicodedata.normalize("NFKC", cells["student"]).casefold()
        if same and same in met:
            message = f"The student {cells['student']} stands on line {met[same]} already."
            faults.append(
                Finding("roster/repeated-student", message, "Give each a line and a number of their own.",
                        Place(file, line))
            )  # fmt: skip
        met.setdefault(same, line)
        entries.append(RosterEntry(cells["student"], cells.get("name", "")))
    if not rows[1:]:
        mend = "Write a line for each student below the line of heads."
        faults.append(Finding("roster/nobody", "There is nobody on the roster.", mend, Place(file)))
    if len(entries) > MOST_PAPERS:
        message = f"{len(entries):,} students are more than the {MOST_PAPERS:,} of one set of papers."
        faults.append(Finding("roster/too-many", message, "Divide the roster.", Place(file)))
    if faults:
        raise FaultyMaterial(*in_order(faults))
    return Roster(tuple(entries), notes)


def _plain(cell: str) -> str:
    """A cell without the unseen marks that programs put around names written from right to left."""
    return "".join(sign for sign in cell if sign not in _DIRECTIONS).strip()


def _text(data: bytes, file: str) -> str:
    if len(data) > LARGEST:
        message = f"The file has {len(data):,} bytes: hardly a roster."
        raise FaultyMaterial(Finding("roster/too-long", message, "Name the table of students.", Place(file)))
    for mark, what in _MARKS:
        if data.startswith(mark):
            message = f"The file is {what}, not a table of comma-separated values in UTF-8."
            raise FaultyMaterial(
                Finding("roster/not-utf-8", message, "Save it as CSV in UTF-8.", Place(file))
            )
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as trouble:
        line = data.count(b"\n", 0, trouble.start) + 1
        message = "What stands here is not UTF-8 text."
        raise FaultyMaterial(
            Finding("roster/not-utf-8", message, "Save the table as CSV in UTF-8.", Place(file, line))
        ) from None


def _rows(text: str, file: str) -> list[tuple[int, list[str]]]:
    """The rows that hold anything, each with the line on which it ends."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    if not first:
        mend = "Write the heads student and name into the first line, and a student into each below."
        raise FaultyMaterial(Finding("roster/empty", "Nothing stands in the file.", mend, Place(file)))
    separator = max(",;\t", key=first.count)
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator, strict=True)
    found: list[tuple[int, list[str]]] = []
    try:
        found += [(reader.line_num, row) for row in reader if any(cell.strip() for cell in row)]
    except csv.Error:
        mend = "Close every double quote; one inside a cell is written twice."
        message = "This line is no row of a table."
        raise FaultyMaterial(Finding("roster/not-csv", message, mend, Place(file, reader.line_num))) from None
    return found


def _faults_of_head(names: list[str], line: int, file: str) -> list[Finding]:
    found = [
        Finding("roster/repeated-column", f"Two columns are called {name}.",
                "Leave one of them out.", Place(file, line))
        for name in COLUMNS
        if names.count(name) > 1
    ]  # fmt: skip
    if "student" not in names:
        has = (
            f"the heads are {', '.join(name for name in names if name)}" if any(names) else "it has no heads"
        )
        message = f"No column is called student, {COLUMNS['student']}; {has}."
        mend = "Call the column student; a second one, name, is printed on the papers."
        found.append(Finding("roster/missing-column", message, mend, Place(file, line)))
    return found


def _faults_of_row(cells: dict[str, str], line: int, file: str) -> list[Finding]:
    found: list[Finding] = []
    for name, cell in cells.items():
        if name == "student" and not cell:
            mend = "Say by what the student is told, or take the line out."
            found.append(
                Finding("roster/no-student", "The cell of student is empty.", mend, Place(file, line))
            )
        elif cell and cell[0] in FORMULA:
            message = f"The cell of {name} begins with {cell[0]}, and a spreadsheet takes that for a formula."
            mend = "Take that sign away."
            found.append(Finding("roster/formula", message, mend, Place(file, line)))
        elif not "".join(sign for sign in cell if sign not in _JOINERS).isprintable():
            message = f"The cell of {name} holds a sign that cannot be printed, such as a line end."
            mend = "Write it anew on one line."
            found.append(Finding("roster/unprintable", message, mend, Place(file, line)))
        elif len(cell) > LONGEST_CELL:
            message = f"The cell of {name} has {len(cell)} signs; {LONGEST_CELL} find room on a paper."
            found.append(Finding("roster/long-cell", message, "Shorten it.", Place(file, line)))
    return found
