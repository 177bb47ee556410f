"""The ends of time as limits: a prediction, the circuit redrawn for that moment, the formula, and that both
agree; then the storage to zero and to infinity, and what was expected."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ..algebra.ratios import Ratio
from ..checks.limits.expectations import INFINITE, ExpectationVerdict, Judgement, claimed
from ..circuit.claims import End
from ..circuit.in_time import UNIT_OF_TIMED
from ..circuit.timed_claims import TIME
from ..expressions.nodes import ZERO, Equation, Exponential, Expr, Sum, Symbol, parts_of
from ..expressions.said import Said, as_text, in_a_row
from ..expressions.tidy import tidy
from ..sheet.stage_blocks import StageBlocks
from ..sheet.storage_sheet import StorageSheet
from ..solve.exact import Solution
from ..transients.redrawn import just_after, long_after
from ..transients.timed_expectations import value_redrawn
from ..transients.timed_limits import storage_limits
from ..transients.timed_values import TimedValue
from .limit_stages import LONGEST
from .parts import Path, part_at
from .stage import BoardLine, BoardMark, Cut, LectureAct, MarkKind
from .staging import Staging
from .time_stages import called_after, is_moving, redrawn_stage


def time_limit_stages(staging: Staging, sheet: StorageSheet) -> None:
    """The limits of every stage and the expectations, each told once."""
    brief = Cut.LIMITS in staging.left_out
    staging.begin(LectureAct.LIMITS, "Limits")
    met: list[ExpectationVerdict] = []
    for part in sheet.parts:
        if is_moving(part):
            staging.begin(LectureAct.LIMITS, called_after(sheet, part, "Limits"))
            met += _ends(staging, sheet, part)
    for part in () if brief else sheet.parts:
        _storage(staging, sheet, part)
    for verdict in sheet.verdicts:
        if verdict not in met:
            _expected(staging, verdict)


def _storage(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> None:
    """The one storage of a circuit to zero and to infinity."""
    told = f" after move {sheet.parts.index(part) + 1}" if len(sheet.parts) > 1 else ""
    for limit in storage_limits(part.stage, told):
        head = limit.sentence[:2]
        silence = staging.pace.silence(LectureAct.LIMITS)
        lit = [("element", name) for name in sheet.circuit.storages]
        staging.write((*head, ": what do you expect?"), words=(*head, ": ?"), parts=lit, pause=silence)
        staging.write(limit.sentence, words=limit.sentence)


def _expected(staging: Staging, verdict: ExpectationVerdict) -> None:
    """What was expected, as a prediction, and what became of it."""
    if Cut.LIMITS not in staging.left_out:
        _predicted(staging, verdict)
    staging.write(verdict.sentence, words=verdict.sentence)


def _predicted(staging: Staging, verdict: ExpectationVerdict) -> None:
    confirmed = verdict.judgement is Judgement.CONFIRMED
    expected = verdict.sentence[1:-1] if confirmed else claimed(verdict.claim)  # without its first word
    silence = staging.pace.silence(LectureAct.LIMITS)
    said: Said = ("A prediction: ", *expected, ". Do you agree?")
    staging.write(said, words=("Prediction: ", *expected), pause=silence)


def _ends(staging: Staging, sheet: StorageSheet, part: StageBlocks) -> list[ExpectationVerdict]:
    """The time to zero, counted from the beginning of the stage, and to infinity; the expectations that were
    met on the way."""
    stage, storages = part.stage, sheet.circuit.storages
    asked = [v for v in sheet.values if v.course and not v.course.stays and sheet.stage_of(v) is stage]
    when = "Long after" if part.is_last else "Long after, if nothing else moved"
    start = [(v, v.course.just_after) for v in asked if v.course and not v.course.burst]
    end = [(v, limit) for v in asked if v.course and (limit := v.course.long_after) is not None]
    brief, met = Cut.LIMITS in staging.left_out, list[ExpectationVerdict]()
    for to, values, solved, redrawn, moment, stands in (
        (End.ZERO, start, stage.start, just_after(part.circuit, stage.held), "Just after", part.stands),
        (End.INFINITY, end, stage.end, long_after(part.circuit), when, part.ends_as),
    ):
        foreseen = _foreseen(sheet, values, to)
        if brief:
            values = [v for v in values if foreseen and _speaks_of(foreseen, *v, to)] or values[:1]
        if solved is None or not values or (brief and not foreseen and (to is End.ZERO or not part.is_last)):
            continue
        if foreseen is None:
            _question(staging, part, ZERO if to is End.ZERO else INFINITE, values)
        else:
            _predicted(staging, foreseen)
            met.append(foreseen)
        told = [stands(name) for name in storages]
        redrawn_stage(staging, part, redrawn, moment, told)
        _both_ways(staging, part, solved, values, at_zero=to is End.ZERO, foreseen=foreseen is not None)
    return met


def _foreseen(
    sheet: StorageSheet, values: Sequence[tuple[TimedValue, Ratio]], to: End
) -> ExpectationVerdict | None:
    """What the person expects of one of these values, where that is so."""
    told = [v for v in sheet.verdicts for value, limit in values if _speaks_of(v, value, limit, to)]
    return told[0] if told else None


def _speaks_of(verdict: ExpectationVerdict, value: TimedValue, limit: Ratio, to: End) -> bool:
    claim = verdict.claim
    named = claim.left == Symbol(value.question.quantity) and claim.symbol == TIME and claim.to is to
    return named and verdict.judgement is Judgement.CONFIRMED and verdict.left == limit


def _question(
    staging: Staging, part: StageBlocks, to: Expr, values: Sequence[tuple[TimedValue, Ratio]]
) -> None:
    goes = Equation(part.since, to, "→")
    those = in_a_row([(_of_time(value),) for value, _ in values])
    question: Said = ("As ", goes, ", what do you expect of ", *those, "?")
    staging.write(question, words=(goes, ": ?"), pause=staging.pace.silence(LectureAct.LIMITS))


def _of_time(value: TimedValue) -> Symbol:
    return Symbol(f"{value.question.quantity}(t)")


def _both_ways(
    staging: Staging,
    part: StageBlocks,
    solved: Solution,
    values: Sequence[tuple[TimedValue, Ratio]],
    *,
    at_zero: bool,
    foreseen: bool,
) -> None:
    """What the redrawn circuit gives and what the formula does, and that they agree; `foreseen`: with what
    was predicted as well."""
    compared = 0
    for value, limit in values:
        again = value_redrawn(solved, value.question, part.circuit)
        if again is None or (part.stage.is_whole and again != limit):
            continue
        compared += 1
        shown = _shown(part, value, limit)
        drawn: Said = ("Drawn again: ", Equation(Symbol(value.question.quantity), shown), ".")
        lit = [("arrow", value.question.quantity), ("wire", value.question.quantity)]
        if Cut.LIMITS not in staging.left_out:
            staging.write(drawn, words=drawn, parts=lit)
        source = _line_of(staging, value)
        marks: list[BoardMark] = []
        remark: Said = ()
        if source is not None:
            marks.append(BoardMark(source.key, MarkKind.USED))
            kind = MarkKind.CHANGED if at_zero else MarkKind.STRUCK
            side = 1  # in symbols, where there are any
            paths = exponentials(source.sides[side]) if at_zero else fading(source.sides[side])
            marks += [BoardMark(source.key, kind, side, path) for path in paths]
            remark = ("Every exponential begins at one.",) if at_zero else ("Every exponential fades.",)
        name = _of_time(value)
        lead = "every exponential begins at one" if at_zero else "every exponential fades"
        said: Said = (f"The formula: {lead}, and ", Equation(name, shown, "→"), ".")
        staging.write(said, (name, shown), relation="→", marks=marks, remark=remark)
    if compared:
        agreed = "Both ways agree, and so does the prediction." if foreseen else "Both ways agree."
        staging.write((agreed,), words=(agreed,))


def _shown(part: StageBlocks, value: TimedValue, limit: Ratio) -> Expr:
    """A limit as its formula, as a value where that is long."""
    form = tidy(limit)
    if len(as_text((form,))) <= LONGEST:
        return form
    return part.form_or_number(limit, UNIT_OF_TIMED[value.question.kind])


def _line_of(staging: Staging, value: TimedValue) -> BoardLine | None:
    lines = [line for line in staging.scene.lines if line.sides[:1] == (_of_time(value),)]
    symbolic = [line for line in lines if line.relation == "="]
    found = symbolic or lines
    return found[-1] if found else None


def exponentials(expr: Expr, path: Path = ()) -> Iterator[Path]:
    """Every place of an expression where an exponential stands."""
    if isinstance(expr, Exponential):
        yield path
        return
    for k, part in enumerate(parts_of(expr)):
        yield from exponentials(part, (*path, k))


def fading(expr: Expr, path: Path = ()) -> Iterator[Path]:
    """What of an expression fades with its exponentials: each one with the factors that stand at it."""
    holding = [k for k, part in enumerate(parts_of(expr)) if any(exponentials(part))]
    sums = any(isinstance(part_at(expr, p[:n]), Sum) for p in exponentials(expr) for n in range(len(p)))
    if not sums:
        if any(exponentials(expr)):
            yield path
        return
    for k in holding:
        yield from fading(parts_of(expr)[k], (*path, k))
