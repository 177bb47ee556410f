"""Tables of what each source makes by itself: a column for each source and a row for each current, or the
other way round.

    | current | E1 alone | E2 alone | both |        |          | I1   | I2    |
    | I1      | 2.4 A    | -0.4 A   | 2 A  |        | E1 alone | 2.4 A| 0.8 A |

A cell is put in words as people write them in a line, `E1 alone: I1 = 2.4 A`. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from ...expressions.tokens import NAME
from .mapped import Mapped

BAR = re.compile(r"[|;\t]")  # markup off, bars are semicolons
RULE = re.compile(r"[\s|:\-−–+]*")
_ALONE = re.compile(
    r"\b(?:alone|only|by itself|acting|allein|nur|seule?|seulement|s[oó]l[oa]|solamente|sola|alleen)\b", re.I
)
_ALL = re.compile(
    r"\W*(?:both|all|sum|total|together|superpos\w+|result\w*|real|actual|summe|gesamt|zusammen|beide|somme|total\w*|suma)"
    r"(?:\s+(?:sources|batteries|currents?|of\s+both))?\W*",
    re.I,
)
_QUANTITY = re.compile(
    rf"\s*(?P<name>[IiUuVv](?:{NAME.pattern})?|{NAME.pattern})\s*(?:(?:[(\[]|/|in\s)\s*(?P<unit>m?[AV])\s*[)\]]?)?\s*"
)
_AMOUNT = re.compile(r"\s*[-−–+(]?\s*[\d.][^|;A-Za-z]*(?:[·*×]\s*)?(?:m?[AV])?\s*")
_WITH_UNIT = re.compile(r"[AV]\s*$")


@dataclass(frozen=True, slots=True)
class CellSaid:
    """What a cell says in words, and from where to where it stands in its line."""

    words: str
    start: int
    end: int


class _Head:
    """The head of a table: what its columns are of, by their place; `circuits`: these are circuits, and not
    quantities."""

    def __init__(self, cells: Sequence[Mapped]) -> None:
        heads = [cell.text.strip() for cell in cells]
        parts = {at: head for at, head in enumerate(heads) if at and _ALONE.search(head)}
        sums = {at: "together" for at, head in enumerate(heads) if at and _ALL.fullmatch(head)}
        self.circuits = bool(parts) and len(parts) + len(sums) > 1
        self.columns: dict[int, tuple[str, str]] = {}
        if self.circuits:
            self.columns = {at: (words, "") for at, words in sorted((parts | sums).items())}
        elif len(heads) > 2:
            named = {at: m for at, head in enumerate(heads) if at and (m := _QUANTITY.fullmatch(head))}
            if len(named) == len(heads) - 1:
                self.columns = {at: (m["name"], m["unit"] or "") for at, m in named.items()}


def rows_as_parts(lines: Sequence[Mapped]) -> list[tuple[CellSaid, ...]]:
    """What the cells of each line say in words, where it is a row of such a table; else nothing."""
    found: list[tuple[CellSaid, ...]] = []
    head: _Head | None = None
    for line in lines:
        cells, told = _cells(line), tuple[CellSaid, ...]()
        if RULE.fullmatch(line.text):
            pass  # the line below the head
        elif len(cells) < 3:
            head = None
        elif head is None or not (told := _row(cells, head)):
            head = _Head(cells)
            head = head if head.columns else None
        found.append(told)
    return found


def _cells(line: Mapped) -> list[Mapped]:
    """The cells of a row, without what stands outside its first and last bar."""
    edges = [0, *(match.end() for match in BAR.finditer(line.text)), len(line.text) + 1]
    cells = [line.part(start, end - 1) for start, end in pairwise(edges)]
    return [c for at, c in enumerate(cells) if c.text.strip() or 0 < at < len(cells) - 1]


def _row(cells: Sequence[Mapped], head: _Head) -> tuple[CellSaid, ...]:
    """What the cells of a row say; nothing where it is none of the table."""
    first = cells[0].text.strip()
    own = _QUANTITY.fullmatch(first) if head.circuits else None
    whole = _ALL.fullmatch(first) is not None
    if (head.circuits and own is None) or not (head.circuits or whole or _ALONE.search(first)):
        return ()
    found: list[CellSaid] = []
    for at, (what, of_column) in head.columns.items():
        if at >= len(cells) or not _AMOUNT.fullmatch(cells[at].text):
            continue
        circuit, name, unit = ("together" if whole else first), what, of_column
        if own is not None:
            circuit, name, unit = what, own["name"], own["unit"] or ""
        amount = cells[at].text.strip()
        unit = "" if _WITH_UNIT.search(amount) else f" {unit}"
        places = cells[at].places
        found.append(CellSaid(f"{circuit}: {name} = {amount}{unit}", places[0], places[-1]))
    return tuple(found)
