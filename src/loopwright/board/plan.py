"""`board`: a lecture made from a problem, a plan of stages from the bare circuit to the checks.

Whatever is told was worked and checked for the sheet; nothing is worked here. A circuit whose sheet goes its
own way (in time, a ladder without end) has a lecture of its own; one too long for closed forms is told from
its sheet, block by block.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict, limit_variable
from ..checks.limits.limit_of_ratio import LimitEnd
from ..checks.limits.limits import limit_case
from ..checks.remarks.cautions import cautions
from ..circuit import claims
from ..circuit.board_wishes import ACTS, MINUTES, PAUSE, WORDS_A_MINUTE
from ..circuit.circuit import Circuit
from ..circuit.page_wishes import SHORTEST
from ..circuit.targets import Asked
from ..derive.steps import Derivation
from ..methods.compare import shortest
from ..methods.methods import BRANCH_CURRENTS, applicable, derive, method_called
from ..sheet.build import FullSheet, sheet
from ..sheet.document import Picture
from ..sheet.editions import Edition, Page
from ..sheet.ladder_sheet import ladder_sheet
from ..sheet.printable import is_printable
from ..sheet.sections import caution_blocks
from ..sheet.sheets import Tell, roles, silent
from ..sheet.storage_sheet import storage_sheet
from ..solve.endless_ladder import closed_by
from ..solve.exact import solve, well_posed
from . import notebook
from .check_stages import check_stages
from .document_stages import cuts_of, sheet_stages
from .ladder_stages import ladder_lecture
from .limit_stages import LimitTold, limit_stages
from .method_stages import agreed, figure_of, method_stages
from .opening_stages import arrow_stages, circuit_stage, question_stage
from .result_stages import number_stages, result_stages
from .stage import OF_CLOSED_FORMS, OF_LADDER, OF_TIME, BoardFigure, Cut, LectureAct, Plan
from .staging import Pace, Staging
from .time_lecture import time_lecture

SECTIONS = ("figure", "equations", "symbols", "results", "limits", "expectations", "checks")
MOST_LIMITS = 2  # that are told where time is short


def board(
    circuit: Circuit,
    *,
    methods: Sequence[str] = (),
    acts: Sequence[str] = (),
    minutes: float | None = None,
    resistors: str = "iec",
    tell: Tell = silent,
) -> Plan:
    """The lecture on a circuit. `methods`: by which it is worked, one after another, by default by branch
    currents. `acts`: which parts there are, in order, by default all. `minutes`: how long it may take, by
    default ten; what is missed least is left out until it fits, or nothing more can be; 0 leaves nothing out.
    What is not given here is as the problem file wishes it under [board]. `resistors`: `"iec"` or `"ieee"`.
    `tell` hears what is being worked at.

    Raises FaultyMaterial for an ill-posed circuit and for a method that is unknown or does not serve;
    BrokenPromise when a check of ours fails.
    """
    wishes = circuit.board
    pace = Pace(wishes.words_a_minute or WORDS_A_MINUTE, PAUSE, wishes.pauses)
    minutes = minutes if minutes is not None else MINUTES if wishes.minutes is None else wishes.minutes
    terms = circuit.page.terms or "british"
    wanted = tuple(map(LectureAct, acts or wishes.acts or ACTS))
    if circuit.storages:
        return _in_time(circuit, pace, minutes, wanted, resistors, tell)
    if circuit.ladder is not None:
        return _of_ladder(circuit, pace, minutes, wanted, resistors, tell)
    if not is_printable(well_posed(circuit)):
        return _of_sheet(circuit, pace, minutes, resistors, tell)
    tell("closed forms")
    solution = solve(circuit)
    chosen = list(methods or wishes.methods or [circuit.page.method or BRANCH_CURRENTS])
    chosen = [shortest(circuit, solution) if name == SHORTEST else name for name in chosen]
    for name in chosen:
        applicable(method_called(name), circuit)
    page = Page(Edition.SOLUTION, SECTIONS, "a4", terms, resistors, chosen[0])
    worked = FullSheet(circuit, solution, page)
    tell("derivation")
    derivations = [worked.derivation, *(derive(circuit, solution, method=name) for name in chosen[1:])]
    tell("limits and checks")
    drawn: dict[str, BoardFigure] = {}

    def told(left_out: Sequence[Cut]) -> Plan:
        staging = Staging(roles(circuit), terms, circuit.own_words, pace, left_out, drawn)
        staging.say = wishes.say
        _Lecture(staging, worked, derivations, resistors).tell(wanted)
        title, stages = circuit.title or "Circuit", tuple(staging.stages)
        return Plan(title, stages, staging.figures, staging.roles, terms, tuple(chosen), tuple(left_out))

    return _fitted(told, minutes, OF_CLOSED_FORMS)


def _fitted(told: Callable[[Sequence[Cut]], Plan], minutes: float, cuts: Sequence[Cut]) -> Plan:
    """The lecture with as little left out as lets it fit, in the order of the cuts, and of these nothing that
    has room after all; with all left out that can be where it fits in no way."""
    plan, left_out = told(()), list[Cut]()
    for cut in cuts if minutes else ():
        if plan.seconds <= 60 * minutes:
            break
        shorter = told((*left_out, cut))
        if shorter.seconds < plan.seconds:
            plan = shorter
            left_out.append(cut)
    for cut in left_out[-2::-1] if plan.seconds <= 60 * minutes else ():
        longer = told([kept for kept in left_out if kept is not cut])
        if longer.seconds <= 60 * minutes:
            plan = longer
            left_out.remove(cut)
    return plan


class _Lecture:
    """A lecture on a circuit worked in closed forms, act by act."""

    def __init__(
        self, staging: Staging, worked: FullSheet, derivations: Sequence[Derivation], resistors: str
    ) -> None:
        self.staging, self.worked, self.derivations = staging, worked, derivations
        self.circuit, self.resistors = worked.circuit, resistors

    def tell(self, acts: Sequence[LectureAct]) -> None:
        """The acts in the order given; equations and working are told together, method by method."""
        staging, circuit, worked = self.staging, self.circuit, self.worked
        told: dict[LectureAct, Callable[[], None]] = {
            LectureAct.CIRCUIT: lambda: circuit_stage(
                staging, circuit, partial(figure_of, circuit, self.derivations[0], self.resistors)
            ),
            LectureAct.QUESTION: lambda: question_stage(staging, circuit),
            LectureAct.ARROWS: lambda: arrow_stages(staging, circuit, worked.directions),
            LectureAct.EQUATIONS: lambda: self._methods(working=LectureAct.WORKING in acts),
            LectureAct.RESULTS: lambda: result_stages(
                staging, worked.result_blocks, numbers=LectureAct.NUMBERS in acts and circuit.has_all_numbers
            ),
            LectureAct.NUMBERS: self._numbers,
            LectureAct.LIMITS: lambda: limit_stages(staging, *self._limits()),
            LectureAct.CHECKS: lambda: check_stages(
                staging, worked.ledger, caution_blocks(cautions(circuit, worked.solution))
            ),
        }
        for act in acts:
            if act in told:
                told[act]()

    def _methods(self, *, working: bool) -> None:
        first = self.staging.scene.figure
        for k, derivation in enumerate(self.derivations):
            if k:
                self.staging.begin(LectureAct.EQUATIONS, derivation.method.capitalize())
                self.staging.wipe((f"Now the same by {derivation.method}.",))
            method_stages(self.staging, self.circuit, derivation, self.resistors, working=working)
            if k and working:
                told = agreed([self.derivations[0].method, derivation.method])
                self.staging.write(told, words=told)
        if self.staging.scene.figure.name != first.name and first.name:
            figure = self.staging.figures[first.name]
            self.staging.draw(figure, ("The circuit again.",), arrows=self.circuit.currents)

    def _numbers(self) -> None:
        if self.circuit.has_all_numbers:
            worked = self.worked
            number_stages(self.staging, self.circuit, worked.solution, worked.derivation, worked.answers)

    def _limits(self) -> tuple[list[LimitTold], list[ExpectationVerdict]]:
        """The limits that teach something and those that were expected, each once; the expectations left."""
        circuit, worked = self.circuit, self.worked
        asked = [a.target.names[0] for a in worked.answers if a.target.kind is Asked.CURRENT]
        told = [LimitTold(case, tuple(asked[:1])) for case in worked.cases]
        loose: list[ExpectationVerdict] = []
        for verdict in worked.verdicts:
            case = self._expected_case(verdict)
            if case is None:
                loose.append(verdict)
                continue
            named = [n for n in verdict.claim.names() if n in circuit.currents]
            told = [t for t in told if (t.case.moved, t.case.to) != (case.moved, case.to)]
            told.append(LimitTold(case, tuple(named[:2]), verdict))
        expected = [t for t in told if t.verdict is not None]
        told = [*expected, *(t for t in told if t.verdict is None)]
        return (told[:MOST_LIMITS] if Cut.LIMITS in self.staging.left_out else told), loose

    def _expected_case(self, verdict: ExpectationVerdict) -> LimitCase | None:
        variable = limit_variable(self.circuit, verdict.claim)
        if variable is None:
            return None
        to: LimitEnd = "0" if verdict.claim.to is claims.End.ZERO else "∞"
        case = limit_case(self.circuit, variable, to, self.worked.solution)
        return case if case.agree else None


def _in_time(
    circuit: Circuit, pace: Pace, minutes: float, acts: Sequence[LectureAct], resistors: str, tell: Tell
) -> Plan:
    """The lecture on a circuit with storages."""
    worked = storage_sheet(circuit, _page_of(circuit, resistors), tell)
    return _of_its_own(
        circuit, roles(circuit), "Circuit", pace, minutes, OF_TIME, lambda s: time_lecture(s, worked, acts)
    )


def _of_ladder(
    circuit: Circuit, pace: Pace, minutes: float, acts: Sequence[LectureAct], resistors: str, tell: Tell
) -> Plan:
    """The lecture on a ladder without end."""
    worked = ladder_sheet(circuit, _page_of(circuit, resistors), tell)
    known = roles(closed_by(circuit, worked.found.rest))
    title = "Ladder without end"
    return _of_its_own(
        circuit, known, title, pace, minutes, OF_LADDER, lambda s: ladder_lecture(s, worked, acts)
    )


def _page_of(circuit: Circuit, resistors: str) -> Page:
    return Page(Edition.SOLUTION, SECTIONS, "a4", circuit.page.terms or "british", resistors)


def _of_its_own(
    circuit: Circuit,
    known: dict[str, str],
    untitled: str,
    pace: Pace,
    minutes: float,
    cuts: Sequence[Cut],
    lecture: Callable[[Staging], None],
) -> Plan:
    """A lecture that is no table of acts of closed forms. `known`: what the symbols stand for; `untitled`:
    the title of a circuit without one; `lecture`: tells it."""
    terms = circuit.page.terms or "british"
    drawn: dict[str, BoardFigure] = {}

    def told(left_out: Sequence[Cut]) -> Plan:
        staging = Staging(known, terms, circuit.own_words, pace, left_out, drawn)
        staging.say = circuit.board.say
        lecture(staging)
        title, stages = circuit.title or untitled, tuple(staging.stages)
        return Plan(title, stages, staging.figures, known, terms, left_out=tuple(left_out))

    return _fitted(told, minutes, cuts)


def _of_sheet(circuit: Circuit, pace: Pace, minutes: float, resistors: str, tell: Tell) -> Plan:
    """The lecture on a circuit whose sheet goes its own way."""
    document = sheet(circuit, edition="solution", resistors=resistors, tell=tell).document
    drawn = [block for block in document.blocks if isinstance(block, Picture)][:1]  # before anything is said
    blocks = [*drawn, *(block for block in document.blocks if block not in drawn)]

    def told(left_out: Sequence[Cut]) -> Plan:
        staging = Staging(document.roles, circuit.page.terms or "british", circuit.own_words, pace, left_out)
        staging.say = circuit.board.say
        staging.begin(LectureAct.CIRCUIT, "The circuit")
        sheet_stages(staging, blocks)
        return Plan(
            document.title,
            tuple(staging.stages),
            staging.figures,
            document.roles,
            staging.terms,
            left_out=tuple(cut for cut in left_out if cut in cuts_of(blocks)),
        )

    return _fitted(told, minutes, OF_CLOSED_FORMS)


__all__ = ["board", "notebook", "Plan"]
