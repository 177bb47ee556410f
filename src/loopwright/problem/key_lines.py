"""On which line each key of a TOML 1.0 text stands, and TOML's own complaints in plain words.

The reader of the standard library gives values without their lines; this small scan gives the lines
without judging values. It never fails: on text that is not TOML it returns what it has understood.
Knows no circuit.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal, InvalidOperation
from functools import lru_cache

from ..findings import Place

KeyPath = tuple[str | int, ...]  # a key by its tables, an item of a list by its number: ("find", 0)

_BARE = re.compile(r"[^\s=.\[\]{},#\"']+")
_BLANK = re.compile(r"[ \t]*")
_SCALAR = re.compile(r"[^\s,\]}#]+")
_BEFORE_KEY = re.compile(r"^\s*[\w'\"\-. ]+?\s*=\s*(?P<value>[^\s\"'\[{].*?)\s*(?:#.*)?$")
_COLUMN = re.compile(r" \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of document)\)$")
_DEEPEST = 50  # parts of a path; what lies deeper is no key of ours
_GREATEST = 20  # complaints gathered from one text before giving up


@dataclass(slots=True)
class KeyLines:
    """The line (from 1) of every key, table and list item of a text; `repeated` lists keys met twice.

    `values`: from where to where in the text the value of each key and list item stands, and `keys`: from
    where to where the last part of each key does.
    """

    lines: dict[KeyPath, int] = field(default_factory=dict)
    values: dict[KeyPath, tuple[int, int]] = field(default_factory=dict)
    keys: dict[KeyPath, tuple[int, int]] = field(default_factory=dict)
    repeated: list[tuple[KeyPath, int, int]] = field(default_factory=list)  # path, first line, second line

    def of(self, *path: str | int) -> int:
        """The line of a path, or of the nearest table around it that is known; 0 when none is."""
        while path:
            if path in self.lines:
                return self.lines[path]
            path = path[:-1]
        return 0

    def places(self, file: str) -> Mapping[str, Place]:
        """Where every key stands in `file`, by its path in words, such as `branches.I2`."""
        named = {".".join(map(str, path)): line for path, line in self.lines.items()}
        return {key: Place(file, line, key) for key, line in named.items()}

    def note(self, path: KeyPath, line: int) -> None:
        """Writes down where a path stands, or that it stands there a second time."""
        if path in self.lines:
            self.repeated.append((path, self.lines[path], line))
        else:
            self.lines[path] = line


@dataclass(frozen=True, slots=True)
class Complaint:
    """One place at which a text is not TOML: the line (from 1), what is wrong, and the mend.

    `through` is the last line that the fault makes unreadable, when that is not `line` itself.
    """

    line: int
    message: str
    mend: str
    through: int = 0


def key_lines(text: str) -> KeyLines:
    """Finds the lines of all keys, tables and list items of `text`."""
    scan = _Scan(text)
    scan.document()
    return scan.found


@lru_cache(maxsize=8)  # a text that is worked on is read where it is changed as well
def load(text: str) -> tuple[Mapping[str, object], tuple[Complaint, ...]]:
    """Reads TOML with exact decimals; where it cannot be read, gives the complaints instead.

    After a complaint the line is blanked and the rest read again, so that all faulty lines are
    told at once.
    """
    lines = text.replace("\r\n", "\n").split("\n")
    complaints: list[Complaint] = []
    while True:
        try:
            content = tomllib.loads("\n".join(lines), parse_float=_exact)
        except tomllib.TOMLDecodeError as error:
            complaint = _complaint(str(error), lines, key_lines("\n".join(lines)))
        except RecursionError:
            complaint = Complaint(
                _deepest(lines), "brackets stand within brackets too deep to be read", "Take them out."
            )
            return {}, (*complaints, complaint)
        except ValueError:
            complaint = Complaint(
                1, "a value of this text cannot be read", "Look for a number or date that is too long."
            )
            return {}, (*complaints, complaint)
        else:
            return ({}, tuple(complaints)) if complaints else (content, ())
        at = complaint.line - 1
        if at >= len(lines) or not lines[at].strip() or len(complaints) == _GREATEST:
            return {}, tuple(complaints) or (complaint,)
        complaints.append(complaint)
        for number in range(at, max(complaint.line, complaint.through)):
            lines[number] = ""


def _deepest(lines: list[str]) -> int:
    """The line (from 1) with most opening brackets."""
    return 1 + max(range(len(lines)), key=lambda at: lines[at].count("[") + lines[at].count("{"))


def _exact(text: str) -> Decimal:
    try:
        return Decimal(text)
    except InvalidOperation:
        return Decimal("nan")


class _Scan:
    """One walk over the text; `at` is where it stands, `line` the line of that place."""

    def __init__(self, text: str) -> None:
        self.text, self.at, self.line = text, 0, 1
        self.last_part = 0, 0  # where the last part of the key just read stands
        self.found = KeyLines()

    # -- moving ----------------------------------------------------------------------------------

    def ahead(self, what: str) -> bool:
        return self.text.startswith(what, self.at)

    def skip(self, length: int) -> None:
        self.line += self.text.count("\n", self.at, self.at + length)
        self.at += length

    def skip_blanks(self) -> None:
        match = _BLANK.match(self.text, self.at)
        self.at = match.end() if match else self.at

    def skip_line(self) -> None:
        end = self.text.find("\n", self.at)
        self.skip((end + 1 if end >= 0 else len(self.text)) - self.at)

    def skip_gaps(self) -> None:
        """Blanks, line ends and comments, as they may stand between the items of a list."""
        while self.at < len(self.text):
            self.skip_blanks()
            if self.ahead("#"):
                self.skip_line()
            elif self.at < len(self.text) and self.text[self.at].isspace():
                self.skip(1)
            else:
                return

    # -- what stands there -----------------------------------------------------------------------

    def document(self) -> None:
        table: KeyPath = ()
        counts: dict[KeyPath, int] = {}
        while True:
            self.skip_gaps()
            if self.at >= len(self.text):
                return
            start = self.at
            if self.ahead("["):
                double = self.ahead("[[")
                line = self.line
                self.skip(2 if double else 1)
                table = self.key()
                if double:
                    counts[table] = counts.get(table, -1) + 1
                    table = (*table, counts[table])
                self.found.note(table, line)
                self.skip_line()
                continue
            self.pair(table)
            self.skip_line()
            if self.at == start:
                return

    def key(self) -> KeyPath:
        parts: list[str | int] = []
        while True:
            self.skip_blanks()
            start = self.at
            if self.ahead('"') or self.ahead("'"):
                parts.append(self.string())
            elif match := _BARE.match(self.text, self.at):
                parts.append(match.group())
                self.at = match.end()
            else:
                return tuple(parts)
            self.last_part = start, self.at
            self.skip_blanks()
            if not self.ahead("."):
                return tuple(parts)
            self.skip(1)

    def pair(self, table: KeyPath) -> None:
        line = self.line
        path = self.key()
        if not path or not self.ahead("="):
            return
        for length in range(1, min(len(path), _DEEPEST)):
            self.found.lines.setdefault((*table, *path[:length]), line)
        self.found.note((*table, *path), line)
        self.found.keys.setdefault((*table, *path), self.last_part)
        self.skip(1)
        self.value((*table, *path))

    def value(self, path: KeyPath) -> None:
        self.skip_blanks()
        start = self.at
        self.skip_value(path)
        self.found.values.setdefault(path, (start, self.at))

    def skip_value(self, path: KeyPath) -> None:
        if self.ahead('"') or self.ahead("'"):
            self.string()
        elif len(path) > _DEEPEST:
            self.skip(1)
        elif self.ahead("["):
            self.listed(path)
        elif self.ahead("{"):
            self.inline(path)
        elif match := _SCALAR.match(self.text, self.at):
            self.at = match.end()

    def listed(self, path: KeyPath) -> None:
        self.skip(1)
        for number in self._items("]"):
            self.found.note((*path, number), self.line)
            self.value((*path, number))

    def inline(self, path: KeyPath) -> None:
        self.skip(1)
        for _ in self._items("}"):
            self.pair(path)

    def _items(self, closing: str) -> Iterator[int]:
        number = 0
        while True:
            self.skip_gaps()
            if self.at >= len(self.text):
                return
            if self.ahead(closing):
                self.skip(1)
                return
            start = self.at
            yield number
            number += 1
            self.skip_gaps()
            if self.ahead(",") or self.at == start:
                self.skip(1)

    def string(self) -> str:
        quote = self.text[self.at]
        fence = quote * 3 if self.ahead(quote * 3) else quote
        begin = self.at + len(fence)
        end = begin
        while end < len(self.text) and not self.text.startswith(fence, end):
            if len(fence) == 1 and self.text[end] == "\n":
                break
            end += 2 if quote == '"' and self.text[end] == "\\" else 1
        end = min(end, len(self.text))
        content = self.text[begin:end]
        closed = self.text.startswith(fence, end)
        while closed and len(fence) == 3 and self.text.startswith(quote, end + 3):
            end += 1
        self.skip(end - self.at + (len(fence) if closed else 0))
        return _plain(content) if quote == '"' else content


def _plain(content: str) -> str:
    """What a string between double quotes says: its escapes resolved where they are sound."""
    if "\\" not in content:
        return content
    try:
        return str(tomllib.loads(f'k = "{content}"')["k"])
    except tomllib.TOMLDecodeError:
        return content


# -- complaints ----------------------------------------------------------------------------------

_UNCLOSED_LIST = (
    "a list is opened with [ and never closed",
    "Close it with ] and put commas between its items.",
)
_WORDS: tuple[tuple[str, str, str], ...] = (
    # how the reader's own complaint begins, what we say, the mend
    (
        "Unterminated string",
        "a text is opened with a quotation mark and never closed",
        "Close it with the same mark.",
    ),
    ('Expected "\'"', "a text is opened with ' and never closed", "Close it with ' on the same line."),
    ("Unclosed array", *_UNCLOSED_LIST),
    (
        "Unclosed inline table",
        "a table is opened with { and never closed",
        "Close it with } on the same line.",
    ),
    (
        "Expected '='",
        "this line is neither a table such as [branches] nor a key with =",
        'Write it as key = "text".',
    ),
    (
        "Invalid statement",
        "this line does not begin with a key",
        'Write it as key = "text", or as a table [branches].',
    ),
    (
        "Invalid initial character",
        "this key cannot be read",
        'Write it as key = "text"; put a key with other signs in quotes.',
    ),
    (
        "Expected newline",
        "something is left over after the value",
        "Put one key on a line, and the whole value in quotes.",
    ),
    ("Expected ']'", "a table name is opened with [ and not closed", "Write it as [branches]."),
    ("Duplicate inline table key", "a key stands twice between these braces", "Keep one of them."),
    (
        "Unescaped",
        "a backslash in a text means something special here",
        "Put the text between '...' instead, or write two backslashes.",
    ),
    (
        "Cannot mutate",
        "a table written between braces cannot be added to later",
        "Write all its keys between the braces.",
    ),
    (
        "Cannot declare",
        "a table or key of this name stands above already",
        "Put everything of this table in one place.",
    ),
    (
        "Cannot overwrite",
        "a key of this name stands above already",
        "Keep one of them, or give this one another name.",
    ),
    ("Invalid date", "this is read as a date", "Put the value in quotes."),
)


def _complaint(told: str, lines: list[str], keys: KeyLines) -> Complaint:
    match = _COLUMN.search(told)
    at_end = bool(match) and not (match and match["line"])
    line = int(match["line"]) if match and match["line"] else _last(lines)
    start = told[: match.start()] if match else told
    message, mend = next(
        ((say, mend) for begin, say, mend in _WORDS if start.startswith(begin)),
        ("this line cannot be read as TOML 1.0", 'Write it as key = "text".'),
    )
    if start.startswith(("Cannot declare", "Cannot overwrite")):
        line, message = _twice(line, lines, keys) or (line, message)
    elif start.startswith(("Invalid value", "Unclosed array")) and (opened := _open_list(line, lines)):
        return Complaint(opened, *_UNCLOSED_LIST, through=line - 1)
    elif start.startswith(("Invalid value", "Invalid date", "Expected newline")):
        bare = _BEFORE_KEY.match(lines[line - 1]) if line <= len(lines) else None
        if bare:
            value = bare["value"].strip("“”‘’„«»")
            message, mend = "a text must stand in straight quotes", f'Write it as "{value}" in quotes.'
    elif start.startswith("Illegal character"):
        message, mend = _illegal(lines[line - 1] if line <= len(lines) else "")
    if at_end and start.startswith(("Unclosed", "Unterminated", 'Expected "\'"')):
        return Complaint(_opened(lines, keys) or line, message, mend, through=len(lines))
    return Complaint(line, message, mend)


def _last(lines: list[str]) -> int:
    return max((number for number, line in enumerate(lines, 1) if line.strip()), default=1)


def _opened(lines: list[str], keys: KeyLines) -> int:
    """The line of the last key that is there still: what runs to the end of the text began there."""
    there = (line for line in keys.lines.values() if line <= len(lines) and lines[line - 1].strip())
    return max(there, default=0)


def _open_list(line: int, lines: list[str]) -> int:
    """The line above `line` that opens a list with [ which no line in between closes; 0 for none."""
    for number in range(min(line, len(lines)) - 1, 0, -1):
        above = lines[number - 1]
        if "]" in above:
            return 0
        if re.match(r"[^#\"'\[]*=\s*\[", above):
            return number
    return 0


def _twice(line: int, lines: list[str], keys: KeyLines) -> tuple[int, str] | None:
    """The line that repeats a key, at `line` or just above (the reader stops behind the value)."""
    there = [item for item in keys.repeated if item[2] <= line and lines[item[2] - 1].strip()]
    if not there:
        return None
    path, first, second = max(there, key=lambda item: item[2])
    name, table = str(path[-1]), ".".join(map(str, path[:-1]))
    where = f" in [{table}]" if table else ""
    return second, f"{name} stands twice{where}, first on line {first}"


def _illegal(line: str) -> tuple[str, str]:
    if line.count('"') % 2 or line.count("'") % 2:
        return (
            "a text is opened with a quotation mark and never closed",
            "Close it with the same mark on the same line.",
        )
    return (
        "there is a sign in this line that cannot be printed",
        "Take it out; a tab or a plain space is allowed.",
    )
