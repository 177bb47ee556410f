"""The lecture on a circuit in time, act by act: what stands before, the switch, just after and long after
redrawn, the laws, the time constant, the function of time and its curve, the limits, the checks."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from ..circuit.in_time import moves
from ..expressions.nodes import Symbol
from ..expressions.said import OwnWords, Said
from ..figure.describe import describe
from ..figure.figure import draw, is_drawn
from ..sheet.document import Block, Table
from ..sheet.sections import caution_blocks
from ..sheet.storage_sheet import StorageSheet
from ..sheet.timed_words import question_blocks
from ..transients.time_cautions import time_cautions
from .check_stages import check_stages
from .document_stages import document_stages
from .opening_stages import put_down_stages
from .rate_stages import curve_stages, in_between_stages, loop_rule_stages, time_constant_stages
from .stage import BoardFigure, BoardLine, Cut, LectureAct
from .staging import Staging
from .time_limit_stages import time_limit_stages
from .time_stages import before_stages, is_moving, law_of_time_stages, moment_stages


def time_lecture(staging: Staging, sheet: StorageSheet, acts: Sequence[LectureAct]) -> None:
    """The acts in the order given; what belongs to one stage of the circuit is told together."""
    told: dict[LectureAct, Callable[[], None]] = {
        LectureAct.CIRCUIT: lambda: _circuit(staging, sheet),
        LectureAct.QUESTION: lambda: _question(staging, sheet),
        LectureAct.ARROWS: lambda: _arrows(staging, sheet),
        LectureAct.EQUATIONS: lambda: _moves(staging, sheet, working=LectureAct.WORKING in acts),
        LectureAct.RESULTS: lambda: _results(staging, sheet),
        LectureAct.NUMBERS: lambda: _numbers(staging, sheet),
        LectureAct.LIMITS: lambda: time_limit_stages(staging, sheet),
        LectureAct.CHECKS: lambda: check_stages(staging, sheet.ledger, _cautions(sheet)),
    }
    for act in acts:
        if act in told:
            told[act]()


def _circuit(staging: Staging, sheet: StorageSheet) -> None:
    staging.begin(LectureAct.CIRCUIT, "The circuit")
    summary = describe(sheet.drawn).splitlines()[0]
    said: Said = (OwnWords(sheet.circuit.story),) if sheet.circuit.story else (summary,)
    if not is_drawn(sheet.drawn):
        staging.write(said, words=(summary,))
        return

    def figure(name: str) -> BoardFigure:
        return BoardFigure(name, draw(sheet.drawn, resistors=sheet.page.resistors), describe(sheet.drawn))

    staging.draw(staging.made(figure, "bare"), said)


def _question(staging: Staging, sheet: StorageSheet) -> None:
    staging.begin(LectureAct.QUESTION, "The question")
    document_stages(staging, [*question_blocks(sheet.circuit), *sheet.given_blocks()])


def _arrows(staging: Staging, sheet: StorageSheet) -> None:
    """Every arrow, and which way the current of the first storage is expected to run."""
    put_down_stages(staging, sheet.circuit)
    if not sheet.circuit.storages or not moves(sheet.circuit):
        return
    name = sheet.circuit.branch_of(sheet.circuit.storages[0]).name
    question: Said = ("Which way do you expect ", Symbol(name), " to run just after the switch moves?")
    if not sheet.circuit.switching:
        question = ("Which way do you expect ", Symbol(name), " to run at the start?")
    silence = staging.pace.silence(LectureAct.ARROWS)
    staging.point(question, parts=[("arrow", name), ("wire", name)], pause=silence)


def _moves(staging: Staging, sheet: StorageSheet, *, working: bool) -> None:
    """Stage after stage of the circuit: what it begins with, its ends, its laws, and what runs in between."""
    if not moves(sheet.circuit):
        staging.begin(LectureAct.EQUATIONS, "When all is steady")
        document_stages(staging, sheet.ends_blocks()[1:])
        return
    before_stages(staging, sheet)
    numbered = 0
    for part in sheet.parts:
        moment_stages(staging, sheet, part)
        if is_moving(part) and not part.stage.begins:
            numbered = law_of_time_stages(staging, sheet, part)
        if working and is_moving(part):
            time_constant_stages(staging, sheet, part)
            loop_rule_stages(staging, part, numbered)
            in_between_stages(staging, sheet, part)
    if working:
        curve_stages(staging, sheet)


def _results(staging: Staging, sheet: StorageSheet) -> None:
    """The closed forms of what was asked at a moment."""
    rows = _rows(sheet, "In symbols")
    if not rows or (Cut.RESTATED in staging.left_out and sheet.circuit.has_all_numbers):
        return
    staging.begin(LectureAct.RESULTS, "Results")
    for asked, form in rows:
        words: Said = (*asked, ": ", *form, ".")
        staging.write(words, words=words)


def _numbers(staging: Staging, sheet: StorageSheet) -> None:
    """What was asked, in numbers; what stands there already is not said again."""
    rows = _rows(sheet, "In numbers")
    if rows:
        staging.begin(LectureAct.NUMBERS, "The numbers")
    for asked, value in rows:
        if any(_stands(line, asked, value) for line in staging.scene.lines):
            continue
        words: Said = (*asked, ": ", *value, ".")
        staging.write(words, words=words)


def _rows(sheet: StorageSheet, column: str) -> list[tuple[Said, Said]]:
    """What was asked with what stands in a column of the table of results, where anything does."""
    found: list[tuple[Said, Said]] = []
    for table in sheet.result_blocks():
        if isinstance(table, Table) and (column,) in table.head:
            at = table.head.index((column,))
            found += [(row[0], row[at]) for row in table.rows if row[at] != ("–",)]
    return found


def _stands(line: BoardLine, asked: Said, value: Said) -> bool:
    """Whether a line on the board ends with this value of what was asked."""
    left = line.sides[0] if line.sides else None
    named = isinstance(left, Symbol) and Symbol(left.name.rstrip("′")) == asked[0]
    return named and line.result and line.sides[-1:] == value[:1]


def _cautions(sheet: StorageSheet) -> Sequence[Block]:
    found = {(c.code, c.about): c for stage in sheet.stages for c in time_cautions(stage)}
    return caution_blocks(tuple(found.values()))
