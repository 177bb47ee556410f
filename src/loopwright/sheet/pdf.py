"""The sheet as a tagged PDF through Typst: the same blocks, set for A4 or US Letter.

Reads the document model, the Typst and spoken writers and the SVG renderer; knows no other output.
The page design is the template in `page_template.typ`; what is written here is only calls of it.
All words go in as string literals, so nothing in them can act as markup.
"""

from __future__ import annotations

import re
from pathlib import Path
from typing import Literal

import typst

from ..errors import FaultyMaterial
from ..expressions.nodes import Equation, Expr, Sum
from ..expressions.said import OwnWords
from ..expressions.writers import spoken
from ..expressions.writers import typst as typst_maths
from ..figure.drawing import Drawing
from ..figure.svg import svg
from ..findings import Finding
from .document import (
    Block,
    CautionBox,
    DisplayedLine,
    Document,
    DocumentPart,
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

LARGER = 1.25  # times its size: as large as a drawing is made in print
_NO_LETTER = re.compile(r"the text `\"(.+?)\"` could not be displayed")
_REFERENCE = re.compile(r"(\(\d+\))")
RELATIONS = {
    "=": "=",
    "≈": "approx",
    "→": "arrow.r",
    "≠": "eq.not",
    "<": "<",
    ">": ">",
    "≤": "<=",
    "≥": ">=",
}


def write(document: Document) -> bytes:
    """The document as the bytes of a PDF (PDF/UA-1, no clock in it); the same document gives the same bytes.

    Only the fonts inside the Typst wheel are used, so that the page does not depend on the machine.
    """
    return typeset(typst_source(document), "pdf")[0]


def drawing_as_png(drawing: Drawing, per_inch: float = 300.0) -> bytes:
    """A drawing alone as PNG on white, with so many pixels to the inch."""
    size = f"width: {drawing.width:.3f}mm, height: {drawing.height:.3f}mm"
    shown = f'image(bytes({quoted(svg(drawing))}), format: "svg", {size})'
    return typeset(f"#set page({size}, margin: 0mm, fill: white)\n#{shown}\n", "png", per_inch)[0]


def typeset(source: str, form: Literal["pdf", "svg", "png"], per_inch: float = 300.0) -> list[bytes]:
    """Typst source as one PDF (PDF/UA-1), or as a picture of each page with so many pixels to the inch."""
    try:
        made: object = typst.compile(
            source.encode(),
            format=form,
            ppi=per_inch,
            ignore_system_fonts=True,
            pdf_standards="ua-1" if form == "pdf" else None,
        )
    except typst.TypstError as trouble:
        if (found := _NO_LETTER.search(str(trouble))) is None:
            raise
        raise FaultyMaterial(_no_letter(found[1])) from trouble
    return list(made) if isinstance(made, list) else [made] if isinstance(made, bytes) else []


def _no_letter(words: str) -> Finding:
    return Finding(
        "sheet/no-letter",
        f"A PDF cannot show {words}: the fonts that come with it have no letters of this script.",
        "Write it in Latin, Greek or Cyrillic letters, or make HTML, which takes the reader's own fonts.",
    )


def typst_source(document: Document) -> str:
    """The document as Typst source: the template, then one call for each block."""
    template = Path(__file__).with_name("page_template.typ").read_text(encoding="utf-8")
    language, _, region = document.language.partition("-")
    size = "us-letter" if document.paper == "letter" else "a4"
    page = (document.title, document.foot or document.title, language, region, size)
    opening = f"#show: sheet.with({', '.join(map(quoted, page))})\n"
    calls = [
        _Page(stretch).block(block, stretch.blocks[i + 1 : i + 2])
        for stretch in document.stretches
        for i, block in enumerate(stretch.blocks)
    ]
    return template + opening + "".join(calls)


def quoted(words: str) -> str:
    """Words as a Typst string literal, in which nothing is markup; a space that must not break stays one."""
    plain = "".join(c if c.isprintable() or c == "\u00a0" else " " for c in words)
    return '"' + plain.replace("\\", "\\\\").replace('"', '\\"') + '"'


class _Page:
    """One run of the writer through a stretch: its symbols and the numbers that can be referred to."""

    def __init__(self, stretch: DocumentPart) -> None:
        self.roles = stretch.roles
        self.numbers = stretch.lines
        self.level = 2 if stretch.number else 1
        self.line_name = f"part-{stretch.number}-line" if stretch.number else "line"

    def block(self, block: Block, after: tuple[Block, ...]) -> str:
        """A block as a call of the template; `after`: the block that follows, if one does."""
        match block:
            case Heading(words):
                return f"\n#heading(level: {self.level}, {quoted(words)})\n"
            case Paragraph(text):
                leads = any(isinstance(b, DisplayedLine | Listing | Table | Picture) for b in after)
                return f"\n#{'leading' if leads else 'par'}({self.content(text)})\n"
            case DisplayedLine():
                return self.line(block)
            case Gap(rows, number, reason):
                label, told = quoted(f"({number})" if number else ""), self.content(reason)
                return f"\n#gap({rows}, {label}, {told if reason else 'none'})\n"
            case Written():
                return self.written(block)
            case Listing(items, options):
                made = "options" if options else "listing"
                return f"\n#{made}({', '.join(map(self.content, items))})\n" if items else ""
            case Table(caption, head, rows):
                cells = "".join(f"  {', '.join(map(self.content, row))},\n" for row in rows)
                top = ", ".join(map(self.content, head))
                return f"\n#ruled({quoted(caption)}, ({top},),\n{cells})\n"
            case Picture(drawing, alternative, caption, as_is=as_is):
                markup = svg(drawing, caption or "Circuit diagram", alternative)
                size = f"{drawing.width:.2f}mm, {drawing.height:.2f}mm"
                most = 1 if as_is else LARGER
                words = f"{quoted(markup)}, {quoted(alternative)}, {quoted(caption)}"
                return f"\n#drawn({words}, {size}, {most})\n"
            case CautionBox(text):
                return f"\n#caution({self.content(text)})\n"
            case ProblemHead(words, _, leaf):
                return f"\n#part({quoted(words)}, {'true' if leaf else 'false'})\n"
            case Masthead(lines, code, mark):
                told = "".join(f"{self.content(line)}, " for line in lines)
                size = f"{mark.width:.2f}mm, {mark.height:.2f}mm"
                said = quoted(f"The code {code} for a camera")
                return f"\n#masthead(({told}), {quoted(code)}, {quoted(svg(mark))}, {said}, {size})\n"
            case WorkingRoom(words, least):
                lists = [self.block(b, ()).strip().removeprefix("#") for b in after if isinstance(b, Listing)]
                below = "".join(lists) or "none"
                return f"\n#working-room({quoted(words)}, {least:.2f}mm, below: {below})\n"

    def line(self, line: DisplayedLine) -> str:
        before = ["", *(RELATIONS.get(relation, quoted(relation)) for relation in line.relations)]
        sides = ", ".join(
            f"({'true' if isinstance(side, Sum) else 'false'}, {self.set_line(side, relation)})"
            for relation, side in zip(before, line.sides, strict=True)
        )
        whole = " ".join(
            f"{relation} {typst_maths.render(side, self.roles)}".strip()
            for relation, side in zip(before, line.sides, strict=True)
        )
        said = self.said(line)
        number = quoted(f"({line.number})") if line.number else "none"
        reason = self.content(line.reason) if line.reason else "none"
        label = f" <{self.line_name}-{line.number}>" if line.number else ""
        result = "true" if line.result else "false"
        details = f"number: {number}, result: {result}, reason: {reason}"
        return f"\n#worked(${whole}$, ({sides},), {quoted(said)}, {details}){label}\n"

    def written(self, written: Written) -> str:
        read = ", ".join(f"[{self.piece(claim)}]" for claim in written.read)
        remarks = ", ".join(map(self.content, written.remarks))
        fault = "true" if written.fault else "false"
        head = f"{quoted(str(written.number))}, {quoted(written.text)}, {quoted(written.word)}"
        lists = ", ".join(f"({items}{',' if items else ''})" for items in (read, remarks))
        return f"\n#written({head}, {lists}, {fault})\n"

    def said(self, line: DisplayedLine) -> str:
        """What stands for the displayed line where it cannot be seen."""
        first, *rest = line.sides
        opening = Equation(first, rest[0], line.relations[0]) if rest else first
        further = (
            f", this {'is about' if relation == '≈' else 'equals'} {spoken.render(side, self.roles)}"
            for relation, side in zip(line.relations[1:], rest[1:], strict=True)
        )
        return spoken.render(opening, self.roles) + "".join(further)

    def set_line(self, side: Expr, relation: str) -> str:
        return f"${relation} {typst_maths.render(side, self.roles)}$"

    # -- running text ----------------------------------------------------------------------------

    def content(self, text: Text) -> str:
        """Running text as a content literal."""
        return "[" + "".join(self.piece(piece) for piece in text) + "]"

    def piece(self, piece: str | Expr | Equation) -> str:
        if isinstance(piece, OwnWords):
            return f"#{quoted(piece)};"
        if isinstance(piece, str):
            return "".join(self.words(part) for part in _REFERENCE.split(piece) if part)
        said = quoted(spoken.render(piece, self.roles))
        markup = typst_maths.render(piece, self.roles)
        style = "tall" if "frac(" in markup else "maths"
        return f"#{style}(${markup}$, {said});"

    def words(self, words: str) -> str:
        if _REFERENCE.fullmatch(words) and int(words[1:-1]) in self.numbers:
            return f"#link(<{self.line_name}-{words[1:-1]}>, {quoted(words)});"
        return f"#{quoted(words)};"
