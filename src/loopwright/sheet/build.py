"""`sheet`: a circuit worked from end to end, verified, and put together as one document.

Where the closed forms are too long to print, the sheet says how long and gives named quantities instead
(`named`). Nothing is published that failed a check: a derivation step, a limit on which the two routes
differ, or a ledger entry that failed stops the sheet with BrokenPromise.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING

from ..checks.ledger.examine import examine, prove
from ..checks.ledger.ledger import Ledger
from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict, judge_all
from ..checks.limits.limit_variables import SharedSymbol
from ..checks.limits.limits import limit_case, limit_cases, symbol_case
from ..checks.remarks.cautions import cautions
from ..circuit.circuit import Circuit
from ..circuit.page_wishes import SHORTEST
from ..derive.asked import asked_steps
from ..derive.steps import AskedStep, Derivation, Move
from ..derive.verify_asked import verify_asked
from ..errors import BrokenPromise, FaultyMaterial
from ..findings import Finding, Severity
from ..graph.lines import Loop
from ..later import later
from ..laws.laws import laws
from ..methods.methods import BRANCH_CURRENTS, ONE_WAY, derive, derive_in_numbers
from ..solve.exact import Solution, solve, well_posed
from .answers import Answer, answers
from .backwards import BackwardWork, backward_blocks, backward_work, part_number_blocks
from .document import Block, Document
from .editions import Edition, Page, page_of
from .printable import is_printable
from .ranking_blocks import ranking_blocks
from .sections import (
    agreement_blocks,
    answer_blocks,
    caution_blocks,
    check_blocks,
    direction_blocks,
    expectation_blocks,
    is_by_reduction,
    ledger_blocks,
    limit_blocks,
    opening_blocks,
    slip_blocks,
)
from .sheets import Sheet, Tell, finished, not_confirmed, silent
from .teaching import taught_limits
from .working_blocks import figure_blocks, working_blocks

if TYPE_CHECKING:
    from ..checks.limits.joint import JointCase, joint_cases
    from ..checks.remarks.directions import Direction, directions, told_together
    from ..methods.compare import shortest
    from ..plots.plot import Plot
    from ..slips.coverage import Coverage, coverage
    from .ladder_sheet import LadderSheet, ladder_sheet
    from .named import NamedSheet, named_sheet
    from .plot_blocks import plot_blocks, plot_entries, worked_plots
    from .problem_sheet import ProblemSheet, given_blocks
    from .storage_sheet import StorageSheet, storage_sheet
else:  # no part of a solution
    joint_cases = later("loopwright.checks.limits.joint", "joint_cases")
    directions = later("loopwright.checks.remarks.directions", "directions")
    told_together = later("loopwright.checks.remarks.directions", "told_together")
    shortest = later("loopwright.methods.compare", "shortest")
    coverage = later("loopwright.slips.coverage", "coverage")
    ladder_sheet = later("loopwright.sheet.ladder_sheet", "ladder_sheet")
    named_sheet = later("loopwright.sheet.named", "named_sheet")
    plot_blocks = later("loopwright.sheet.plot_blocks", "plot_blocks")
    plot_entries = later("loopwright.sheet.plot_blocks", "plot_entries")
    worked_plots = later("loopwright.sheet.plot_blocks", "worked_plots")
    ProblemSheet = later("loopwright.sheet.problem_sheet", "ProblemSheet")
    given_blocks = later("loopwright.sheet.problem_sheet", "given_blocks")
    storage_sheet = later("loopwright.sheet.storage_sheet", "storage_sheet")

_TOO_LONG = Finding(
    "given/too-long",
    "The closed forms of this circuit are too long to be turned round for what is asked.",
    "Give equal elements the same symbol, or take a smaller circuit.",
)
_OWN_LOOPS_NOT_ENOUGH = Finding(
    "laws/loops-not-enough",
    "The loops named in the file are not enough for the currents, so the usual ones are taken.",
    "Name more loops, or take out the key loops. `loopwright desk` says which are missing.",
    severity=Severity.WARNING,
)


@dataclass(frozen=True)
class FullSheet(Sheet):
    """A circuit worked in closed forms: every result as a value, and the document written from them.

    Each result is worked when it is first asked for and kept; `sheet` asks for all that the page prints.
    What fails a check raises BrokenPromise.
    """

    circuit: Circuit
    solution: Solution
    page: Page

    @cached_property
    def method(self) -> str:
        """By which method the circuit is worked."""
        if self.page.method == SHORTEST:
            return shortest(self.circuit, self.solution)
        return self.page.method or BRANCH_CURRENTS

    @cached_property
    def derivation(self) -> Derivation:
        """The derivation in symbols."""
        return derive(self.circuit, self.solution, method=self.method)

    @cached_property
    def in_numbers(self) -> Derivation | None:
        """The derivation in numbers; None where a number is missing. It counts its lines on from those of the
        derivation in symbols where that is printed as well."""
        like = self.derivation if self._prints_symbols else None
        return derive_in_numbers(self.circuit, self.solution, like=like, method=self.method)

    @property
    def _prints_symbols(self) -> bool:
        """Whether the derivation in symbols is printed; the working is the one in numbers where it can be."""
        return self.page.has("symbols") or (self.page.has("working") and not self.circuit.has_all_numbers)

    @property
    def _prints_forms(self) -> bool:
        """Whether closed forms stand among the results: not where all that is worked is worked in numbers."""
        return self._prints_symbols or not self._prints_numbers

    @property
    def _prints_numbers(self) -> bool:
        return self.circuit.has_all_numbers and (self.page.has("numbers") or self.page.has("working"))

    @property
    def _printed(self) -> Derivation:
        """The derivation whose equations are printed."""
        in_numbers = self.in_numbers if self._prints_numbers and not self._prints_symbols else None
        return in_numbers or self.derivation

    @cached_property
    def answers(self) -> tuple[Answer, ...]:
        """What is asked, answered."""
        shown = self._printed
        return answers(self.circuit, self.solution, replace(shown, names={}) if shown.unit_words else shown)

    @cached_property
    def asked(self) -> tuple[AskedStep, ...]:
        """How everything asked besides the currents is found, line by line, each judged; numbered on from the
        derivation that is printed."""
        shown = self._printed if not self._printed.unit_words else replace(self._printed, names={})
        last = max(d.steps[-1].number for d in (shown, self.in_numbers) if d is not None and d.steps)
        found = {a.target: a.form for a in self.answers}
        steps = asked_steps(self.circuit, self.solution, shown, found, last + 1)
        verify_asked(steps, self.circuit, shown, self.solution.currents)
        return steps

    @cached_property
    def cases(self) -> tuple[LimitCase, ...]:
        """The limits that are printed: all of them, or those that teach something."""
        circuit, solution = self.circuit, self.solution
        if self.page.all_limits:
            return _agreeing(limit_cases(circuit, solution))
        asked = [(a.target.as_text(), a.value) for a in self.answers if a.value.field == circuit.field]
        laws_used = self._printed.laws if not is_by_reduction(self._printed) else laws(circuit).loops
        loops = [law.loop for law in laws_used if law.loop] or [law.loop for law in laws(circuit).loops]
        found: list[LimitCase] = []
        for taught in taught_limits(circuit, asked, loops):
            if isinstance(taught.variable, SharedSymbol):
                case = symbol_case(circuit, solution, taught.variable, taught.to)
                found += [] if case is None else [case]
            else:
                found.append(limit_case(circuit, taught.variable, taught.to, solution))
        return _agreeing(tuple(found))

    @cached_property
    def joint(self) -> tuple[JointCase, ...]:
        """The limits of two resistances together; of no edition but the instructor's."""
        found = joint_cases(self.circuit, self.solution) if self.page.all_limits else ()
        if any(not case.agree for case in found):
            raise BrokenPromise("the two routes to a joint limit differ")
        return found

    @cached_property
    def backwards(self) -> BackwardWork | None:
        """What is asked backwards, worked; None where nothing is."""
        return backward_work(self.solution) if self.circuit.sought else None

    @cached_property
    def verdicts(self) -> tuple[ExpectationVerdict, ...]:
        """What the person expects, judged."""
        return judge_all(self.circuit, self.solution)

    @cached_property
    def directions(self) -> tuple[Direction, ...]:
        """Which way every current runs."""
        return directions(self.circuit, self.solution)

    @cached_property
    def plots(self) -> tuple[Plot, ...]:
        """What is plotted; nothing where the page has no room for it."""
        return worked_plots(self.circuit) if self.circuit.plots and self.page.has("plots") else ()

    @cached_property
    def ledger(self) -> Ledger:
        """The independent checks: all there are, or those that prove what is printed."""
        if self.page.has("ledger"):
            found = examine(self.circuit, self.solution, self.cases if self.page.all_limits else None)
        else:
            found = prove(self.circuit, self.solution, self.cases if self.page.has("limits") else ())
        if self.backwards is not None:
            found = Ledger((*found.entries, *self.backwards.entries))
        if self.plots:
            found = Ledger((*found.entries, *plot_entries(self.solution, self.plots)))
        if found.failed:
            raise BrokenPromise("; ".join(e.as_text() for e in found.failed))
        return found

    @cached_property
    def coverage(self) -> Coverage:
        """Which check would catch which slip."""
        return coverage(self.circuit, own_loops(self.derivation))

    @property
    def notes(self) -> tuple[Finding, ...]:
        """That the loops which the person wants are not enough, where that is so."""
        known = laws(self.circuit)
        lacking = bool(self.circuit.loops) and not known.own_loops
        return (replace(_OWN_LOOPS_NOT_ENOUGH, place=self.circuit.place("loops")),) if lacking else ()

    @property
    def unmet(self) -> tuple[ExpectationVerdict, ...]:
        """The person's expectations that turned out wrong, or could not be decided."""
        return not_confirmed(self.verdicts)

    @cached_property
    def document(self) -> Document:
        """The sheet as the one document that all outputs are written from."""
        circuit = self.circuit
        sections: dict[str, Callable[[], tuple[Block, ...]]] = {
            "figure": self._figure,
            "given": lambda: given_blocks(circuit),
            "equations": self._working,
            "results": lambda: self.result_blocks,
            "directions": lambda: direction_blocks(told_together(self.directions)),
            "cautions": lambda: caution_blocks(cautions(circuit, self.solution)),
            "limits": self._limits,
            "expectations": lambda: expectation_blocks(self.verdicts),
            "plots": lambda: plot_blocks(self.solution, self.plots) if self.plots else (),
            "checks": lambda: check_blocks(self.ledger),
            "ledger": lambda: ledger_blocks(self.ledger),
            "slips": lambda: slip_blocks(self.coverage, shown=own_loops(self.derivation) is not None),
        }
        printed = {*self.page.sections, "cautions"}  # which no choice leaves out
        if printed & {"working", "symbols", "numbers"}:
            printed.add("equations")  # that the steps start from
        blocks = [block for name, made in sections.items() if name in printed for block in made()]
        return finished(circuit, (*opening_blocks(circuit), *blocks), self.page)

    def _figure(self) -> tuple[Block, ...]:
        loops = self.page.has("equations") or self._prints_symbols or self._prints_numbers
        return figure_blocks(self.circuit, self._printed, self.page, loops=loops)

    def _working(self) -> tuple[Block, ...]:
        symbols = self.derivation if self._prints_symbols else None
        numbers = self.in_numbers if self._prints_numbers else None
        return working_blocks(self.circuit, symbols, numbers, self._printed, self.page)

    @cached_property
    def result_blocks(self) -> tuple[Block, ...]:
        """What is asked, forwards and backwards, and numbers as far as they go."""
        found = answer_blocks(self.circuit, self.answers, self.asked, forms=self._prints_forms)
        found = (*found, *ranking_blocks(self.solution))
        if self.backwards is None:
            return (*found, *part_number_blocks(self.solution))
        numbers = [step.number for step in self._printed.steps] + [step.number for step in self.asked]
        if self._prints_numbers and self.in_numbers:
            numbers += [step.number for step in self.in_numbers.steps]
        start = max(numbers, default=0) + 1
        return (*found, *part_number_blocks(self.solution), *backward_blocks(self.backwards, start))

    def _limits(self) -> tuple[Block, ...]:
        shown = limit_blocks(self.cases, self.joint)
        return (*shown, *agreement_blocks(self.cases)) if self.page.all_limits else shown


