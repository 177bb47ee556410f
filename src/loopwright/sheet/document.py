"""The one document model that every output is written from.

A document is a title and a list of blocks; text is made of pieces: plain strings (no markup of any
kind), expressions and equations. Blocks know nothing of HTML, Typst, LaTeX, Markdown or speech.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from itertools import pairwise

from ..expressions.amounts import joints
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
        return joints(self.sides, self.relation)


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
    """Short items, each running text. `options`: each begins with a letter or number of its own, so that no
    mark stands before it, and all stay on one page where they can."""

    items: tuple[Text, ...]
    options: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a caption, a head row and body rows; the first column names the row. With no caption the
    head above it names it."""

    caption: str
    head: tuple[Text, ...]
    rows: tuple[tuple[Text, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """The figure, with the text that stands for it where it cannot be seen. `file`: the file beside the
    page that holds it, for a form that cannot hold a drawing itself. `as_is`: in print it is made no larger
    than it is, because others of its kind stand beside one another on the same page."""

    drawing: Drawing
    alternative: str
    caption: str = ""
    file: str = ""
    as_is: bool = False


@dataclass(frozen=True, slots=True)
class CautionBox:
    """A warning for whoever builds the circuit."""

    text: Text


@dataclass(frozen=True, slots=True)
class ProblemHead:
    """The head of one problem in a document of several. From here the numbers of lines count afresh and
    symbols stand for what `roles` says. `leaf`: it begins a new page."""

    words: str
    roles: Mapping[str, str] = field(default_factory=dict)
    leaf: bool = False


@dataclass(frozen=True, slots=True)
class Masthead:
    """What stands at the head of a paper: `lines` on the left, one below another, and on the right the code
    by which it is told from others, as a `mark` for a camera and in signs below it."""

    lines: tuple[Text, ...]
    code: str
    mark: Drawing


@dataclass(frozen=True, slots=True)
class WorkingRoom:
    """Room to write in by hand, with the words that stand in its corner: `least` millimetres, and what is
    left of the page."""

    words: str
    least: float


Block = (
    Heading
    | Paragraph
    | DisplayedLine
    | Gap
    | Written
    | Listing
    | Table
    | Picture
    | CautionBox
    | ProblemHead
    | Masthead
    | WorkingRoom
)


@dataclass(frozen=True, slots=True)
class DocumentPart:
    """What stands in a document from one part to the next. `number`: of the part, from 1; 0 for what comes
    before the first. `roles`: what symbols stand for there."""

    number: int
    blocks: tuple[Block, ...]
    roles: Mapping[str, str]

    @property
    def lines(self) -> frozenset[int]:
        """The numbers of its displayed lines, by which they can be referred to."""
        numbers = (block.number for block in self.blocks if isinstance(block, DisplayedLine))
        return frozenset(number for number in numbers if number)


@dataclass(frozen=True, slots=True)
class Document:
    """A sheet ready to be written. `roles` tells the writers what a symbol stands for
    (`"emf"`, `"resistance"`, `"current"`), so that an emf is said and set as one. `paper`: on what it is
    printed, `"a4"` or `"letter"` (ISO 216; ANSI/ASME Y14.1 size A). `foot`: what stands at the foot of every
    printed page beside its number, the title where nothing is said."""

    title: str
    blocks: tuple[Block, ...]
    roles: Mapping[str, str] = field(default_factory=dict)
    language: str = "en-GB"
    paper: str = "a4"
    foot: str = ""

    @property
    def stretches(self) -> tuple[DocumentPart, ...]:
        """What stands before the first part, and each part with its head."""
        starts = [0, *(at for at, block in enumerate(self.blocks) if isinstance(block, ProblemHead))]
        found: list[DocumentPart] = []
        for number, (start, end) in enumerate(pairwise([*starts, len(self.blocks)])):
            blocks = self.blocks[start:end]
            head = blocks[0] if blocks else None
            roles = head.roles if number and isinstance(head, ProblemHead) else self.roles
            found.append(DocumentPart(number, blocks, roles))
        return tuple(found)
