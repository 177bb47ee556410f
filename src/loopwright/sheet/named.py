"""The sheet of a circuit whose closed forms are too long to print: worked in numbers where all are given,
else by named quantities.

It says how many terms the forms written out would have (counted, never written). Lines that each name a
quantity give every current in symbols: where numbers are missing, and in the instructor's edition. The checks
are those that can be made without writing the forms out. What is left out is said.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import groupby

from ..algebra.ratios import Field
from ..checks.ledger.ledger import Ledger
from ..checks.ledger.point_entries import examine_named
from ..checks.limits.expectations import ExpectationVerdict
from ..checks.limits.expectations_at_points import judge_all_at_points
from ..checks.remarks.cautions import cautions
from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..circuit.page_wishes import SHORTEST
from ..circuit.targets import Asked, Target, targets
from ..derive.steps import Derivation
from ..errors import BrokenPromise, FaultyMaterial
from ..expressions.nodes import ONE, Equation, Expr, Quotient, Symbol, written_symbols
from ..expressions.said import counted, in_a_row
from ..expressions.tidy import tidy
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..findings import Finding, Severity
from ..laws.laws import laws
from ..methods.methods import BRANCH_CURRENTS, NAMES, derive_in_numbers, method_called
from ..solve.asked import value_of
from ..solve.closed_forms import independent_loops, predicted_terms
from ..solve.exact import Solution, solve
from ..solve.named_forms import NamedForms, named_forms, source_current_at_once
from ..solve.named_lines import Definition
from .answers import Answer, number_answers
from .document import Block, DisplayedLine, Document, Heading, Paragraph, Picture
from .editions import Edition, Page
from .printable import MOST_PRINTED, MOST_WORKED
from .ranking_blocks import ranking_blocks
from .sections import (
    answer_table,
    caution_blocks,
    check_blocks,
    expectation_blocks,
    ledger_blocks,
    opening_blocks,
)
from .sheets import Sheet, Tell, finished, not_confirmed, roles, silent
from .working_blocks import figure_blocks, working_blocks

MOST_AT_ONCE = 14  # symbols of a current written at once: a longer line has too many brackets to be read
MOST_PROVED = 20_000  # terms up to which it is proved
MOST_LOOPS_IN_NUMBERS = 16  # independent loops of a circuit worked in numbers; more take minutes
MOST_LINES = 80  # of a working in numbers: four printed pages
MOST_EQUATIONS = 24  # branches; more equations are counted, not listed
_IN_NUMBERS = NAMES[:3]  # branch currents, loop currents and node potentials: quick in circuits of any size
_NO_METHOD = Finding(
    "method/too-long",
    "Closed forms of this circuit are too long for a page, and by this method it is not worked in numbers.",
    f"With a number for every symbol it is worked by {listed(_IN_NUMBERS)}; else leave the method out.",
)


@dataclass(frozen=True)
class NamedSheet(Sheet):
    """A circuit whose closed forms are too long. `forms`: all currents by named quantities; `in_numbers`: its
    solution in numbers, where all are given; `working`: the steps to it, where they are few enough;
    `answers`: what is asked, in numbers; `verdicts`: what became of the expectations."""

    circuit: Circuit
    forms: NamedForms
    terms: int
    in_numbers: Solution | None
    working: Derivation | None
    answers: tuple[Answer, ...]
    verdicts: tuple[ExpectationVerdict, ...]
    ledger: Ledger
    page: Page

    @property
    def unmet(self) -> tuple[ExpectationVerdict, ...]:
        """The person's expectations that turned out wrong, or could not be decided."""
        return not_confirmed(self.verdicts)

    @property
    def notes(self) -> tuple[Finding, ...]:
        """That the closed forms are not written out, and what is left out with them."""
        left = self._left_out
        return (
            Finding(
                "sheet/closed-forms-too-long",
                f"{_too_much(self.circuit, self.terms)}: the sheet {self._instead}, and leaves out "
                f"{listed(left)}.",
                "Give equal elements the same symbol, or take a smaller circuit, for the full sheet.",
                severity=Severity.NOTE,
            ),
        )

    @property
    def _names(self) -> bool:
        """Whether the lines of named quantities are printed."""
        return self.working is None or self.page.edition is Edition.INSTRUCTOR

    @property
    def _instead(self) -> str:
        if self.working is None:
            return "gives named quantities instead"
        return "is worked in numbers" + (", gives named quantities besides" if self._names else "")

    @property
    def _left_out(self) -> list[str]:
        steps = "the derivation in steps" if self.working is None else "closed forms in symbols"
        left = [steps, "limits in words", "directions", "the table of slips"]
        if self.circuit.plots:
            left.append("the plots")
        if not is_drawn(self.circuit):
            left.append("the figure")
        if self.working is None and len(self.circuit.branches) > MOST_EQUATIONS:
            left.append("the list of equations")
        if self.in_numbers is None and any(map(_needs_numbers, targets(self.circuit))):
            left.append("what is seen with sources or elements taken out, for which numbers are needed")
        return left

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit = self.circuit
        blocks: tuple[Block, ...] = (
            *opening_blocks(circuit),
            *self._worked_blocks,
            *(_line_blocks(self.forms, self.terms) if self._names else ()),
            *_asked_blocks(circuit),
            *answer_table(circuit, self.answers),
            *(ranking_blocks(self.in_numbers) if self.in_numbers else ()),
            *(caution_blocks(cautions(self.in_numbers.circuit, self.in_numbers)) if self.in_numbers else ()),
            *expectation_blocks(self.verdicts),
            Heading("What is left out"),
            Paragraph((f"Because of its size this sheet leaves out {listed(self._left_out)}.",)),
            *(check_blocks if self.page.edition is Edition.SOLUTION else ledger_blocks)(self.ledger),
        )
        return finished(circuit, blocks, self.page, {**self.forms.roles, **roles(circuit)})

    @property
    def _worked_blocks(self) -> tuple[Block, ...]:
        """The figure, and the equations with the steps in numbers, or alone."""
        circuit, working = self.circuit, self.working
        if working is not None:
            drawn = figure_blocks(circuit, working, self.page, loops=True) if is_drawn(circuit) else ()
            return (*drawn, *working_blocks(circuit, None, working, working, self.page))
        if not is_drawn(circuit):
            return _equation_blocks(circuit)
        return (
            Picture(draw(circuit, resistors=self.page.resistors), describe(circuit)),
            *_equation_blocks(circuit),
        )


