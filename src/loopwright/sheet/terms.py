"""British and American terms: one table, and the one place where a sheet's own words go through it.

All words of the product are written in British terms. What a person wrote (title, story, names of points
and elements) is theirs and stays. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace

from ..expressions.said import Said
from .document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Heading,
    Listing,
    Paragraph,
    Picture,
    Table,
    Written,
)

AMERICAN = {
    "p.d.": "voltage",
    "potential difference": "voltage",
    "potential differences": "voltages",
    "earth": "ground",
    "earthed": "grounded",
    "mains": "line voltage",
    "travelled": "traveled",
    "labelled": "labeled",
    "judgement": "judgment",
    "per cent": "percent",
    "metre": "meter",
    "metres": "meters",
}
LANGUAGE = {"british": "en-GB", "american": "en-US"}

_BRITISH = "|".join(map(re.escape, sorted(AMERICAN, key=len, reverse=True)))
_WORD = re.compile(rf"(?<!\w)({_BRITISH})(?!\w)")


def in_terms(document: Document, terms: str, own: Collection[str]) -> Document:
    """The document in British or American terms. `own`: words of the person's own that stay as they are,
    whole texts or names."""
    if terms == "british":
        return document
    words = _Words(frozenset(own))
    return replace(document, blocks=tuple(map(words.block, document.blocks)), language=LANGUAGE[terms])


class _Words:
    """One run through a document."""

    def __init__(self, own: frozenset[str]) -> None:
        self.own = own

    def block(self, block: Block) -> Block:
        match block:
            case Heading(words):
                return Heading(self.words(words))
            case Paragraph(text):
                return Paragraph(self.text(text))
            case DisplayedLine(reason=reason):
                return replace(block, reason=self.text(reason))
            case Listing(items):
                return Listing(tuple(map(self.text, items)))
            case Table(caption, head, rows):
                cells = tuple(tuple(map(self.text, row)) for row in rows)
                return Table(self.words(caption), tuple(map(self.text, head)), cells)
            case Picture(_, alternative, caption):
                return replace(block, alternative=self.words(alternative), caption=self.words(caption))
            case CautionBox(text):
                return CautionBox(self.text(text))
            case Written():
                return block

    def text(self, text: Said) -> Said:
        return tuple(self.words(piece) if isinstance(piece, str) else piece for piece in text)

    def words(self, words: str) -> str:
        return words if words in self.own else _WORD.sub(self._word, words)

    def _word(self, match: re.Match[str]) -> str:
        return match[0] if match[0] in self.own else AMERICAN[match[0]]
