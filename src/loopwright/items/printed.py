"""A quiz on paper: the sheet that is handed out, and the key with what is said of every answer.

Both are documents of the one document model, so that every writer of sheets writes them.
"""

from __future__ import annotations

from dataclasses import dataclass

from ..expressions.said import Letters, OwnWords, counted
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..sheet.document import Block, DisplayedLine, Document, Heading, Listing, Paragraph, Picture, Table, Text
from ..sheet.document_terms import document_in_terms
from ..sheet.problem_sheet import as_handed_out, at_the_start, given_blocks
from ..sheet.sheets import roles
from ..slips.catalogue import CATALOGUE
from .item import AnsweredBy, ItemKind, QuizItem, decimal, right_answer
from .quiz import Quiz

CALLED = {
    ItemKind.CHOICE: "A value",
    ItemKind.NUMBER: "A number",
    ItemKind.FORMULA: "A closed form",
    ItemKind.RANKING: "In order",
    ItemKind.DIRECTION: "A direction",
    ItemKind.ENOUGH: "Enough equations",
    ItemKind.LIMIT: "A limit",
    ItemKind.WRONG_LINE: "The wrong line",
}
ROOM = "_" * 12  # what is filled in by hand


@dataclass(frozen=True, slots=True)
class PrintedQuiz:
    """The sheet that is handed out and its key."""

    paper: Document
    key: Document


def printed(quiz: Quiz, *, resistors: str = "iec", paper: str = "") -> PrintedQuiz:
    """The quiz as documents. `resistors`: `"iec"` or `"ieee"`; `paper`: `"a4"` or `"letter"` (empty: as the
    problem file wishes it)."""
    circuit = quiz.circuit
    opening: list[Block] = [Paragraph((OwnWords(circuit.story),))] if circuit.story else []
    drawn = as_handed_out(circuit)
    if is_drawn(drawn):
        opening.append(Picture(draw(drawn, resistors=resistors), describe(drawn)))
    else:
        opening.append(Listing(tuple((line,) for line in describe(drawn).splitlines())))
    opening += [*given_blocks(circuit), *at_the_start(circuit)]
    questions = [block for at, item in enumerate(quiz.items, 1) for block in _question(at, item)]
    answers = [block for at, item in enumerate(quiz.items, 1) for block in _answer(at, item)]
    total = sum(item.points for item in quiz.items)
    head = Paragraph((f"{counted(len(quiz.items), 'question')}, {counted(total, 'point')}.".capitalize(),))
    return PrintedQuiz(
        _document(quiz, f"{quiz.title} – quiz", (*opening, head, *questions), paper),
        _document(quiz, f"{quiz.title} – key", (_summary(quiz), *answers), paper),
    )


def _document(quiz: Quiz, title: str, blocks: tuple[Block, ...], paper: str) -> Document:
    circuit = quiz.circuit
    size = paper or circuit.page.paper or "a4"
    document = Document(title, blocks, roles(circuit), paper=size)
    return document_in_terms(document, circuit.page.terms or "british", circuit.own_words)


def _heading(at: int, item: QuizItem) -> Heading:
    return Heading(f"{at}. {CALLED[item.kind]} ({counted(item.points, 'point')})")


def _question(at: int, item: QuizItem) -> list[Block]:
    """One question as it is handed out."""
    found: list[Block] = [_heading(at, item)]
    found += [Paragraph(text) for text in item.stem]
    found += [DisplayedLine(sides) for sides in item.shown]
    options = tuple((Letters(f"{option.name}:  "), *option.said) for option in item.options)
    match item.answered:
        case AnsweredBy.NUMBER:
            unit = f" {item.number.unit}" if item.number is not None else ""
            return [*found, Paragraph(item.prompt), Paragraph((f"{ROOM}{unit}",))]
        case AnsweredBy.ORDER:
            room = "  >  ".join("____" for _ in item.options)
            return [*found, Paragraph(item.prompt), Listing(options, options=True), Paragraph((room,))]
        case AnsweredBy.LINE:
            lead = Paragraph(tuple(piece for text in item.stem for piece in (*text, " ")) + item.prompt)
            lines = Listing(tuple(option.said for option in item.options), options=True)
            return [_heading(at, item), lead, lines, Paragraph((f"Line {ROOM}",))]
        case _:
            return [*found, Paragraph(item.prompt), Listing(options, options=True)]


def _summary(quiz: Quiz) -> Table:
    rows = tuple(
        ((str(at),), (str(item.kind),), (_right(item),), (str(item.points),))
        for at, item in enumerate(quiz.items, 1)
    )
    return Table("The right answers", (("item",), ("kind",), ("right",), ("points",)), rows)


def _answer(at: int, item: QuizItem) -> list[Block]:
    """One item of the key: what is right, and what is said of every answer that is foreseen."""
    rows: list[tuple[Text, ...]] = []
    if item.number is not None:
        rows.append(((right_answer(item),), ("right",), (item.yes,)))
        for number in item.number.foreseen:
            shown = f"{decimal(number.value, 4)} {item.number.unit}".replace("-", "−")
            rows.append(((shown,), (_slips(number.slips),), (number.feedback,)))
    elif item.order:
        rows.append(((_right(item),), ("right",), (item.yes,)))
        rows += [((Letters(" > ".join(o.names)),), (_slips(o.slips),), (o.feedback,)) for o in item.foreseen]
    else:
        rows += [
            (
                (f"({option.name.removeprefix('L')})",)
                if item.answered is AnsweredBy.LINE
                else (Letters(f"{option.name}:  "), *option.said),
                ("right" if option.right else _slips(option.slips),),
                (option.feedback,),
            )
            for option in item.options
        ]
    head: tuple[Text, ...] = (("answer",), ("slip",), ("what is said of it",))
    return [_heading(at, item), Paragraph(item.prompt), Table("Answers, right and wrong", head, tuple(rows))]


def _right(item: QuizItem) -> str:
    """The right answer, as letters where it is some."""
    told = right_answer(item)
    return told if item.answered in (AnsweredBy.NUMBER, AnsweredBy.LINE) else Letters(told)


def _slips(keys: tuple[str, ...]) -> str:
    return CATALOGUE[keys[0]].name if keys else "–"
