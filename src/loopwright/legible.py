"""Text that may be shown: what would steer a terminal, or turn the order of letters, is made visible.

Titles, names, workings and file names come from anywhere. An escape sequence in one of them could write over
what a terminal shows, a direction override make a line read as another. Imports nothing of ours.
"""

from __future__ import annotations

import re

_STEERING = re.compile(
    "[\x00-\x08\x0b-\x1f\x7f-\x9f"  # control characters, but for tab and line end
    "\u2028\u2029"  # line and paragraph separators
    "\u202a-\u202e\u2066-\u2069"  # embeddings, overrides and isolates of the direction of writing
    "\ud800-\udfff"  # halves of a pair: bytes of a file name that are not UTF-8
    "\ufff9-\ufffb\ufffe\uffff\U000e0000-\U000e007f]"  # annotations, no characters at all, tags
)
MARK = "\N{REPLACEMENT CHARACTER}"


def legible(text: str) -> str:
    """The text with `MARK` for every sign that is not for reading; line ends and tabs stay."""
    if text.isprintable():
        return text
    return "\n".join([_printed(line) for line in text.split("\n")])


def _printed(line: str) -> str:
    """One line of it; what steers is never printable, so that most lines need not be gone through."""
    return line if line.isprintable() else _STEERING.sub(MARK, line)


def legible_line(text: str) -> str:
    """The same for what must stay on one line: line ends and tabs become spaces."""
    return legible(" ".join(text.split()) if not text.isprintable() else text)
