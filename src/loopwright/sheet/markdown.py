"""The sheet as plain Markdown (CommonMark, tables, `$...$` mathematics): readable as it stands.

Reads the document model and the LaTeX writer; knows no other output. A Markdown file carries no drawing:
the figure is linked where it stands in a file beside, its words as the text that stands for it, and otherwise
given in words.
"""

from __future__ import annotations

import re
from dataclasses import replace

from ..expressions.nodes import Equation, Expr
from ..expressions.writers import latex
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

_RELATIONS = {
    "≈": r"\approx",
    "→": r"\to",
    "≠": r"\neq",
    "≤": r"\leq",
    "≥": r"\geq",
    "<": r"\lt",
    ">": r"\gt",
}
_MARKUP = re.compile(r"[\\`*_{}\[\]<>#|~$&^]")
_LIST_SIGN = re.compile(r"^(\s*)(\d+)?([-+.)=])(?=\s|$)")


def write(document: Document) -> str:
    """The document as Markdown; the same document gives the same text."""
    blocks = [f"# {escaped(document.title)}"]
    for stretch in document.stretches:
        told = replace(document, roles=stretch.roles)
        blocks += [_block(block, told, "###" if stretch.number else "##") for block in stretch.blocks]
    return "\n\n".join(block for block in blocks if block) + "\n"


def escaped(words: str) -> str:
    """Plain words in which no character acts as Markdown or HTML."""
    return _MARKUP.sub(lambda match: "\\" + match[0], " ".join(words.split("\n")))


def _text(text: Text, document: Document) -> str:
    """Running text that opens a line of the file: a sign of a list at its front is made plain."""
    whole = "".join(escaped(piece) if isinstance(piece, str) else _maths(piece, document) for piece in text)
    return _LIST_SIGN.sub(r"\1\2\\\3", whole)


def _maths(piece: Expr | Equation, document: Document) -> str:
    return f"${latex.render(piece, document.roles)}$"


def _block(block: Block, document: Document, head: str) -> str:
    match block:
        case Heading(words):
            return f"{head} {escaped(words)}"
        case Paragraph(text):
            return _text(text, document)
        case DisplayedLine():
            return _line(block, document)
        case Gap(rows, number, reason):
            rules = "\\_" * 40 + (f" ({number})" if number else "")
            return "\n\n".join([*[rules] * rows, *([_text(reason, document)] if reason else [])])
        case Written():
            return _written(block, document)
        case Listing(items):
            return "\n".join(f"- {_text(item, document)}" for item in items)
        case Table():
            return _table(block, document)
        case Picture(_, alternative, caption, file) if file:
            told = escaped(" ".join(part for part in alternative.splitlines() if part.strip()))
            shown = f"![{told}](<{file}>)" if " " in file else f"![{told}]({file})"
            return f"{shown}\n\n**Figure: {escaped(caption)}**" if caption else shown
        case Picture(_, alternative, caption):
            named = f"**Figure: {escaped(caption)}**" if caption else "**Figure**"
            parts = [named, *(escaped(part) for part in alternative.splitlines() if part.strip())]
            return "\n>\n".join(f"> {part}" for part in parts)
        case CautionBox(text):
            return f"> **Caution.** {_text(text, document)}"
        case ProblemHead(words):
            return f"## {escaped(words)}"
        case Masthead(lines, code):
            return "\n\n".join([f"**Code {escaped(code)}**", *(_text(line, document) for line in lines)])
        case WorkingRoom(words):
            return f"*{escaped(words)}:*"


def _line(line: DisplayedLine, document: Document) -> str:
    before = ["", *(f"{_RELATIONS.get(relation, relation)} " for relation in line.relations)]
    sides = [latex.render(side, document.roles) for side in line.sides]
    maths = " ".join(sign + side for sign, side in zip(before, sides, strict=True))
    framed = rf"\boxed{{{maths}}}" if line.result else maths
    tag = rf" \tag{{{line.number}}}" if line.number else ""
    reason = f"\n\n{_text(line.reason, document)}" if line.reason else ""
    return f"$$\n{framed}{tag}\n$${reason}"


def _written(written: Written, document: Document) -> str:
    """The number and the verdict, the line as it stands, the claims as read, then what is said of them."""
    word = f": {escaped(written.word.upper() if written.fault else written.word)}" if written.word else ""
    read = "; ".join(_maths(claim, document) for claim in written.read)
    parts = [f"**Line {written.number}{word}**", f"> {_text((written.text,), document)}"]
    parts += [f"Read as {read}"] if read else []
    return "\n\n".join([*parts, *(_text(remark, document) for remark in written.remarks)])


def _table(table: Table, document: Document) -> str:
    def row(cells: tuple[Text, ...]) -> str:
        return "| " + " | ".join(_cell(cell, document) for cell in cells) + " |"

    rule = "|" + " --- |" * len(table.head)
    named = [f"**{escaped(table.caption)}**", ""] if table.caption else []
    return "\n".join([*named, row(table.head), rule, *map(row, table.rows)])


def _cell(text: Text, document: Document) -> str:
    """A cell: a bar inside an expression is written out, for a bare one would end the cell."""
    return "".join(
        escaped(piece)
        if isinstance(piece, str)
        else _maths(piece, document).replace(r"\|", r"\Vert ").replace("|", r"\vert ")
        for piece in text
    )
