"""`sheet`: a circuit worked from end to end, verified, and put together as one document.

Where the closed forms are too long to print, the sheet says how long and gives named quantities instead
(`named`). Nothing is published that failed a check: a derivation step, a limit on which the two routes
differ, or a ledger entry that failed stops the sheet with BrokenPromise.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from ..checks.ledger.examine import examine
from ..checks.ledger.ledger import Ledger
from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict, Judgement, judge_all
from ..checks.limits.joint import JointCase, joint_cases
from ..checks.limits.limits import limit_cases
from ..checks.remarks.cautions import cautions
from ..checks.remarks.directions import Direction, directions
from ..circuit.circuit import Circuit
from ..derive.search import derive, derive_in_numbers
from ..derive.steps import Derivation, Move
from ..errors import BrokenPromise
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn, undrawn
from ..graph.lines import Loop
from ..slips.coverage import Coverage, coverage
from ..solve.exact import Solution, solve, well_posed
from .answers import Answer, answers
from .document import Block, Document, Paragraph, Picture
from .ladder_sheet import LadderSheet, ladder_sheet
from .named import NamedSheet, named_sheet
from .printable import is_printable
from .sections import (
    answer_blocks,
    caution_blocks,
    derivation_blocks,
    direction_blocks,
    expectation_blocks,
    ledger_blocks,
    limit_blocks,
    number_blocks,
    opening_blocks,
    undrawn_blocks,
)
from .sheets import Sheet, Tell, roles, silent


@dataclass(frozen=True)
class FullSheet(Sheet):
    """A circuit worked in closed forms: every result as a value, and the document written from them."""

    circuit: Circuit
    solution: Solution
    derivation: Derivation
    in_numbers: Derivation | None
    answers: tuple[Answer, ...]
    cases: tuple[LimitCase, ...]
    joint: tuple[JointCase, ...]
    verdicts: tuple[ExpectationVerdict, ...]
    directions: tuple[Direction, ...]
    ledger: Ledger
    coverage: Coverage
    resistors: str = "iec"

    @property
    def refuted(self) -> tuple[ExpectationVerdict, ...]:
        """The person's expectations that turned out wrong."""
        return tuple(v for v in self.verdicts if v.judgement is Judgement.REFUTED)

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit, solution = self.circuit, self.solution
        travelled = [s for s in self.derivation.steps if s.law is not None and s.law.loop]
        names = [f"({s.number})" for s in travelled]
        picture: tuple[Block, ...] = (
            Paragraph(("The figure is left out: too many branches, or too many that cross.",)),
        )
        if is_drawn(circuit):
            drawing = draw(
                circuit,
                resistors=self.resistors,
                loops=[s.law.loop for s in travelled if s.law is not None],
                loop_names=names,
            )
            picture = (Picture(drawing, describe(circuit)), *undrawn_blocks(undrawn(drawing, names)))
        blocks: tuple[Block, ...] = (
            *opening_blocks(circuit),
            *picture,
            *derivation_blocks(circuit, self.derivation),
            *number_blocks(circuit, self.in_numbers),
            *answer_blocks(circuit, self.answers),
            *direction_blocks(self.directions),
            *caution_blocks(cautions(circuit, solution)),
            *limit_blocks(self.cases, self.joint),
            *expectation_blocks(self.verdicts),
            *ledger_blocks(self.ledger, self.coverage, shown=own_loops(self.derivation) is not None),
        )
        return Document(circuit.title or "Circuit", blocks, roles(circuit))


def sheet(
    circuit: Circuit, *, resistors: str = "iec", tell: Tell = silent
) -> FullSheet | NamedSheet | LadderSheet:
    """Works a circuit: solution, derivation, limits, ledger, document; of an endless ladder its resistance.

    `resistors`: `"iec"` draws rectangles (IEC 60617), `"ieee"` zigzags (IEEE 315). `tell` hears what is
    being worked at. Raises FaultyMaterial for an ill-posed circuit, BrokenPromise when a check of ours
    fails.
    """
    if circuit.ladder is not None:
        return ladder_sheet(circuit, resistors, tell)
    if not is_printable(well_posed(circuit)):
        return named_sheet(circuit, resistors, tell)
    tell("closed forms")
    solution = solve(circuit)
    tell("derivation")
    derivation = derive(circuit, solution)
    in_numbers = derive_in_numbers(circuit, solution, like=derivation)
    tell("limits")
    cases = limit_cases(circuit, solution)
    joint = joint_cases(circuit, solution)
    tell("ledger")
    ledger = examine(circuit, solution, cases)
    broken = [f"{e.title}: {e.result}" for e in ledger.failed]
    broken += ["the two routes to a limit differ" for case in cases if not case.agree]
    broken += ["the two routes to a joint limit differ" for case in joint if not case.agree]
    if broken:
        raise BrokenPromise("; ".join(broken))
    return FullSheet(
        circuit,
        solution,
        derivation,
        in_numbers,
        answers(circuit, solution, derivation),
        cases,
        joint,
        judge_all(circuit, solution),
        directions(circuit, solution),
        ledger,
        coverage(circuit, own_loops(derivation)),
        resistors,
    )


def own_loops(derivation: Derivation) -> list[Loop] | None:
    """The loops of the derivation's equation set, so that slips are counted in the equations shown;
    None where symmetry takes the place of equations and the usual set must serve."""
    if any(step.move is Move.SYMMETRY for step in derivation.steps):
        return None
    return [law.loop for law in derivation.laws if law.loop]
