"""The one document model that every output is written from.

A document is a title and a list of blocks; text is made of pieces: plain strings (no markup of any
kind), expressions and equations. Blocks know nothing of HTML, Typst, LaTeX, Markdown or speech.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from ..expressions.amounts import joint
from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said
from ..figure.drawing import Drawing

Text = Said  # running text: "so the current ", Symbol("I1"), " is zero"


@dataclass(frozen=True, slots=True)
class Heading:
    """The head of a section."""

    words: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    text: Text


@dataclass(frozen=True, slots=True)
class DisplayedLine:
    """One displayed equation or claim: `number` in brackets (0: none) and words beside it.

    `sides` are joined by `relation`: usually two, more for a chain a = b = c.
    `reason` says in one sentence why the line holds; `result` marks a line to be framed.
    """

    sides: tuple[Expr, ...]
    number: int = 0
    reason: Text = ()
    result: bool = False
    relation: str = "="

    @property
    def relations(self) -> tuple[str, ...]:
        """What stands before each side but the first: `≈` where a number is shown shorter than it is."""
        return tuple(joint(one, other, self.relation) for one, other in pairwise(self.sides))


@dataclass(frozen=True, slots=True)
class Written:
    """A line of somebody's working, as it was written, and what is said of it.

    `number`: its number in their text. `read`: the claims in it as they were understood. `word`: the
    verdict in a word or two, empty for prose. `fault` marks what is to be seen at a glance.
    """

    number: int
    text: str
    read: tuple[Equation, ...] = ()
    word: str = ""
    remarks: tuple[Text, ...] = ()
    fault: bool = False


@dataclass(frozen=True, slots=True)
class Gap:
    """A line left empty to be filled in by hand: `rows` to write on, the `number` that the line bears in
    brackets (0: none), and the words that lead to it."""

    rows: int = 1
    number: int = 0
    reason: Text = ()


@dataclass(frozen=True, slots=True)
class Listing:
    """Short items, each running text."""

    items: tuple[Text, ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption, a head row and body rows; the first column names the row."""

    caption: str
    head: tuple[Text, ...]
    rows: tuple[tuple[Text, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """The figure, with the text that stands for it where it cannot be seen. `file`: the file beside the
    page that holds it, for a form that cannot hold a drawing itself."""

    drawing: Drawing
    alternative: str
    caption: str = ""
    file: str = ""


@dataclass(frozen=True, slots=True)
class CautionBox:
    """A warning for whoever builds the circuit."""

    text: Text


Block = Heading | Paragraph | DisplayedLine | Gap | Written | Listing | Table | Picture | CautionBox


@dataclass(frozen=True, slots=True)
class Document:
    """A sheet ready to be written. `roles` tells the writers what a symbol stands for
    (`"emf"`, `"resistance"`, `"current"`), so that an emf is said and set as one. `paper`: on what it is
    printed, `"a4"` or `"letter"` (ISO 216; ANSI/ASME Y14.1 size A)."""

    title: str
    blocks: tuple[Block, ...]
    roles: Mapping[str, str] = field(default_factory=dict)
    language: str = "en-GB"
    paper: str = "a4"