def named_sheet(circuit: Circuit, page: Page, tell: Tell = silent) -> NamedSheet:
    """Works a well-posed circuit whose closed forms are too long. Raises FaultyMaterial for a method of one's
    choice by which it cannot be worked in numbers, BrokenPromise when a check of ours fails."""
    tell("derivation")
    in_numbers = solve(circuit.in_numbers()) if circuit.has_all_numbers else None
    working = None if in_numbers is None else _working(circuit, in_numbers, page.method)
    if working is None and page.method not in ("", SHORTEST, BRANCH_CURRENTS):
        raise FaultyMaterial(_NO_METHOD)
    tell("named quantities")
    forms = named_forms(circuit)
    tell("ledger")
    ledger = examine_named(forms)
    if ledger.failed:
        raise BrokenPromise("; ".join(e.as_text() for e in ledger.failed))
    tell("numbers")
    verdicts = judge_all_at_points(circuit)
    found = number_answers(circuit, in_numbers) if in_numbers else ()
    terms = predicted_terms(circuit)
    return NamedSheet(circuit, forms, terms, in_numbers, working, found, verdicts, ledger, page)


def _working(circuit: Circuit, in_numbers: Solution, method: str) -> Derivation | None:
    """The steps in numbers, by the method that is wished; None where they are too many for a page."""
    many = len(circuit.branches) > MOST_WORKED or independent_loops(circuit) > MOST_LOOPS_IN_NUMBERS
    if many or method not in ("", SHORTEST, *_IN_NUMBERS):
        return None
    tried = _IN_NUMBERS if method == SHORTEST else (method or BRANCH_CURRENTS,)
    serving = [name for name in tried if not method_called(name).why_not(circuit)] or [BRANCH_CURRENTS]
    found = [derive_in_numbers(circuit, in_numbers, method=name) for name in serving]
    worked = min((one for one in found if one is not None), key=lambda one: one.written_lines)
    return worked if worked.written_lines <= MOST_LINES else None


