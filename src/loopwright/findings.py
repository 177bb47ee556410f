"""What Loopwright has to say about a person's material: a value, never raised.

A finding has a stable code such as `file/not-toml`, a place, one sentence and the mend. It knows
no terminal, page or JSON; `as_text()` is the one plain rendering they share. Imports nothing of ours.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Severity(StrEnum):
    """How much a finding weighs: an error stops the work, a warning and a note do not."""

    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where a finding points: a file, a line counted from 1 (0: unknown), a key such as `branches.I2`."""

    file: str = ""
    line: int = 0
    key: str = ""

    def as_text(self) -> str:
        """The place in words: `bus.toml, line 7, branches.Ib`."""
        parts = [self.file, f"line {self.line}" if self.line else "", self.key]
        return ", ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing found in the person's material.

    `message` is one sentence of the trade saying what and why; `mend` says how to put it right;
    `about` names the elements, branches or points at fault, for highlighting.
    """

    code: str
    message: str
    mend: str = ""
    place: Place = Place()
    about: tuple[str, ...] = ()
    severity: Severity = Severity.ERROR

    def as_text(self) -> str:
        """The finding as one line of plain text: place, sentence, mend."""
        where = self.place.as_text()
        return " ".join(part for part in (f"{where}:" if where else "", self.message, self.mend) if part)


def in_order(findings: list[Finding]) -> tuple[Finding, ...]:
    """The findings sorted by place, then by code, each once."""
    return tuple(sorted(set(findings), key=lambda f: (f.place, f.code, f.message)))
