"""The sheet of a ladder without end: its self-similarity, the root, finite ladders, limits, ledger.

Nothing is published that failed a check, as for any other sheet.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..checks.ledger.ladder_entries import FiniteLadders, approach, examine_ladder
from ..checks.ledger.ledger import Ledger
from ..checks.limits.ladder_limits import LadderLimit, ladder_limits
from ..circuit.circuit import Circuit
from ..errors import BrokenPromise
from ..expressions.amounts import amount
from ..expressions.nodes import ZERO, Expr, Power, Symbol, add, times
from ..expressions.said import in_a_row
from ..expressions.surd_form import surd_form
from ..expressions.tidy import parallel_form, tidy
from ..figure.describe import describe
from ..figure.figure import draw
from ..solve.endless_ladder import EndlessLadder, closed_by, endless_ladder
from .document import Block, DisplayedLine, Document, Heading, Listing, Paragraph, Picture, Table, Text
from .editions import Edition, Page
from .sections import as_written, check_blocks, ledger_blocks, story_blocks
from .sheets import Sheet, Tell, finished, roles, silent

SHOWN = (1, 2, 3, 6, 12, 60)  # sections of the finite ladders in the table
MORE_FIGURES = 3  # of finite ladders, beyond those of the result: the gap is to be seen


@dataclass(frozen=True)
class LadderSheet(Sheet):
    """A worked ladder without end: every result as a value, and the document written from them."""

    circuit: Circuit
    found: EndlessLadder
    near: FiniteLadders
    limits: tuple[LadderLimit, ...]
    ledger: Ledger
    page: Page

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit = self.circuit
        blocks = (
            *story_blocks(circuit),
            Paragraph(("To find: ", self.asked, " of the ladder whose section is repeated without end.")),
            *self._figure(),
            *self._self_similarity(),
            *self._finite(),
            *self._limits(),
            *(check_blocks if self.page.edition is Edition.SOLUTION else ledger_blocks)(self.ledger),
        )
        known = roles(closed_by(circuit, self.found.rest))
        return finished(circuit, blocks, self.page, known)

    @property
    def asked(self) -> Symbol:
        """The resistance at the beginning, by its name: `R(a, b)`."""
        return Symbol(f"R({', '.join(self.found.ladder.start)})")

    @property
    def form(self) -> Expr:
        """The closed form."""
        return surd_form(self.found.resistance)

    @property
    def number(self) -> Expr | None:
        """The result rounded, where every symbol has a number."""
        if not self.circuit.has_all_numbers:
            return None
        return amount(self.near.limit, "Ω", self.circuit.figures)

    def _figure(self) -> tuple[Block, ...]:
        closed = closed_by(self.circuit, self.found.rest)
        (a, b), (c, d) = self.found.ladder.start, self.found.ladder.end
        said = f"One section, from {a} and {b} to {c} and {d}; all that follows it is drawn as one resistor, "
        return (
            Picture(draw(closed, resistors=self.page.resistors), describe(closed)),
            Paragraph((said, Symbol(self.found.rest), ".")),
        )

    def _self_similarity(self) -> tuple[Block, ...]:
        found, rest = self.found, Symbol(self.found.rest)
        resistances = (*self.circuit.symbols, found.rest)
        plain, beside = tidy(found.seen), parallel_form(found.seen, resistances)
        seen = (rest, plain) if beside is None or beside == plain else (rest, beside, plain)
        square, linear, last = map(tidy, found.equation)
        zeroed = add(times(square, Power(rest, 2)), times(linear, rest), last)
        alike = "With its first section taken off, the ladder is the same, and has the same resistance "
        blocks: list[Block] = [
            Heading("Self-similarity"),
            Paragraph(
                (alike, rest, ". So a section terminated by ", rest, " has the resistance ", rest, ":")
            ),
            DisplayedLine(seen, 1, ("The section terminated by ", rest, ", between ", *self._start(), ".")),
            DisplayedLine((zeroed, ZERO), 2, ("(1) cleared of its fraction, all on one side.",)),
            DisplayedLine((self.asked, rest, self.form), 3, self._reason(), result=True),
        ]
        if self.number is not None:
            blocks.append(DisplayedLine((self.asked, self.number), relation="≈"))
        return tuple(blocks)

    def _start(self) -> Text:
        return in_a_row([(point,) for point in self.found.ladder.start])

    def _reason(self) -> Text:
        if not self.found.equation[0]:
            return ("Nothing of the rest is seen.",)
        return ("The positive root of (2); the other is negative, for their product is negative.",)

    @property
    def lines(self) -> tuple[DisplayedLine, ...]:
        """The numbered lines of its self-similarity: the section terminated by the rest, the quadratic, the
        root."""
        return tuple(b for b in self._self_similarity() if isinstance(b, DisplayedLine) and b.number)

    @property
    def given(self) -> Text:
        """With which numbers finite ladders are worked."""
        whole = self.circuit.has_all_numbers
        given = in_a_row(
            [
                (Symbol(name), " = ", as_written(self.circuit, name) if whole else amount(value, "Ω", 3))
                for name, value in self.near.numbers.items()
            ]
        )
        told = "" if whole else "trial values "
        return (f"Laid out branch by branch and worked exactly, with {told}", *given, ":")

    @property
    def share(self) -> str:
        """What a further section leaves of the excess."""
        if not self.near.share:
            return "A further section changes nothing."
        return f"In the long run each further section leaves {float(self.near.share):.4f} of the excess."

    def _finite(self) -> tuple[Block, ...]:
        near, figures = self.near, self.circuit.figures + MORE_FIGURES
        rows = tuple(
            ((str(n),), (amount(seen, "Ω", figures),), (amount(seen - near.limit, "Ω", 3),))
            for n, seen in near.finite.items()
            if n in SHOWN
        )
        return (
            Heading("Finite ladders"),
            Paragraph(self.given),
            Table(
                "Ladders of a number of sections, their ends open",
                (("Sections",), ("Resistance",), ("Excess over the limit",)),
                rows,
            ),
            Paragraph((self.share,)),
        )

    def _limits(self) -> tuple[Block, ...]:
        if not self.limits:
            return ()
        return (Heading("Limiting cases"), Listing(tuple(map(self._said, self.limits))))

    def _said(self, case: LadderLimit) -> Text:
        way = " grows without limit" if case.to_infinity else " falls to zero"
        if case.resistance is None:
            return (Symbol(case.symbol), way, ": ", self.asked, " grows without limit.")
        return (Symbol(case.symbol), way, ": ", self.asked, " tends to ", surd_form(case.resistance), ".")


def ladder_sheet(circuit: Circuit, page: Page, tell: Tell = silent) -> LadderSheet:
    """Works a ladder without end. Raises FaultyMaterial where its resistance is not finite, BrokenPromise
    when a check of ours fails."""
    tell("closed form")
    found = endless_ladder(circuit)
    tell("finite ladders")
    near = approach(found)
    tell("limits")
    limits = ladder_limits(found)
    ledger = examine_ladder(found, near, limits)
    if ledger.failed:
        raise BrokenPromise("; ".join(e.as_text() for e in ledger.failed))
    return LadderSheet(circuit, found, near, limits, ledger, page)
