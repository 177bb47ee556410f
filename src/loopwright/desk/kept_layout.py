"""One entry of a TOML text changed, put in or taken out, and nothing else: comments, blank lines, alignment,
line ends and quotation marks around stay as the person wrote them.

Knows tables of one level and lists of texts, which is what a problem file has; knows no circuit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..problem.key_lines import KeyLines, KeyPath, key_lines
from ..problem.problem_text import key_text, quoted

Entry = tuple[str, ...]  # ("branches", "I1"), or ("title",)


def with_value(text: str, path: Entry, value: str) -> str:
    """The text with `value`, a TOML literal, at `path`; the key is put in where it is not there yet.

    A new key follows the last one of its table, written as that one is; a new table stands at the end.
    """
    keys = key_lines(text)
    if path in keys.values:
        start, stop = keys.values[path]
        return _put(text, start, stop, _in_its_quotes(text[start:stop], value))
    if len(path) == 1:
        return _above_the_tables(text, keys, f"{key_text(path[0])} = {value}")
    there = _entries(keys, path[0])
    end = _line_end(text)
    if there:
        return _after(text, keys, there[-1], key_text(path[-1]), value)
    line = f"{key_text(path[-1])} = {value}"
    header = keys.lines.get((path[0],))
    if header is not None and _is_header(text, header):
        at = _start_of_line(text, header + 1)
        before = text[:at] if text[:at].endswith("\n") else text[:at] + end
        return f"{before}{line}{end}{text[at:]}"
    head = text.rstrip()
    return f"{head}{end * 2 if head else ''}[{key_text(path[0])}]{end}{line}{end}"


def without_key(text: str, path: Entry) -> str:
    """The text without a key, its value and what else stands on its lines; a text without the key is
    returned as it is."""
    keys = key_lines(text)
    if path not in keys.values:
        return text
    start, end = keys.keys[path][0], keys.values[path][1]
    if "{" in _before_key(text, keys, path):
        return _without_piece(text, start, end)
    return text[: _begin_of_line(text, start)] + text[_end_of_line(text, end) :]


def without_table(text: str, table: str) -> str:
    """The text without a table and all that stands in it, comments above its first key included."""
    keys = key_lines(text)
    for path in reversed(_entries(keys, table)):
        text = without_key(text, path)
    header = key_lines(text).lines.get((table,))
    if header is None or not _is_header(text, header):
        return text
    start, end = _start_of_line(text, header), _start_of_line(text, header + 1)
    before, after = text[:start].rstrip(), text[end:].lstrip()
    joint = _line_end(text) * (2 if after else 1)
    return f"{before}{joint}{after}" if before else after


def with_key_renamed(text: str, path: Entry, name: str) -> str:
    """The text with another name for the last part of a key."""
    keys = key_lines(text)
    if path not in keys.keys:
        return text
    start, end = keys.keys[path]
    return text[:start] + key_text(name) + text[end:]


def with_items(text: str, at: Entry, changed: Mapping[int, str | None]) -> str:
    """The text with other items in the list at a key, by their number; None takes an item out. A single text
    in the place of a list is its item 0."""
    if not changed:
        return text
    keys = key_lines(text)
    for number in sorted(changed, reverse=True):
        path: KeyPath = (*at, number)
        if path not in keys.values:
            if number or at not in keys.values:
                continue
            path = at
        start, end = keys.values[path]
        new = changed[number]
        if new is not None:
            text = text[:start] + _in_its_quotes(text[start:end], quoted(new)) + text[end:]
        elif path == at:
            return without_key(text, at)
        else:
            text = _without_piece(text, start, end)
    return text


def with_item(text: str, at: str, item: str) -> str:
    """The text with one more item at the end of a list at a key, which is put in where it is not there yet. A
    single text in the place of a list becomes its first item."""
    keys = key_lines(text)
    if (at,) not in keys.values:
        return with_value(text, (at,), f"[{quoted(item)}]")
    start, end = keys.values[at,]
    ends = [stop for path, (_, stop) in keys.values.items() if len(path) == 2 and path[0] == at]
    if ends:
        return f"{text[: max(ends)]}, {quoted(item)}{text[max(ends) :]}"
    there = "" if text[start] == "[" else f"{text[start:end]}, "
    return f"{text[:start]}[{there}{quoted(item)}]{text[end:]}"


# -- where things stand --------------------------------------------------------------------------


def _entries(keys: KeyLines, table: str) -> list[Entry]:
    """The keys directly in a table, in the order written."""
    found = [(str(p[0]), str(p[1])) for p in keys.keys if len(p) == 2 and p[0] == table]
    return sorted(found, key=lambda path: keys.keys[path][0])


def _after(text: str, keys: KeyLines, last: Entry, key: str, value: str) -> str:
    """The text with a key more behind the last of its table, its sign of equality below that one's."""
    before = _before_key(text, keys, last)
    start, end = keys.keys[last][0], keys.values[last][1]
    if "{" in before:
        return f"{text[:end]}, {key} = {value}{text[end:]}"
    own = text[start : keys.values[last][0]]
    room = own.index("=") if "=" in own else 0
    line = f"{before}{key.ljust(room) if len(key) < room else f'{key} '}= {value}"
    at = _end_of_line(text, end)
    ended = text[:at] if text[:at].endswith("\n") else text[:at] + _line_end(text)
    return f"{ended}{line}{_line_end(text)}{text[at:]}"


