"""The problem edition: figure, story, what is given and what is to be found; it gives nothing away.

It is written from the circuit alone: no solution is at hand here from which anything could slip in.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from ..circuit.circuit import Circuit
from ..circuit.elements import UNIT_HELD, UNIT_OF
from ..expressions.amounts import amount
from ..expressions.nodes import ZERO, Equation, Symbol
from ..expressions.said import in_a_row, names
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..transients.transient import before
from .document import Block, Document, Listing, Paragraph, Picture, Text
from .editions import Page
from .sections import as_written, opening_blocks, story_blocks
from .sheets import Sheet, finished
from .timed_words import held_name, question_blocks, start_block

BUILT = (
    "Before such a circuit is built, whoever is in charge looks it over: local rules, the makers' data and "
    "licensed practice come first."
)


@dataclass(frozen=True)
class ProblemSheet(Sheet):
    """A circuit to be worked by others."""

    circuit: Circuit
    page: Page

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit = self.circuit
        asked = self._asked()
        blocks = (
            *story_blocks(circuit),
            *(self._figure() if self.page.has("figure") else ()),
            *_repeated(circuit),
            *(given_blocks(circuit) if self.page.has("given") else ()),
            *(at_the_start(circuit) if self.page.has("given") else ()),
            *asked,
            Paragraph((BUILT,)),
        )
        return finished(circuit, blocks, self.page)

    def _asked(self) -> tuple[Block, ...]:
        circuit = self.circuit
        if not circuit.storages:
            return opening_blocks(circuit)[len(story_blocks(circuit)) :]
        return question_blocks(circuit)

    def _figure(self) -> tuple[Block, ...]:
        circuit = as_handed_out(self.circuit)
        if not is_drawn(circuit):
            return (Listing(tuple((line,) for line in describe(circuit).splitlines())),)
        return (Picture(draw(circuit, resistors=self.page.resistors), describe(circuit)),)


def as_handed_out(circuit: Circuit) -> Circuit:
    """The circuit as the figure of a problem has it: before its switches move, with how they will."""
    return replace(before(circuit), switching=circuit.switching)


def _repeated(circuit: Circuit) -> tuple[Block, ...]:
    """How the section of an endless ladder goes on."""
    if circuit.ladder is None:
        return ()
    (a, b), (c, d) = circuit.ladder.start, circuit.ladder.end
    words = f"This is one section, from {a} and {b} to {c} and {d}. The next one begins at {c} and {d}; "
    return (Paragraph((f"{words}sections follow without end.",)),)


def at_the_start(circuit: Circuit) -> tuple[Block, ...]:
    """What storages hold at the start, where the file says so: of a value of its own the letter, which is
    among what is given."""
    held: list[Text] = []
    for name, value in circuit.start.items():
        nothing = amount(Fraction(0), UNIT_HELD[circuit.elements[name].kind])
        held.append((Symbol(held_name(circuit, name)), " = ", nothing if value == ZERO else value))
    return start_block(held)


def given_blocks(circuit: Circuit) -> tuple[Block, ...]:
    """What is given, as a paragraph; nothing where nothing is."""
    told = given_said(circuit)
    return (Paragraph(told),) if told else ()


def given_said(circuit: Circuit) -> Text:
    """What is given: numbers as they were written, values made of others, symbols for the rest."""
    met = [circuit.elements[p.element] for b in circuit.branches for p in b.passes]
    said: list[Text] = [
        (Equation(Symbol(symbol), as_written(circuit, symbol)),)
        for symbol in circuit.symbols
        if symbol in circuit.numbers
    ]
    for element in met:
        if element.kind in UNIT_OF and element.value != Symbol(element.name):
            said.append((Equation(Symbol(element.name), element.value),))
        if element.internal is not None:
            said.append((element.internal, " as the internal resistance of ", Symbol(element.name)))
    left = [symbol for symbol in circuit.symbols if symbol not in circuit.numbers]
    if left:
        said.append((*names(left), " as a symbol" if len(left) == 1 else " as symbols"))
    return ("Given: ", *in_a_row(said), ".") if said else ()
