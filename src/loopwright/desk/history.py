"""The states that a paper went through, for undo and redo: an append-only file that outlives the desk.

One line for each move: the state that was reached (`write`), or a step back (`undo`) or forth (`redo`). A
line begins with the first digits of its own hash, so that a last line torn by a crash is known and left out;
the next one is written over it. The file is bounded: what is oldest goes. It is handed to the system at
once, which outlives the process, but not brought to the disk: a power cut may cost a step of undo, never
the paper.
"""

from __future__ import annotations

import hashlib
import json
import os
from dataclasses import dataclass
from pathlib import Path

MOST_STATES = 400  # kept when the file is made shorter
MOST_BYTES = 8_000_000  # of the file, before it is made shorter
_CHECK = 12  # digits of a line's hash


@dataclass(frozen=True, slots=True)
class Past:
    """The states in order and which of them is now (`at`); none before anything was written."""

    states: tuple[str, ...] = ()
    at: int = -1

    @property
    def now(self) -> str | None:
        """The state it stands at."""
        return self.states[self.at] if self.states else None

    @property
    def undo(self) -> int:
        """How many steps lead back."""
        return max(self.at, 0)

    @property
    def redo(self) -> int:
        """How many steps lead forth again."""
        return len(self.states) - 1 - self.at

    def moved(self, move: str, text: str = "") -> Past:
        """After `write` of a text, `undo` or `redo`; a step that leads nowhere changes nothing."""
        if move == "write":
            return Past((*self.states[: self.at + 1], text), self.at + 1)
        at = self.at + {"undo": -1, "redo": 1}[move]
        return Past(self.states, at) if 0 <= at < len(self.states) else self


def read(path: Path) -> tuple[Past, int]:
    """What a history file tells, and how many of its bytes are whole lines."""
    states: list[str] = []
    at, whole = -1, 0
    for line in _content(path).splitlines(keepends=True):
        entry = _entry(line)
        if entry is None:
            break
        whole += len(line)
        move, text = entry
        if move == "write":
            del states[at + 1 :]
            states.append(text)
            at += 1
        else:
            at = min(max(at + {"undo": -1, "redo": 1}[move], 0), len(states) - 1)
    return Past(tuple(states), at), whole


def append(path: Path, past: Past, whole: int, move: str, text: str) -> tuple[Past, int]:
    """Adds a move after the `whole` bytes that are good, and gives what `read` would give then."""
    line = _line(move, text)
    past = past.moved(move, text)
    if whole + len(line) > MOST_BYTES or len(past.states) > 2 * MOST_STATES:
        past = _shortened(past)
        return past, _anew(path, past)
    handle = os.open(path, os.O_WRONLY | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0), 0o600)
    with os.fdopen(handle, "wb", 0) as file:
        file.truncate(whole)
        file.seek(whole)
        file.write(line)
    return past, whole + len(line)


def _content(path: Path) -> bytes:
    try:
        return path.read_bytes() if not path.is_symlink() else b""
    except OSError:
        return b""


def _line(move: str, text: str) -> bytes:
    content = json.dumps([move, text]).encode()
    return hashlib.sha256(content).hexdigest()[:_CHECK].encode() + b" " + content + b"\n"


def _entry(line: bytes) -> tuple[str, str] | None:
    """The move that a line tells; None where the line is torn or not one of ours."""
    check, _, content = line.rstrip(b"\n").partition(b" ")
    if not line.endswith(b"\n") or hashlib.sha256(content).hexdigest()[:_CHECK].encode() != check:
        return None
    match json.loads(content):
        case ["write" | "undo" | "redo" as move, str(text)]:
            return move, text
    return None


def _shortened(past: Past) -> Past:
    """The latest states, as many as half the bound holds, and at least the one it stands at."""
    first, size = past.at, 0
    while first > 0 and past.at - first < MOST_STATES:
        size += len(past.states[first - 1])
        if 2 * size > MOST_BYTES // 2:
            break
        first -= 1
    return Past(past.states[first : past.at + 1], past.at - first)


def _anew(path: Path, past: Past) -> int:
    """Writes the file from nothing, beside it first; gives its length."""
    lines = b"".join(_line("write", text) for text in past.states)
    beside = path.with_suffix(".anew")
    beside.write_bytes(lines)
    os.replace(beside, path)
    return len(lines)
