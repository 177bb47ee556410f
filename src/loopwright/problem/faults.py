"""Where the readers of a problem file put down what they find: each with file, line and key.

Collects instead of stopping at the first. Knows no circuit.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from ..findings import Finding, Place, Severity, in_order
from .key_lines import KeyLines, KeyPath


@dataclass(slots=True)
class Faults:
    """What has been found so far in one file."""

    file: str
    keys: KeyLines
    found: list[Finding] = field(default_factory=list)

    def add(
        self,
        code: str,
        path: KeyPath,
        message: str,
        mend: str = "",
        about: tuple[str, ...] = (),
        severity: Severity = Severity.ERROR,
    ) -> None:
        """Puts down one finding about the key at `path`."""
        key = "".join(f".{part}" if isinstance(part, str) else f", item {part + 1}" for part in path)
        place = Place(self.file, self.keys.of(*path), key.removeprefix("."))
        self.found.append(Finding(code, message, mend, place, about, severity))

    def warn(
        self, code: str, path: KeyPath, message: str, mend: str = "", about: tuple[str, ...] = ()
    ) -> None:
        """Puts down something that does not stop the work."""
        self.add(code, path, message, mend, about, Severity.WARNING)

    @property
    def serious(self) -> bool:
        """Whether anything found stops the work."""
        return any(finding.severity is Severity.ERROR for finding in self.found)

    def sorted(self) -> tuple[Finding, ...]:
        """All findings by place."""
        return in_order(self.found)
