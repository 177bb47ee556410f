"""What a problem edition gives away, looked for in every form of output, seen or hidden.

Looked for: every current and every answer, as numbers in any rounding and as closed forms in each notation;
and words that only a solution needs. What a person wrote (title, story) is theirs and is not searched.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from html.parser import HTMLParser
from importlib.resources import files

from loopwright.circuit.circuit import Circuit
from loopwright.circuit.elements import UNIT_OF
from loopwright.expressions.amounts import amount
from loopwright.expressions.nodes import Expr, Symbol
from loopwright.expressions.notation import notation
from loopwright.expressions.tidy import tidy
from loopwright.expressions.writers import latex, mathml, plain, spoken, typst
from loopwright.methods.methods import derive
from loopwright.quantities import read_quantity
from loopwright.sheet import html, markdown, pdf
from loopwright.sheet import latex as latex_page
from loopwright.sheet import spoken as spoken_page
from loopwright.sheet.answers import UNIT, answers
from loopwright.sheet.document import Document, Paragraph
from loopwright.sheet.sheets import roles
from loopwright.solve.exact import solve

TELLING = (
    r"(along|against) (its|their) arrow", r"really run", r"revers", r"vanish", r"\btends?\b", r"→",
    r"\\to\b", r"goes to", r"grows?\b", r"without limit", r"\blimit", r"shorted", r"\bis open\b",
    r"\bR\d* open\b", r"infinity", r"∞", r"infty", r"confirm", r"refut", r"expect", r"undecided",
    r"equation", r"result", r"solution", r"ledger", r"\bcheck", r"\bproved", r"\bslip", r"negative",
    r"positive", r"substitut", r"\bsolve", r"driven", r"charges it", r"into heat", r"loop rule",
    r"junction rule", r"symmetry", r"\bboxed\b",
)  # fmt: skip
QUIET = ("class", "d", "points", "style", "href", "id", "aria-labelledby", "font-family", "width", "viewBox")
NEAR = Fraction(2, 100)  # a rounding to two figures may be off by so much, and no more
_QUIET = re.compile(rf' (?:{"|".join(QUIET)})="[^"]*"')
_QUANTITY = re.compile(r"(?<![\w.])\d+(?:\.\d+)?[ \u00a0\u202f]?[pnµmkMG]?[ΩVAW](?![\w])")


class _Page(HTMLParser):
    """The words of a page: text, and every attribute that is told or shown; rules of style left out."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.told: list[str] = []
        self.in_style = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.in_style = tag == "style"
        self.told += [value for name, value in attrs if value and name not in QUIET]

    def handle_endtag(self, tag: str) -> None:
        self.in_style = False

    def handle_data(self, data: str) -> None:
        if not self.in_style:
            self.words.append(data)


def searched(document: Document) -> dict[str, str]:
    """Each form of output as the text in which answers are looked for: what is seen, and what is only in the
    file (alternatives, labels, the drawing inside, titles of the document)."""
    page = _Page()
    whole = html.write(document)
    page.feed(whole)
    body = whole.split("</style>")[1]
    read = subprocess.run(["pdftotext", "-", "-"], input=pdf.write(document), capture_output=True, check=True)
    template = (files("loopwright.sheet") / "page_template.typ").read_text(encoding="utf-8")
    tex = latex_page.write(document).split(r"\begin{document}")[1]
    return {
        "html": _QUIET.sub("", body) + "\n" + " ".join((*page.words, *page.told)),
        "pdf": read.stdout.decode() + "\n" + pdf.typst_source(document).removeprefix(template),
        "tex": tex,
        "md": markdown.write(document),
        "say": spoken_page.write(document),
    }


def leaks(document: Document, circuit: Circuit) -> list[str]:
    """Everything that the document gives away of the circuit, with the form in which it does."""
    facts = list(_facts(circuit))
    found: list[str] = []
    own = Paragraph((circuit.story,))
    ours = replace(document, title="Circuit", blocks=tuple(b for b in document.blocks if b != own))
    for form, text in searched(ours).items():
        found += [f"{form}: {m[0]}" for way in TELLING for m in re.finditer(way, text, re.IGNORECASE)]
        found += [f"{form}: {seen}" for seen in _numbers(text, circuit, facts)]
        found += [f"{form}: {form_of}" for _, _, value in facts for form_of in _forms(value, circuit, text)]
    return found


def _facts(circuit: Circuit) -> Iterator[tuple[Fraction | None, str, Expr]]:
    """What must not be told: number, unit and closed form of every current and of everything asked."""
    solution = solve(circuit)
    for value in solution.currents.values():
        yield solution.number(value), "A", tidy(value)
    for answer in answers(circuit, solution, derive(circuit, solution)):
        number, unit = solution.number(answer.value), UNIT.get(answer.target.dimension, "")
        yield number, unit, tidy(answer.value)
        yield number, unit, answer.form


def _given(circuit: Circuit) -> set[tuple[str, Fraction]]:
    """Units and numbers of the elements, and those that the questions themselves name (`t when IL = 0 A`)."""
    kinds = {name: circuit.role(name) for name in circuit.symbols}
    named = [
        read_quantity(match[0])
        for text in (*circuit.find, *circuit.in_time)
        for match in _QUANTITY.finditer(text)
    ]
    asked = {(quantity.symbol[-1], quantity.value) for quantity in named}
    return asked | {
        (UNIT_OF[kind], circuit.numbers[n]) for n, kind in kinds.items() if kind and n in circuit.numbers
    }


def _numbers(text: str, circuit: Circuit, facts: list[tuple[Fraction | None, str, Expr]]) -> Iterator[str]:
    """Quantities in a text that are an answer, in digits or said in words, and no given number."""
    given = _given(circuit)
    for match in _QUANTITY.finditer(re.sub(r"\\[,;]|\\mathrm|[{}~$]", "", text)):
        read = read_quantity(match[0])
        unit = read.symbol[-1]
        for value, of, _ in facts:
            if value is None or of != unit or (unit, read.value) in given:
                continue
            if abs(read.value - abs(value)) <= NEAR * abs(value):
                yield match[0]
    known = {spoken.render(amount(v, unit, n)) for unit, v in given for n in range(1, 5)}
    for value, of, _ in facts:
        for figures in range(1, 5):
            said = "" if value is None else spoken.render(amount(abs(value), of, figures))
            if said and said not in known and re.search(rf"(?<![\w-]){re.escape(said)}\b", text):
                yield said


def _forms(form: Expr, circuit: Circuit, text: str) -> Iterator[str]:
    """The notations of a closed form that stand in a text; a lone symbol or number is no closed form."""
    if isinstance(form, Symbol) or not re.search(r"[ /]", plain.render(form)):
        return
    of = roles(circuit)
    ways = [plain.render(form), latex.render(form, of), mathml.write(notation(form, of))]
    for written in (*ways, spoken.render(form, of), typst.render(form, of)):
        if written in text:
            yield written
