"""A document in British or American terms: the one place where the words of a whole page go through the table
of `expressions/terms`. What a person wrote (title, story, names, a working) is theirs and stays."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import replace

from ..expressions.terms import LANGUAGE, in_terms, said_in_terms
from .document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    Gap,
    Heading,
    Listing,
    Masthead,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    Text,
    WorkingRoom,
    Written,
)


def document_in_terms(document: Document, terms: str, own: Collection[str]) -> Document:
    """The document in British or American terms. `own`: words of the person's own that stay as they are,
    whole texts or names."""
    if terms == "british":
        return document
    words = _Words(terms, frozenset(own))
    return replace(document, blocks=tuple(map(words.block, document.blocks)), language=LANGUAGE[terms])


class _Words:
    """One run through a document."""

    def __init__(self, terms: str, own: frozenset[str]) -> None:
        self.terms, self.own = terms, own

    def block(self, block: Block) -> Block:
        match block:
            case Heading(words):
                return Heading(self.words(words))
            case Paragraph(text):
                return Paragraph(self.text(text))
            case DisplayedLine(reason=reason) | Gap(reason=reason):
                return replace(block, reason=self.text(reason))
            case Listing(items, options):
                return Listing(tuple(map(self.text, items)), options)
            case Table(caption, head, rows):
                cells = tuple(tuple(map(self.text, row)) for row in rows)
                return Table(self.words(caption), tuple(map(self.text, head)), cells)
            case Picture(_, alternative, caption):
                return replace(block, alternative=self.words(alternative), caption=self.words(caption))
            case CautionBox(text):
                return CautionBox(self.text(text))
            case ProblemHead():
                return block
            case WorkingRoom(words, least):
                return WorkingRoom(self.words(words), least)
            case Masthead(lines=lines):
                return replace(block, lines=tuple(map(self.text, lines)))
            case Written(remarks=remarks):
                return replace(block, remarks=tuple(map(self.text, remarks)))

    def text(self, text: Text) -> Text:
        return said_in_terms(text, self.terms, self.own)

    def words(self, words: str) -> str:
        return in_terms(words, self.terms, self.own)
