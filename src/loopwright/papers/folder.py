"""A folder of papers, and how far it has come: each file whole or not there, with a list of those made.

`made.txt` says by its first line from what the papers are made, and then each file with its SHA-256 digest
(the form that `sha256sum -c` reads). A run that was interrupted goes on from it: a file that stands there
with its digest is not made again. A folder of another set is left alone.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from pathlib import Path

from ..errors import FaultyMaterial
from ..findings import Finding
from ..whole_files import LEFTOVER, write

LIST = "made.txt"
_FIRST = "# papers made from "


class SetFolder:
    """One folder. Raises FaultyMaterial where it holds the papers of another set."""

    def __init__(self, path: str | Path, digest: str) -> None:
        self.path, self.digest = Path(path), digest
        self.list = self.path / LIST
        self.made: dict[str, str] = {}
        lines = self.list.read_text("utf-8", errors="replace").splitlines() if self.list.is_file() else []
        if lines and lines[0] != _FIRST + digest:
            raise FaultyMaterial(
                Finding(
                    "papers/other-set",
                    f"The folder {self.path} holds papers made from another roster, other problems or other "
                    "wishes.",
                    "Name another folder, or take away what stands in this one.",
                )
            )
        for line in lines[1:]:
            found, _, name = line.partition("  ")
            if name and len(found) == 64 and self._stands(name, found):
                self.made[name] = found

    def _stands(self, name: str, digest: str) -> bool:
        try:
            return _digest((self.path / name).read_bytes()) == digest
        except OSError:
            return False

    def put(self, name: str, content: bytes) -> None:
        """Writes a file of the set, whole, and puts it on the list."""
        write(self.path / name, content)
        fresh = not self.list.exists()
        with self.list.open("a", encoding="utf-8", newline="\n") as file:
            if fresh:
                file.write(f"{_FIRST}{self.digest}\n")
            file.write(f"{_digest(content)}  {name}\n")
        self.made[name] = _digest(content)

    def finish(self) -> None:
        """Writes the list anew, in order, and takes away what runs that were killed left behind."""
        lines = "".join(f"{digest}  {name}\n" for name, digest in sorted(self.made.items()))
        write(self.list, f"{_FIRST}{self.digest}\n{lines}")
        for left in self._left_behind():
            left.unlink(missing_ok=True)

    def _left_behind(self) -> Iterator[Path]:
        folders = {self.path, *((self.path / name).parent for name in self.made)}
        for folder in sorted(folders):
            yield from folder.glob(f"{LEFTOVER}*")


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