def _too_much(circuit: Circuit, terms: int) -> str:
    """Why the circuit is not worked in full: its terms, or where these are few, its branches."""
    if terms <= MOST_PRINTED:
        return f"Steps would lead through {len(circuit.branches)} branches"
    return f"Written out, the denominator that the currents share has {terms:,} terms"


def _equation_blocks(circuit: Circuit) -> tuple[Block, ...]:
    known = laws(circuit)
    need = len(circuit.branches)
    parts = [
        counted(len(known.independent_junctions), "junction equation"),
        counted(len(known.loops), "loop equation"),
        *([counted(len(known.elements), "fixed current")] if known.elements else []),
    ]
    enough = (
        f"{counted(need, 'current is', 'currents are').capitalize()} unknown; {listed(parts)} are enough."
    )
    if need > MOST_EQUATIONS:
        return (Heading("Equations"), Paragraph((enough,)))
    shown = [
        DisplayedLine((law.written.left, law.written.right), n) for n, law in enumerate(known.chosen, start=1)
    ]
    return (Heading("Equations"), *shown, Paragraph((enough,)))


def _line_blocks(forms: NamedForms, terms: int) -> tuple[Block, ...]:
    """How long the forms would be, and the lines: conductances in a row, then what each name means."""
    lead = (
        f"{_too_much(forms.circuit, terms)}: too long for a page. "
        f"The lines below say the same exactly, in {forms.written_symbols:,} symbols. "
        "A name stands for what its line says, in that line and those below."
    )
    blocks: list[Block] = [Heading("Solution by named quantities"), Paragraph((lead,))]
    at_once = source_current_at_once(forms.circuit) if terms <= MOST_PROVED else None
    if at_once is not None and written_symbols(at_once) <= MOST_AT_ONCE:
        driven = next(b.name for b in forms.circuit.branches if forms.circuit.rise(b.name))
        why = ("Series and parallel put into one another, each resistance written once.",)
        blocks.append(DisplayedLine((Symbol(driven), at_once), reason=why))
    asked = {name for target in targets(forms.circuit) for name in target.names}
    for plain, group in groupby(forms.lines, key=_is_plain_conductance):
        if plain:
            row = [(Equation(Symbol(line.name), line.body),) for line in group]
            blocks.append(Paragraph(("Conductances: ", *in_a_row(row), ".")))
            continue
        for line in group:
            sides: tuple[Expr, ...] = (Symbol(line.name), line.body)
            blocks.append(DisplayedLine(sides, reason=line.why, result=line.name in asked))
    return tuple(blocks)


def _is_plain_conductance(line: Definition) -> bool:
    return line.role == "conductance" and isinstance(line.body, Quotient) and line.body.above == ONE


def _needs_numbers(target: Target) -> bool:
    """Whether it is asked of a changed circuit, which the currents above tell nothing of."""
    of_changed = target.kind is Asked.RESISTANCE or bool(target.without)
    return of_changed or any(map(_needs_numbers, target.parts))


def _asked_blocks(circuit: Circuit) -> tuple[Block, ...]:
    """What is asked besides currents, by the currents above."""
    wide = Field((*circuit.symbols, *circuit.currents))
    by_currents = Solution(
        circuit.worked_in(wide), {name: wide.symbol(name) for name in circuit.currents}, wide.one
    )
    lines = [
        DisplayedLine((target.name, tidy(value_of(by_currents, target))), result=True)
        for target in targets(circuit)
        if target.kind is not Asked.CURRENT and not _needs_numbers(target)
    ]
    return (Heading("Results"), *lines)
