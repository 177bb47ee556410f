"""Any part of a sheet as stages, a block at a time: what has no staging of its own, and whole sheets of
circuits in time, of ladders without end and of those too long for closed forms."""

from __future__ import annotations

from collections.abc import Sequence

from ..expressions.nodes import Equation, Expr
from ..expressions.said import Said
from ..figure.drawing import Drawing, Label, Whose
from ..figure.side_by_side import apart
from ..sheet.document import (
    Block,
    CautionBox,
    DisplayedLine,
    Heading,
    Listing,
    Masthead,
    Paragraph,
    Picture,
    ProblemHead,
    Table,
    WorkingRoom,
    Written,
)
from .stage import BoardFigure, BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging, sentences

_SECTIONS = {  # of a sheet: the act each is told in, and the cut by which it is left out
    "Results": (LectureAct.RESULTS, None),
    "What was asked": (LectureAct.NUMBERS, None),
    "Limits": (LectureAct.LIMITS, Cut.LIMITS),
    "Expectations": (LectureAct.LIMITS, Cut.LIMITS),
    "Checks": (LectureAct.CHECKS, Cut.CHECKS),
}


def sheet_stages(staging: Staging, blocks: Sequence[Block]) -> None:
    """A whole sheet, section by section, without those that are left out; of the working, no head and no
    caption is said twice."""
    kept: list[Block] = []
    out = False
    for block in blocks:
        if isinstance(block, Heading):
            act, cut = _SECTIONS.get(block.words, (LectureAct.WORKING, None))
            document_stages(staging, kept)
            kept, out = [], cut in staging.left_out
            staging.begin(act, block.words)
        if not out or isinstance(block, CautionBox):
            kept.append(block)
    document_stages(staging, kept)


def cuts_of(blocks: Sequence[Block]) -> set[Cut | None]:
    """By which cuts something of a sheet can be left out."""
    return {_SECTIONS[b.words][1] for b in blocks if isinstance(b, Heading) and b.words in _SECTIONS}


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
                for piece, words in _pieces(drawing, alternative):
                    said: Said = (caption or _called(piece, words),)
                    figure = BoardFigure(f"figure-{len(staging.figures) + 1}", piece, words, caption)
                    arrows = [name for kind, name in dict.fromkeys(piece.whose) if kind == "arrow"]
                    staging.draw(figure, said, arrows=arrows)
            case ProblemHead(words):
                staging.write((words, "."), words=(words,), head=True)
            case Masthead() | WorkingRoom():
                pass  # of a paper to be written on: nothing that a lecture tells
            case Written():
                staging.write((block.text,), words=(block.text,))


def _pieces(drawing: Drawing, words: str) -> list[tuple[Drawing, str]]:
    """What stands side by side on a page one after another, each with its own words: side by side their
    letters are too small for a wall."""
    pieces, lines = apart(drawing), words.splitlines()
    if len(pieces) == 1 or len(pieces) == len(lines):
        return list(zip(pieces, lines if len(pieces) > 1 else [words], strict=True))
    names = [_letters(label) for label in map(_first_label, pieces) if label]
    starts = [k for k, line in enumerate(lines) if any(line.startswith(f"{name}.") for name in names)]
    if len(starts) != len(pieces):
        return [(piece, words) for piece in pieces]
    ends = [*starts[1:], len(lines)]
    return [
        (piece, "\n".join(lines[start:end])) for piece, start, end in zip(pieces, starts, ends, strict=True)
    ]


def _called(drawing: Drawing, words: str) -> str:
    """What is said as a drawing comes: its name where it has one, else the first line of its words."""
    label = _first_label(drawing)
    name = f"{_letters(label)}." if label else ""
    return name if name and words.startswith(name) else words.splitlines()[0]


def _letters(label: Label) -> str:
    return "".join(run.text for run in label.runs)


def _first_label(drawing: Drawing) -> Label | None:
    return next((mark for mark in drawing.marks if isinstance(mark, Label)), None)


def displayed_stages(staging: Staging, line: DisplayedLine, parts: Sequence[Whose] = ()) -> None:
    """A displayed line, growing side by side; its reason is said with the first of them. `parts`: what of the
    figure it speaks of."""
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
        parts=parts,
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
            parts=parts,
            marks=[BoardMark(0, MarkKind.NEW, k)],
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
    """The rows of a table as lines, each cell after its head; its caption, where no head says it already."""
    if staging.chapter != table.caption:
        staging.write((table.caption, "."), words=(table.caption,), head=True)
    for row in table.rows:
        said: list[str | Expr | Equation] = []
        for k, (head, cell) in enumerate(zip(table.head, row, strict=True)):
            if not cell:
                continue
            said += ([] if not said else ["; "]) + ([] if k == 0 or not head else [*head, ": "]) + [*cell]
        text: Said = tuple(said)
        staging.write(text, words=text)
