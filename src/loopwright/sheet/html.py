"""The sheet as one HTML file: native MathML, the figure inside it, no network and no scripts.

Reads the document model, the MathML and spoken writers and the SVG renderer; knows no other output. The look
of the page is in `page_style.css`, and a rule is added for each width on the page. All of it stands in the
one style element and no other has a style of its own, so that a strict content policy allows the page by one
hash. Anything that may be wider than a narrow screen stands in a box of its own that scrolls and can be
reached by keyboard.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from html import escape
from pathlib import Path

from ..expressions.nodes import Equation, Expr, Negative, Sum
from ..expressions.notation import notation
from ..expressions.said import OwnWords
from ..expressions.writers import mathml, spoken
from ..figure.svg import svg
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
from .width import RELATION, width_of

STYLE = Path(__file__).with_name("page_style.css").read_text(encoding="utf-8")
GAP_SAID = "To be filled in."
ROOM_IN_LINE = 11.0  # em: an expression in running text that may outgrow a screen 320 px wide
ROOM_ON_LINE = 13.0  # em: the same for a displayed line
ROOM_ON_PAGE = 36.0  # em: a displayed line beyond this breaks between its sides and terms
FIGURE_ROOM = 80.0  # mm: a wider drawing scrolls on a screen 320 px wide, so that its letters stay readable
FIGURE_SCALE = (
    0.32  # em of the page for a millimetre of the drawing: its letters a little larger than the text
)

_PAPER = {"a4": "A4", "letter": "letter"}  # as CSS Paged Media 3 calls them

_REFERENCE = re.compile(r"\((\d+)\)")
_LINES = re.compile(r"\blines? \d+(?:(?:, | and )\d+)*")  # lines of somebody's working


def write(document: Document) -> str:
    """The document as a complete HTML page; the same document gives the same text."""
    page = _Page(document)
    title = escape(document.title)
    body = "".join(page.parts())  # first: it says which widths there are
    return (
        "<!DOCTYPE html>\n"
        f'<html lang="{escape(document.language)}">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>{title}</title>\n<style>\n{STYLE}"
        f"@page {{ size: {_PAPER[document.paper]}; }}\n{page.rules()}</style>\n</head>\n<body>\n<main>\n"
        f"<h1>{title}</h1>\n" + body + "</main>\n</body>\n</html>\n"
    )


def fragments(document: Document) -> tuple[list[tuple[str, str]], str]:
    """The sections of a document one by one, each with its head, for a page of which they are a part; what
    stands before the first head has an empty one. Besides, the rules that give formulas their width."""
    page = _Page(document)
    found: list[tuple[str, list[str]]] = [("", [])]
    for block in document.blocks:
        if isinstance(block, Heading):
            found.append((block.words, []))
        else:
            found[-1][1].append(page.block(block))
    return [(title, "".join(parts)) for title, parts in found if parts], page.rules()


def running_text(text: Text, roles: Mapping[str, str]) -> str:
    """A sentence with its formulas, for a page of which it is a part."""
    return _Page(Document("", (), roles)).text(text)


@dataclass(slots=True)
class _Markup:
    """An expression in MathML: what stands inside a `<math>` element, and the whole as it stands in running
    text, made when it is first asked for. `width`: how wide it is, in em."""

    inside: str
    width: float
    in_text: str = ""


class _Page:
    """One run of the writer: what it has to know of the whole document (names, numbers of lines) while it
    writes a block."""

    def __init__(self, document: Document) -> None:
        self.stretches = document.stretches
        self.written_numbers = {block.number for block in document.blocks if isinstance(block, Written)}
        self.pictures = self.tables = self.sections = 0
        self.sizes: dict[str, str] = {}  # class -> the width it sets
        self.enter(self.stretches[0])

    def enter(self, stretch: DocumentPart) -> None:
        """Turns to a stretch: its symbols, and the numbers of lines that can be referred to in it."""
        self.roles: Mapping[str, str] = stretch.roles
        self.numbers = stretch.lines
        self.head = "h3" if stretch.number else "h2"
        self.line_name = f"part-{stretch.number}-line" if stretch.number else "line"
        self.known: dict[Expr | Equation, _Markup] = {}  # what is written already: much stands in many places

    def parts(self) -> Iterator[str]:
        """The blocks in order, each heading opening a section, within that of its part."""
        for stretch in self.stretches:
            self.enter(stretch)
            within = False
            for block in stretch.blocks:
                if isinstance(block, Heading):
                    yield "</section>\n" if within else ""
                    within = True
                yield self.block(block)
            yield "</section>\n" * (within + (stretch.number > 0))

    def sized(self, size: str) -> str:
        """The class that sets the property `--width` to this number."""
        name = f"width-{size.replace('.', '-')}"
        self.sizes[name] = size
        return name

    def rules(self) -> str:
        """The rules of all classes that set a size."""
        return "".join(f".{name} {{ --width: {size}; }}\n" for name, size in sorted(self.sizes.items()))

    def block(self, block: Block) -> str:
        match block:
            case Heading(words):
                return self.section(words, self.head)
            case Paragraph(text):
                return f"<p>{self.text(text)}</p>\n"
            case DisplayedLine():
                return self.line(block)
            case Gap():
                return self.gap(block)
            case Written():
                return self.written(block)
            case Listing(items, options):
                begun = '<ul class="options">' if options else "<ul>"
                return f"{begun}\n" + "".join(f"<li>{self.text(item)}</li>\n" for item in items) + "</ul>\n"
            case Table():
                return self.table(block)
            case Picture():
                return self.picture(block)
            case CautionBox(text):
                return f'<aside class="caution"><p><strong>Caution</strong> {self.text(text)}</p></aside>\n'
            case ProblemHead(words, _, leaf):
                return self.section(words, "h2", ' class="leaf"' if leaf else "")
            case Masthead():
                return self.masthead(block)
            case WorkingRoom(words, least):
                size = self.sized(f"{least:.1f}")
                return f'<div class="room {size}"><p>{escape(words)}</p></div>\n'

    def section(self, words: str, head: str, kind: str = "") -> str:
        """The opening of a section with its head."""
        self.sections += 1
        name = f"part-{self.sections}"
        return f'<section{kind} aria-labelledby="{name}">\n<{head} id="{name}">{escape(words)}</{head}>\n'

    def gap(self, gap: Gap) -> str:
        """Rules to write on; what cannot be seen of them is said."""
        number = f'<span class="number">({gap.number})</span>' if gap.number else ""
        rules = '<span class="rule"></span>' * gap.rows
        reason = f'<p class="reason">{self.text(gap.reason)}</p>' if gap.reason else ""
        hint = f'<span class="unseen">{GAP_SAID}</span>'
        return f'<div class="line gap"><div class="formula">{hint}{rules}</div>{number}{reason}</div>\n'

    # -- running text ----------------------------------------------------------------------------

    def text(self, text: Text) -> str:
        return "".join([self.words(piece) if isinstance(piece, str) else self.maths(piece) for piece in text])

    def words(self, words: str) -> str:
        """Plain words; a number in brackets that is the number of a line leads to it, and so does the number
        of a line of a working."""
        told = escape(words)
        if isinstance(words, OwnWords):
            return told
        if "(" in words:
            told = _REFERENCE.sub(self.link, told)
        if self.written_numbers:
            told = _LINES.sub(lambda match: re.sub(r"\d+", self.lead, match[0]), told)
        return told

    def link(self, match: re.Match[str]) -> str:
        known = int(match[1]) in self.numbers
        return f'<a href="#{self.line_name}-{match[1]}">({match[1]})</a>' if known else match[0]

    def lead(self, match: re.Match[str]) -> str:
        known = int(match[0]) in self.written_numbers
        return f'<a href="#written-{match[0]}">{match[0]}</a>' if known else match[0]

    def maths(self, piece: Expr | Equation) -> str:
        markup = self.markup(piece)
        if not markup.in_text:
            markup.in_text = f"<math>{markup.inside}</math>"
            if markup.width > ROOM_IN_LINE:
                markup.in_text = f'<span class="wide" tabindex="0">{markup.in_text}</span>&#8288;'
        return markup.in_text

    def math(self, piece: Expr | Equation) -> str:
        """An expression in a line of text, whatever its width."""
        return f"<math>{self.inside(piece)}</math>"

    def inside(self, piece: Expr | Equation) -> str:
        """What stands inside a `<math>` element."""
        return self.markup(piece).inside

    def markup(self, piece: Expr | Equation) -> _Markup:
        markup = self.known.get(piece)
        if markup is None:
            inside = mathml.write(notation(piece, self.roles))
            markup = self.known[piece] = _Markup(inside, width_of(piece))
        return markup

    # -- blocks ----------------------------------------------------------------------------------

    def line(self, line: DisplayedLine) -> str:
        sides = [self.markup(side) for side in line.sides]
        width = sum(side.width for side in sides) + RELATION * (len(sides) - 1)
        parts = self.parts_of(line, sides, width)
        broken = len(parts) > 1
        name = f"Equation {line.number}" if line.number else "Equation"
        reach = f' tabindex="0" role="group" aria-label="{name}"' if broken or width > ROOM_ON_LINE else ""
        anchor = f' id="{self.line_name}-{line.number}"' if line.number else ""
        kind = "line result" if line.result else "line"
        said = '<span class="unseen">Result: </span>' if line.result else ""
        number = f'<span class="number">({line.number})</span>' if line.number else ""
        reason = f'<p class="reason">{self.text(line.reason)}</p>' if line.reason else ""
        size = "broken" if broken else self.sized(f"{width:.1f}")
        maths = "\n".join(f'<math display="block">{part}</math>' for part in parts)
        return (
            f'<div class="{kind}"{anchor}>{said}<div class="formula {size}"{reach}>'
            f"{maths}</div>{number}{reason}</div>\n"
        )

    def parts_of(self, line: DisplayedLine, sides: Sequence[_Markup], width: float) -> list[str]:
        """The markup of a displayed line: one piece, or the pieces between which it may break."""
        before = ["", *(f'<mo form="infix">{escape(relation)}</mo>' for relation in line.relations)]
        drawn = zip(before, sides, strict=True)
        whole = ["".join([f"{relation}<mrow>{side.inside}</mrow>" for relation, side in drawn])]
        if width <= ROOM_ON_PAGE:
            return whole
        long_sums = [
            isinstance(side, Sum) and markup.width > ROOM_ON_PAGE / 2
            for side, markup in zip(line.sides, sides, strict=True)
        ]
        if not any(long_sums) and len(line.sides) < 3:
            return whole
        parts: list[str] = []
        for at, (side, is_long) in enumerate(zip(line.sides, long_sums, strict=True)):
            terms = side.terms if is_long and isinstance(side, Sum) else (side,)
            for place, term in enumerate(terms):
                sign = before[at] if place == 0 else _sign_before(term)
                parts.append(f"<mrow>{sign}{self.inside(term)}</mrow>")
        return parts

    def written(self, written: Written) -> str:
        kind = "written fault" if written.fault else "written"
        word = f'<strong class="word">{escape(written.word)}</strong>' if written.word else ""
        read = "".join(f'<span class="read">{self.maths(claim)}</span>' for claim in written.read)
        shown = f'<p class="claims"><span class="unseen">Read as: </span>{read}</p>' if read else ""
        remarks = "".join(f"<p>{self.text(remark)}</p>" for remark in written.remarks)
        return (
            f'<div class="{kind}" id="written-{written.number}"><div class="hand">'
            f'<span class="number"><span class="unseen">Line </span>{written.number}</span> '
            f"<code>{escape(written.text)}</code> {word}</div>\n{shown}{remarks}</div>\n"
        )

    def table(self, table: Table) -> str:
        self.tables += 1
        name = f"table-{self.tables}"
        head = "".join(self.head_cell(cell, "col") for cell in table.head)
        rows = "".join(
            "<tr>"
            + "".join(
                self.head_cell(cell, "row") if at == 0 else f"<td>{self.cell(cell)}</td>"
                for at, cell in enumerate(row)
            )
            + "</tr>\n"
            for row in table.rows
        )
        caption = f'<caption id="{name}"><span>{escape(table.caption)}</span></caption>\n'
        if not table.caption:
            name, caption = f"part-{self.sections}", ""
        return (
            f'<div class="table" role="group" aria-labelledby="{name}" tabindex="0">\n<table>\n{caption}'
            f"<thead><tr>{head}</tr></thead>\n<tbody>\n{rows}</tbody>\n</table>\n</div>\n"
        )

    def head_cell(self, text: Text, scope: str) -> str:
        """A head: one with an expression in it gets words to be called by as readers go through the cells."""
        if all(isinstance(piece, str) for piece in text):
            return f'<th scope="{scope}">{self.cell(text)}</th>'
        said = "".join(
            piece if isinstance(piece, str) else spoken.render(piece, self.roles) for piece in text
        )
        words = f'<span class="unseen">{escape(said)}</span>'
        return f'<th scope="{scope}">{words}<span aria-hidden="true">{self.cell(text)}</span></th>'

    def cell(self, text: Text) -> str:
        """A cell: the box round the table scrolls, so its expressions need none."""
        return "".join([self.words(piece) if isinstance(piece, str) else self.math(piece) for piece in text])

    def picture(self, picture: Picture) -> str:
        self.pictures += 1
        drawing = picture.drawing
        markup = svg(drawing, picture.caption or "Circuit diagram", picture.alternative)
        caption = f"<figcaption>{escape(picture.caption)}</figcaption>\n" if picture.caption else ""
        reach = ' tabindex="0" role="group" aria-label="Figure"' if drawing.width > FIGURE_ROOM else ""
        size = self.sized(f"{drawing.width * FIGURE_SCALE:.2f}")
        words = "".join(f"<p>{escape(part)}</p>" for part in picture.alternative.splitlines() if part.strip())
        return (
            f'<figure class="{size}">\n'
            f'<div class="drawing"{reach}>{_own_names(markup, self.pictures)}</div>\n{caption}'
            f"<details><summary>Figure in words</summary>{words}</details>\n</figure>\n"
        )

    def masthead(self, head: Masthead) -> str:
        lines = "".join(f"<p>{self.text(line)}</p>" for line in head.lines)
        drawn = svg(head.mark, "Code", f"The code {head.code} for a camera")
        return (
            f'<div class="masthead"><div>{lines}</div>\n<div class="code">{drawn}'
            f"<p><code>{escape(head.code)}</code></p></div></div>\n"
        )


def _sign_before(term: Expr) -> str:
    """The plus before a term that stands by itself; a negative term brings its own minus."""
    return "" if isinstance(term, Negative) else '<mo form="infix">+</mo>'


def _own_names(markup: str, number: int) -> str:
    """The drawing with its title and description named, so that both are read as what it shows."""
    title, words = f"figure-{number}-title", f"figure-{number}-words"
    markup = markup.replace("<title>", f'<title id="{title}">', 1).replace(
        "<desc>", f'<desc id="{words}">', 1
    )
    return markup.replace("<svg ", f'<svg aria-labelledby="{title} {words}" ', 1)
