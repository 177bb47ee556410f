"""A working read, as plain lines for a terminal: each line as written, its verdict beside or below it.

What a person reads most: short, in words, without colour. Lines are numbered as in the text.
"""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from ..expressions.said import Said, as_text
from ..reading.marking.mark import Mark
from ..reading.remarks import Remarked, Standing

SIGNS = {
    Standing.RIGHT: "✓",
    Standing.UNTRUE: "✗",
    Standing.CARRIED: "→",
    Standing.OPEN: "?",
    Standing.UNREAD: "?",
    Standing.SAID: " ",
}
WIDEST_TEXT = 40  # characters: a longer line gets its remarks below
NARROWEST = 60


def in_margin(
    lines: Sequence[Remarked], closing: Sequence[Said], mark: Mark | None = None, width: int = 100
) -> str:
    """The lines with their remarks as plain text of this many columns, ended by what they come to."""
    width = max(width, NARROWEST)
    digits = len(str(max((each.line.number for each in lines), default=1)))
    longest = max((len(_text(each)) for each in lines if len(_text(each)) <= WIDEST_TEXT), default=0)
    column = digits + 5 + longest + 2
    out = [row for each in lines for row in _rows(each, digits, column, width)]
    out += ["", *(row for said in closing for row in _wrapped(as_text(said), "", width))]
    if mark is not None:
        out += ["", *_mark(mark, width)]
    return "\n".join(row.rstrip() for row in out) + "\n"


def _text(each: Remarked) -> str:
    """The line as written, on one row; signs that a terminal would act on are left out."""
    return " ".join("".join(sign if sign.isprintable() else " " for sign in each.line.text).split())


def _rows(each: Remarked, digits: int, column: int, width: int) -> list[str]:
    head = f"{SIGNS[each.standing]}  {each.line.number:>{digits}}  "
    text = _text(each)
    said = [as_text(remark) for remark in each.remarks]
    if not each.standing:
        return _wrapped(text, head, width)
    beside = " ".join([*(["NOT TRUE."] if each.standing is Standing.UNTRUE else []), *said])
    if len(text) > WIDEST_TEXT:
        return [*_wrapped(text, head, width), *_wrapped(beside, " " * (len(head) + 4), width)]
    return _wrapped(beside, f"{head}{text}".ljust(column), width)


def _wrapped(text: str, head: str, width: int) -> list[str]:
    """The text after its head, further lines set in by as much."""
    room = max(width - len(head), 20)
    rows = textwrap.wrap(text, room, break_long_words=False, break_on_hyphens=False) or [""]
    return [(head if at == 0 else " " * len(head)) + row for at, row in enumerate(rows)]


def _mark(mark: Mark, width: int) -> list[str]:
    titles = max(len(award.title) for award in mark.awards)
    rows = [f"Proposed mark, {mark.scheme.title}: {mark.score}"]
    for award in mark.awards:
        head = f"  {award.title:<{titles}}  {award.score:>10}  "
        rows += _wrapped(as_text(award.said), head, width)
    return [*rows, *(row for note in mark.notes for row in _wrapped(note, "", width))]
