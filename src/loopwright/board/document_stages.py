"""Any part of a sheet as stages, a block at a time: what has no staging of its own, and whole sheets of
circuits in time, of ladders without end and of those too long for closed forms."""

from __future__ import annotations

from collections.abc import Sequence

from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said
from ..sheet.document import (
    Block,
    CautionBox,
    DisplayedLine,
    Heading,
    Listing,
    Paragraph,
    Picture,
    Table,
    Written,
)
from .stage import BoardFigure
from .staging import Staging, sentences


def document_stages(staging: Staging, blocks: Sequence[Block]) -> None:
    """Every block in order; a head is a line of its own and names what follows."""
    for block in blocks:
        match block:
            case Heading(words):
                staging.begin(staging.act, words)
                staging.write((words, "."), words=(words,), head=True)
            case Paragraph(text):
                _sentences(staging, text)
            case CautionBox(text):
                _sentences(staging, ("Caution: ", *text))
            case Listing(items):
                for item in items:
                    _sentences(staging, item)
            case DisplayedLine():
                displayed_stages(staging, block)
            case Table():
                _table(staging, block)
            case Picture(drawing, alternative, caption):
                name = f"figure-{len(staging.figures) + 1}"
                said: Said = (caption or alternative.splitlines()[0],)
                figure = BoardFigure(name, drawing, alternative, caption)
                arrows = [name for kind, name in dict.fromkeys(drawing.whose) if kind == "arrow"]
                staging.draw(figure, said, arrows=arrows)
            case Written():
                staging.write((block.text,), words=(block.text,))


def displayed_stages(staging: Staging, line: DisplayedLine) -> None:
    """A displayed line, growing side by side; its reason is said with the first of them."""
    first, *rest = line.sides
    if not rest:
        staging.write((*line.reason, " ", first, "."), line.sides, number=line.number, remark=line.reason)
        return
    relation = line.relations[0]
    done = len(rest) == 1
    said: Said = (*_lead(line.reason), Equation(first, rest[0], relation), ".")
    key = staging.write(
        said,
        line.sides[:2],
        relation=line.relation,
        number=line.number if done else 0,
        result=line.result and done,
        remark=line.reason,
    )
    for k in range(2, len(line.sides)):
        last = k == len(line.sides) - 1
        about = "this is about " if line.relations[k - 1] == "≈" else "this equals "
        staging.grow(
            key,
            (about, line.sides[k], "."),
            line.sides[: k + 1],
            number=line.number if last else 0,
            result=line.result and last,
        )


def _lead(reason: Said) -> Said:
    if not reason:
        return ()
    last = reason[-1]
    return (*reason[:-1], last.rstrip(". ") + ": ") if isinstance(last, str) else (*reason, ": ")


def _sentences(staging: Staging, text: Said) -> None:
    for sentence in sentences(text):
        staging.write(sentence, words=sentence)


def _table(staging: Staging, table: Table) -> None:
    """The rows of a table as lines, each cell after its head."""
    staging.write((table.caption, "."), words=(table.caption,), head=True)
    for row in table.rows:
        said: list[str | Expr | Equation] = []
        for k, (head, cell) in enumerate(zip(table.head, row, strict=True)):
            if not cell:
                continue
            said += ([] if not said else ["; "]) + ([] if k == 0 or not head else [*head, ": "]) + [*cell]
        text: Said = tuple(said)
        staging.write(text, words=text)
