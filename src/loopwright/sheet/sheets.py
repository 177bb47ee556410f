"""What every sheet is: a circuit, one document, and the forms of output written from it."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable, Mapping

from ..checks.limits.expectations import ExpectationVerdict, Judgement
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..findings import Finding
from ..shown import Shown
from .document import Block, Document
from .document_terms import document_in_terms
from .editions import Page
from .forms import HTML, LATEX, MARKDOWN, PDF, SPOKEN

Tell = Callable[[str], None]  # hears, in a word or two, what is being worked at


def silent(_: str) -> None:
    """Tells nobody."""


class Sheet(Shown, ABC):
    """A worked circuit, ready to be written."""

    circuit: Circuit

    @property
    @abstractmethod
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""

    @property
    def unmet(self) -> tuple[ExpectationVerdict, ...]:
        """The person's expectations that turned out wrong, or could not be decided."""
        return ()

    @property
    def notes(self) -> tuple[Finding, ...]:
        """What the person should know of the sheet: what it leaves out, and why."""
        return ()

    def html(self) -> str:
        """One HTML page, complete in itself."""
        return HTML.write(self.document)

    def pdf(self) -> bytes:
        """Printed pages."""
        return PDF.write(self.document)

    def latex(self) -> str:
        """LaTeX source that compiles with a plain distribution."""
        return LATEX.write(self.document)

    def markdown(self) -> str:
        """Markdown with formulas between dollar signs."""
        return MARKDOWN.write(self.document)

    def spoken(self) -> str:
        """Text to read aloud, every grouping said."""
        return SPOKEN.write(self.document)


def not_confirmed(verdicts: tuple[ExpectationVerdict, ...]) -> tuple[ExpectationVerdict, ...]:
    """Those expectations that turned out wrong, or could not be decided."""
    return tuple(v for v in verdicts if v.judgement is not Judgement.CONFIRMED)


def finished(
    circuit: Circuit, blocks: tuple[Block, ...], page: Page, known: Mapping[str, str] | None = None
) -> Document:
    """The document of these blocks, on the paper and in the terms of the page. `known`: what symbols stand
    for, where these are more than the circuit's own."""
    title = circuit.title or ("Circuit" if circuit.ladder is None else "Ladder without end")
    document = Document(title, blocks, known or roles(circuit), paper=page.paper)
    return document_in_terms(document, page.terms, circuit.own_words)


def roles(circuit: Circuit) -> dict[str, str]:
    """What every symbol of the circuit stands for, for the writers."""
    words = {Kind.BATTERY: "emf", Kind.CURRENT_SOURCE: "current", Kind.RESISTOR: "resistance"}
    found = dict.fromkeys(circuit.currents, "current")
    for symbol in circuit.symbols:
        kind = circuit.role(symbol)
        found[symbol] = words.get(kind, "resistance") if kind else "resistance"
    for element in circuit.elements.values():
        found.setdefault(element.name, words.get(element.kind, "resistance"))
    return found
