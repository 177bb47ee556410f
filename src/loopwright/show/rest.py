"""The rest of a working as plain lines for a terminal, and as plain data for JSON."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence

from ..expressions.said import as_text
from ..expressions.writers import plain
from ..finish.finished import LEVELS, FinishedLine, FinishedWorking

WIDEST_LINE = 48  # characters: a longer line gets its reason below


def rest_in_text(rest: FinishedWorking, width: int = 100) -> str:
    """What is said of the rest, then every line with its number and its reason."""
    rows = [row for said in rest.opening for row in textwrap.wrap(as_text(said), width)]
    rows += ["", *_lines(rest.lines, width)] if rest.lines else []
    rows += ["", *(row for said in rest.closing for row in textwrap.wrap(as_text(said), width))]
    return "\n".join(rows).rstrip() + "\n"


def _lines(lines: Sequence[FinishedLine], width: int) -> list[str]:
    digits = len(str(lines[-1].number))
    texts = [line.as_text() for line in lines]
    longest = max((len(text) for text in texts if len(text) <= WIDEST_LINE), default=0)
    rows: list[str] = []
    for line, text in zip(lines, texts, strict=True):
        rows += [" " * (digits + 2) + line.heading] if line.heading else []
        head = f"{line.number:>{digits}}  {text}"
        column = digits + 2 + longest + 2
        if len(text) > WIDEST_LINE:
            inset = " " * (digits + 2)
            rows += textwrap.wrap(head, width, subsequent_indent=inset, break_long_words=False)
            head, column = " " * (digits + 6), digits + 6
        said = textwrap.wrap(as_text(line.reason), max(width - column, 30)) or [""]
        rows += [(head.ljust(column) if at == 0 else " " * column) + row for at, row in enumerate(said)]
    return [row.rstrip() for row in rows]


def rest_as_data(rest: FinishedWorking, level: int = 0) -> dict[str, object]:
    """The rest as dictionaries, lists and texts; with a level of help from 1 to 4, the next step alone."""
    if level:
        return {"finished": rest.is_finished, "level": level, "next": as_text(rest.what_next(level))}
    return {
        "finished": rest.is_finished,
        "method": rest.method,
        "said": [as_text(said) for said in rest.opening],
        "left_out": {str(number): as_text(why) for number, why in rest.left_out.items()},
        "lines": [
            {
                "number": line.number,
                "heading": line.heading,
                "text": line.as_text(),
                "sides": [plain.render(side) for side in line.sides],
                "uses": list(line.uses),
                "reason": as_text(line.reason),
            }
            for line in rest.lines
        ],
        "next": [as_text(rest.what_next(at)) for at in LEVELS],
        "check": [as_text(said) for said in rest.closing],
    }