def _agreeing(cases: tuple[LimitCase, ...]) -> tuple[LimitCase, ...]:
    """The cases, all of which must agree by both routes."""
    if any(not case.agree for case in cases):
        raise BrokenPromise("the two routes to a limit differ")
    return cases


def sheet(
    circuit: Circuit,
    *,
    edition: str = "",
    paper: str = "",
    terms: str = "",
    resistors: str = "iec",
    method: str = "",
    tell: Tell = silent,
) -> FullSheet | NamedSheet | LadderSheet | StorageSheet | ProblemSheet:
    """A circuit worked and verified, as a document; of an endless ladder its resistance.

    `edition`: `"problem"` (gives nothing away), `"solution"` or `"instructor"` (all of it); `paper`: `"a4"`
    or `"letter"`; `terms`: `"british"` or `"american"`. What is left empty is as the problem file wishes it,
    else a solution on A4 in British terms. `resistors`: `"iec"` draws rectangles (IEC 60617), `"ieee"`
    zigzags (IEEE 315). `method`: by which method it is worked, `"shortest"` for the one with least to write.
    `tell` hears what is being worked at. Raises FaultyMaterial for an ill-posed circuit,
    BrokenPromise when a check of ours fails, ValueError for a word that is not known.
    """
    page = page_of(circuit, edition, paper, terms, resistors, method)
    own_way = circuit.ladder is not None or bool(circuit.storages)
    if page.edition is Edition.PROBLEM:
        return ProblemSheet(circuit if own_way else well_posed(circuit), page)
    unmet = page.method not in ("", SHORTEST, BRANCH_CURRENTS)
    if unmet and own_way:
        raise FaultyMaterial(ONE_WAY)
    if circuit.ladder is not None:
        return ladder_sheet(circuit, page, tell)
    if circuit.storages:
        return storage_sheet(circuit, page, tell)
    if not is_printable(well_posed(circuit)):
        if circuit.sought:
            raise FaultyMaterial(replace(_TOO_LONG, place=circuit.place("find")))
        return named_sheet(circuit, page, tell)
    tell("closed forms")
    worked = FullSheet(circuit, solve(circuit), page)
    tell("derivation")
    _ = worked.answers
    tell("limits and ledger")
    _ = worked.ledger, worked.verdicts
    tell("document")
    _ = worked.document
    return worked


def own_loops(derivation: Derivation) -> list[Loop] | None:
    """The loops of the derivation's equation set, so that slips are counted in the equations shown;
    None where symmetry, parts made one or changed circuits take the place of equations and the usual set must
    serve."""
    if (
        derivation.changed
        or is_by_reduction(derivation)
        or any(step.move is Move.SYMMETRY for step in derivation.steps)
    ):
        return None
    return [law.loop for law in derivation.laws if law.loop] or None