def _above_the_tables(text: str, keys: KeyLines, line: str) -> str:
    """The text with a line more among the keys of the whole file."""
    end = _line_end(text)
    roots = [path for path in keys.keys if len(path) == 1]
    if roots:
        at = _end_of_line(text, max(keys.values[path][1] for path in roots))
        before = text[:at] if text[:at].endswith("\n") else text[:at] + end
        return f"{before}{line}{end}{text[at:]}"
    headers = [number for path, number in keys.lines.items() if len(path) == 1 and _is_header(text, number)]
    at = _start_of_line(text, min(headers)) if headers else len(text)
    before = text[:at] if not text[:at] or text[:at].endswith("\n") else text[:at] + end
    return f"{before}{line}{end}{end if headers else ''}{text[at:]}"


def _before_key(text: str, keys: KeyLines, path: Entry) -> str:
    """What stands on the line before a key: blanks, a table and a dot, or an opened brace."""
    start = keys.keys[path][0]
    return text[_begin_of_line(text, start) : start]


def _without_piece(text: str, start: int, end: int) -> str:
    """The text without one of several pieces between commas, and without one comma."""
    after = len(text[end:]) - len(text[end:].lstrip())
    if text[end + after :].startswith(","):
        end += after + 1
        end += len(text[end:]) - len(text[end:].lstrip(" \t"))
    else:
        before = text[:start].rstrip()
        if before.endswith(","):
            start = len(before) - 1
    return text[:start] + text[end:]


def _put(text: str, start: int, stop: int, new: str) -> str:
    """The text with another piece in a place; a comment behind it keeps its column where there is room."""
    rest = text[stop:]
    blanks = len(rest) - len(rest.lstrip(" "))
    if blanks and rest[blanks : blanks + 1] == "#" and "\n" not in new + text[start:stop]:
        rest = " " * max(1, blanks - len(new) + (stop - start)) + rest[blanks:]
    return text[:start] + new + rest


def _in_its_quotes(old: str, new: str) -> str:
    """A new text between the same marks as the old one where that says the same."""
    plain = new[1:-1]
    if old.startswith("'") and not old.startswith("'''") and new.startswith('"'):
        return f"'{plain}'" if "'" not in plain and "\\" not in plain else new
    return new


def _is_header(text: str, line: int) -> bool:
    return text[_start_of_line(text, line) :].lstrip(" \t").startswith("[")


def _start_of_line(text: str, line: int) -> int:
    """Where a line, counted from 1, begins; the end of the text where there is none."""
    at = 0
    for _ in range(line - 1):
        at = text.find("\n", at) + 1
        if not at:
            return len(text)
    return at


def _begin_of_line(text: str, at: int) -> int:
    return text.rfind("\n", 0, at) + 1


def _end_of_line(text: str, at: int) -> int:
    end = text.find("\n", at)
    return len(text) if end < 0 else end + 1


def _line_end(text: str) -> str:
    return "\r\n" if "\r\n" in text else "\n"


__all__: Sequence[str] = (
    "Entry",
    "with_items",
    "with_key_renamed",
    "with_value",
    "without_key",
    "without_table",
)
