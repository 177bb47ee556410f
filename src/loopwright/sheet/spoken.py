"""The sheet as plain text to be read aloud: one sentence a line, every grouping said.

Reads the document model and the spoken form of expressions, each of which has been parsed back and
compared before it is used; knows no other output. Words around the expressions are gone through as
well: quantities, numbers with units and signs in them are said, and no sign is left over that a
reader would stumble over.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Collection, Iterator, Mapping

from ..expressions.heard import speak
from ..expressions.nodes import ZERO, Equation, Expr, Negative, Number, Symbol
from ..expressions.said import Letters, OwnWords
from ..expressions.terms import LANGUAGE, in_terms
from ..quantities import read_quantity
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

_SMALL = (
    "zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
    "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen",
)  # fmt: skip
_TENS = ("zero", "ten", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety")

_RELATIONS = {
    "=": "equals", "≈": "is about", "→": "goes to", "≠": "is not equal to", "<": "is less than",
    ">": "is greater than", "≤": "is at most", "≥": "is at least",
}  # fmt: skip
_SIGNS = _RELATIONS | {
    "→": "to", "−": "minus", "+": "plus", "±": "plus or minus", "×": "times", "·": "times",
    "∥": "in parallel with",
    "∞": "infinity", "%": "per cent", "°": "degrees", "Ω": "ohms", "\u2126": "ohms", "&": "and", "/": "over",
    "$": "dollar", "#": "number sign", "\\": "backslash", "_": "underscore", "*": "star", "^": "raised to",
    "~": "tilde", "|": "bar", "@": "at", "`": "backquote", "✓": "yes", "½": "one half", "¼": "one quarter",
    "¾": "three quarters", "µ": "micro", "μ": "micro", "↑": "up", "↓": "down", "←": "from",
}  # fmt: skip
_PAUSES = dict.fromkeys('–—“”"()[]{}', ", ")
_PUNCTUATION = _PAUSES | {"…": ".", "’": "'", "‘": "'", "\u00a0": " ", "\u202f": " ", "\u2009": " "}

_AND_OR = re.compile(r"\band/or\b", re.IGNORECASE)
_ROOM = re.compile(r"_{3,}")  # to be filled in by hand
_BETWEEN_WORDS = re.compile(r"(?<=[a-z]{2})/(?=[a-z]{2})")  # on/off, and not R1/R2
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_TOKEN = re.compile(
    r"\((?P<line>\d+)\)"
    r"|(?P<minus>(?<![\w)])[−-])?(?<![\w.])(?P<number>\d+(?:\.\d+)?)[ \u00a0\u202f]?"
    r"(?P<unit>[pnµmkMG]?[ΩVAW])(?!\w)"
    r"|(?<=\d)(?P<power>[⁻⁰¹²³⁴⁵⁶⁷⁸⁹]+)"
    r"|(?<![\w.])(?P<name>[A-Za-z][A-Za-z]?\d{1,3}|[A-Za-z]\w*)(?!\w)"
)


def write(document: Document) -> str:
    """The document as text to be read aloud; the same document gives the same text.

    Raises BrokenPromise when an expression as spoken would not be heard as the same algebra.
    """
    aloud = _Aloud(document)
    lines = [aloud.sentence(aloud.words(OwnWords(document.title)))]
    for stretch in document.stretches:
        aloud.roles, aloud.numbers = stretch.roles, stretch.lines
        for block in stretch.blocks:
            opens = isinstance(block, Heading | ProblemHead)
            lines += ["", *aloud.block(block)] if opens else aloud.block(block)
    return "\n".join(line for sentence in lines for line in _sentences(sentence)) + "\n"


def said_aloud(
    text: Text, roles: Mapping[str, str], numbers: Collection[int] = (), terms: str = "british"
) -> str:
    """Running text as it is said outside a document, one or more whole sentences. `numbers`: the lines that
    it may speak of as equations. Raises BrokenPromise as `write` does."""
    lines = tuple(DisplayedLine((ZERO,), number) for number in numbers)
    aloud = _Aloud(Document("", lines, roles, LANGUAGE[terms]))
    said = aloud.sentence(aloud.text(text))
    return re.sub(r"(?<=[.?!] )[a-z]", lambda match: match[0].upper(), said)


def cardinal(number: int) -> str:
    """A whole number from 0 to 999 in words; greater ones in digits."""
    if not 0 <= number < 1000:
        return str(number)
    if number < 20:
        return _SMALL[number]
    if number < 100:
        rest = number % 10
        return _TENS[number // 10] + (f"-{_SMALL[rest]}" if rest else "")
    rest = number % 100
    return f"{_SMALL[number // 100]} hundred" + (f" and {cardinal(rest)}" if rest else "")


class _Aloud:
    """One run of the writer: the document's symbols and the numbers of its lines."""

    def __init__(self, document: Document) -> None:
        self.roles: Mapping[str, str] = document.roles
        self.terms = next(terms for terms, language in LANGUAGE.items() if language == document.language)
        self.numbers = document.stretches[0].lines

    def block(self, block: Block) -> list[str]:
        """The sentences of one block."""
        match block:
            case Heading(words):
                return [self.sentence(self.words(words))]
            case Paragraph(text):
                return [self.sentence(self.text(text))]
            case DisplayedLine():
                return list(self.line(block))
            case Gap(number=number, reason=reason):
                name = f"Equation {cardinal(number)} is" if number else "A line is"
                told = [self.sentence(f"{name} to be filled in")]
                return [*told, *([self.sentence(self.text(reason))] if reason else [])]
            case Written():
                return list(self.written(block))
            case Listing(items):
                return [self.sentence(self.text(item)) for item in items]
            case Table():
                return list(self.table(block))
            case Picture(_, alternative, caption):
                told = [f"Figure: {self.words(caption)}" if caption else "Figure"]
                told += [self.words(part) for part in alternative.splitlines() if part.strip()]
                return [self.sentence(part) for part in told]
            case CautionBox(text):
                return [self.sentence(f"Caution: {self.text(text)}")]
            case ProblemHead(words):
                return [self.sentence(self.words(OwnWords(words)))]
            case Masthead(lines, code):
                spelt = " ".join(code.replace("-", ""))
                return [
                    self.sentence(f"Code: {self.words(OwnWords(spelt))}"),
                    *(self.sentence(self.text(line)) for line in lines),
                ]
            case WorkingRoom(words):
                return [self.sentence(f"{self.words(words)}: room is left here")]

    def line(self, line: DisplayedLine) -> Iterator[str]:
        name = f"equation {cardinal(line.number)}" if line.number else ""
        opening = ", ".join(part for part in ("result" if line.result else "", name) if part)
        first, *rest = line.sides
        said = self.maths(Equation(first, rest[0], line.relations[0]) if rest else first)
        chain = "".join(
            f"; this {_RELATIONS.get(relation, relation)} {self.maths(side)}"
            for relation, side in zip(line.relations[1:], rest[1:], strict=True)
        )
        yield self.sentence(f"{opening}: {said}{chain}" if opening else said + chain)
        if line.reason:
            yield self.sentence(self.text(line.reason))

    def written(self, written: Written) -> Iterator[str]:
        """The claims as they were read; where the remarks hold formulas they tell which claim is meant, and
        the line itself, which may be markup, is left out."""
        claims = "; ".join(self.maths(claim) for claim in written.read)
        told = any(not isinstance(piece, str) for remark in written.remarks for piece in remark)
        said = claims or ("" if told else self.words(written.text))
        number = f"Line {cardinal(written.number)}"
        yield self.sentence(f"{number}: {said}" if said else number)
        if written.word:
            yield self.sentence(self.words(written.word))
        for remark in written.remarks:
            yield self.sentence(self.text(remark))

    def table(self, table: Table) -> Iterator[str]:
        heads = [self.text(cell) for cell in table.head]
        rows = f"{cardinal(len(table.rows))} {'row' if len(table.rows) == 1 else 'rows'}"
        named = f"Table: {self.words(table.caption)}" if table.caption else "Table"
        yield self.sentence(f"{named}, {rows}")
        for at, row in enumerate(table.rows, start=1):
            cells = [(head, self.text(cell).rstrip(" .")) for head, cell in zip(heads, row, strict=True)]
            told = "; ".join(f"{head}: {cell}" if head else cell for head, cell in cells if cell)
            yield self.sentence(f"Row {cardinal(at)}; {told}")

    # -- running text ----------------------------------------------------------------------------

    def text(self, text: Text) -> str:
        """Running text with its expressions said; a stretch of words may hold signs of its own."""
        said = [self.words(piece) if isinstance(piece, str) else self.maths(piece) for piece in text]
        return "".join(said)

    def maths(self, piece: Expr | Equation) -> str:
        return speak(piece, self.roles)

    def words(self, words: str) -> str:
        """Plain words with the quantities, numbers and signs in them said."""
        if isinstance(words, Letters):
            return words.replace(" > ", ", then ")
        own = isinstance(words, OwnWords)
        plain = _BETWEEN_WORDS.sub(" or ", _AND_OR.sub("and or", _ROOM.sub(" blank ", words)))
        return "".join(map(self.sign, _TOKEN.sub(lambda match: self.token(match, own=own), plain)))

    def token(self, match: re.Match[str], *, own: bool) -> str:
        if match["line"]:
            known = int(match["line"]) in self.numbers and not own
            return f"equation {cardinal(int(match['line']))}" if known else match[0]
        if match["number"]:
            value = read_quantity(match["number"] + match["unit"]).value
            number = Number(value, match["unit"], match["number"])
            return self.maths(Negative(number) if match["minus"] else number)
        if match["power"]:
            return f" to the power {match['power'].translate(_RAISED)}"
        name = match["name"]
        is_quantity = name in self.roles or re.fullmatch(r"[A-Z]\d{1,3}", name)
        return self.maths(Symbol(name)) if is_quantity and name not in ("A", "a", "I") else name

    def sign(self, char: str) -> str:
        """A character as it is said: letters, digits and plain punctuation stay, signs become words."""
        if char in _SIGNS:
            return f" {in_terms(_SIGNS[char], self.terms)} "
        if char in _PUNCTUATION:
            return _PUNCTUATION[char]
        if char.isalpha() or char in "0123456789" or char in " .,:;?!'-":
            return char
        return f" {unicodedata.name(char, 'sign').lower()} " if char.isprintable() else " "

    def sentence(self, words: str) -> str:
        """Words made into a sentence: capital at the front, full stop at the end, no doubled marks."""
        words = " ".join(words.split())
        words = re.sub(r"\s+([,.;:?!])", r"\1", words)
        words = re.sub(r",+(?=[,.;:?!])", "", words)
        words = re.sub(r"([.;:])[,;]", r"\1", words).strip(" ,;")
        if words and words[-1] not in ".:?!":
            words += "."
        return words[:1].upper() + words[1:]


def _sentences(text: str) -> list[str]:
    """The sentences of a text, each by itself."""
    return re.split(r"(?<=[.?!])\s+(?=[A-Z])", text)
