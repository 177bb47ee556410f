"""A working of a circuit in time finished from where it stands: the start, the end, the time constant, the
course and what else is asked, in the names of the working.

Every line is read back by the judge of workings in time below the lines that stand; one that it does not find
true is never shown, and that it is missing is said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from ..circuit.in_time import Moment, TimedKind, TimedQuestion, timed_questions
from ..circuit.names import listed
from ..expressions.nodes import Symbol
from ..expressions.said import Said, in_a_row
from ..reading.in_time.by_stages import read_in_time
from ..reading.reading import Reading
from ..transients.stages import by_move, stages, value_in_stages
from ..transients.transient import Transient, begun
from .finished import FinishedLine, FinishedWorking
from .shown_in_time import ShownInTime, shown_in_time
from .time_lines import TimeTeller

METHOD = "the start, the end and the time constant"


def finish_in_time(reading: Reading, left_out: Mapping[int, Said]) -> FinishedWorking:
    """The rest of a working of a circuit whose switches move, stage by stage; what cannot be finished is
    said. `left_out`: the lines that do not count, with why."""
    found = stages(reading.circuit)
    if any(stage.start is None or stage.end is None for stage in found):
        why = "The rest is not written here: something must jump, or nothing settles."
        return _finished(reading, (), left_out, [(why,)])
    here = shown_in_time(reading, left_out)
    barred: frozenset[str] = frozenset()
    while True:
        lines, unsaid = _told(reading, found, here, barred)
        untrue = _not_true(reading, here, lines)
        if not untrue:
            return _finished(reading, lines, left_out, unsaid)
        barred |= untrue


def _told(
    reading: Reading, found: tuple[Transient, ...], here: ShownInTime, barred: frozenset[str]
) -> tuple[tuple[FinishedLine, ...], list[Said]]:
    """The lines that are left, stage by stage, and what is not told by a line: of courses that hold roots,
    which lines in letters do not, what can be said."""
    tellers = [TimeTeller(stage, here, barred, k) for k, stage in enumerate(found)]
    open_still: list[TimedQuestion] = []
    for asked in timed_questions(reading.circuit):
        for question in by_move(asked, len(found)):
            at = _stage_of(question, found)
            if at is None:
                open_still.append(question)
            else:
                tellers[at].answer(question)
    for teller, later in pairwise(tellers):
        if later.lines:
            teller.leave(begun(later.stage) if later.stage.circuit.has_all_numbers else None)
    lines: list[FinishedLine] = []
    now = here.stage
    for teller in tellers:
        for line in teller.lines:
            heading = "" if now == teller.at else _heading(teller)
            now = teller.at
            lines.append(replace(line, number=here.last + 1 + len(lines), heading=heading))
    unsaid = [said for teller in tellers for said in teller.unsaid]
    for teller in tellers:
        rooted = [q for q in teller.unwritten if q.moment is Moment.COURSE] if teller.roots else []
        open_still += [q for q in teller.unwritten if q not in rooted]
        if rooted:
            names = in_a_row([(Symbol(f"{q.quantity}(t)"),) for q in rooted])
            verb = "is" if len(rooted) == 1 else "are"
            unsaid.append((*names, f" {verb} not written in letters: ", *teller.roots))
    return tuple(lines), [*unsaid, *map(_unwritten, open_still)]


def _heading(teller: TimeTeller) -> str:
    """What is said before the lines of a stage that is not that of the line above."""
    if not teller.at:
        return "After the first move:"
    moved = listed([f"{m.switch} {'closes' if m.after else 'opens'}" for m in teller.circuit.switching])
    return f"Then {moved}; 0+ is just after that:"


def _stage_of(question: TimedQuestion, found: tuple[Transient, ...]) -> int | None:
    """Which stage a question speaks of; None where it speaks of more than one."""
    if len(found) == 1 or question.move:
        return max(question.move, 1) - 1
    if question.kind in (TimedKind.CAPACITANCE, TimedKind.INDUCTANCE):
        return len(found) - 1
    time = question.at if question.moment is Moment.AT else None
    if question.kind is TimedKind.WHEN:
        number = value_in_stages(found, question).number
        time = None if number is None else Fraction(number)
    if time is None or not all(stage.circuit.has_all_numbers for stage in found):
        return None
    return max(k for k, stage in enumerate(found) if begun(stage) <= time)


def _finished(
    reading: Reading, lines: tuple[FinishedLine, ...], left_out: Mapping[int, Said], unsaid: Sequence[Said]
) -> FinishedWorking:
    missing: Said = (lines[0].lacking.value,) if lines else ()
    return FinishedWorking(reading, METHOD, lines, missing, left_out, unsaid=tuple(unsaid))


def _unwritten(question: TimedQuestion) -> Said:
    name = question.written or f"{question.quantity} {question.moment}".strip()
    return (f"{name} is asked, and is not written here: find it by hand.",)


def _not_true(reading: Reading, here: ShownInTime, lines: Sequence[FinishedLine]) -> frozenset[str]:
    """The lines, by what they give, that the judge does not find true below those of the working."""
    rows = [*here.rows, *(f"{line.heading} {line.as_text()}".strip() for line in lines)]
    again = read_in_time(reading.circuit, "\n".join(rows), decimal_comma=reading.working.decimal_comma)
    judged: dict[int, list[bool]] = {}
    for verdict in again.verdicts:
        judged.setdefault(verdict.line, []).append(verdict.holds)
    for line in again.working.lines:
        if line.trouble is not None:
            judged.setdefault(line.number, []).append(False)
    return frozenset(line.as_text() for line in lines if not all(judged.get(line.number, [False])))
