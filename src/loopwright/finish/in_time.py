"""A working of a circuit in time finished from where it stands: the start, the end, the time constant, the
course and what else is asked, in the names of the working.

Every line is read back by the judge of workings in time below the lines that stand; one that it does not find
true is never shown, and that it is missing is said.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from ..circuit.in_time import TimedQuestion, timed_questions
from ..expressions.said import Said
from ..reading.in_time.by_stages import read_in_time
from ..reading.reading import Reading
from ..transients.stages import stages
from .finished import FinishedLine, FinishedWorking
from .shown_in_time import ShownInTime, shown_in_time
from .time_lines import TimeTeller

METHOD = "the start, the end and the time constant"


def finish_in_time(reading: Reading, left_out: Mapping[int, Said]) -> FinishedWorking:
    """The rest of a working of a circuit with one storage whose switches move once; what cannot be finished
    is said. `left_out`: the lines that do not count, with why."""
    found = stages(reading.circuit)
    if len(reading.circuit.storages) != 1 or len(found) != 1:
        why = "switches move more than once" if len(found) > 1 else "there is more than one storage"
        return _finished(reading, (), left_out, [(f"The rest is not written where {why}.",)])
    if len(found[0].rates) != 1 or found[0].start is None or found[0].end is None:
        why = "The rest is not written here: there is no one time constant with a start and an end."
        return _finished(reading, (), left_out, [(why,)])
    here = shown_in_time(reading, left_out)
    barred: frozenset[str] = frozenset()
    while True:
        teller = TimeTeller(found[0], here, barred)
        for question in timed_questions(reading.circuit):
            teller.answer(question)
        lines = tuple(teller.lines)
        untrue = _not_true(reading, here, lines)
        if not untrue:
            unsaid = [*teller.unsaid, *(_unwritten(q) for q in teller.unwritten)]
            return _finished(reading, lines, left_out, unsaid)
        barred |= untrue


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
    rows = [*here.rows, *(line.as_text() for line in lines)]
    again = read_in_time(reading.circuit, "\n".join(rows))
    judged: dict[int, list[bool]] = {}
    for verdict in again.verdicts:
        judged.setdefault(verdict.line, []).append(verdict.holds)
    for line in again.working.lines:
        if line.trouble is not None:
            judged.setdefault(line.number, []).append(False)
    return frozenset(line.as_text() for line in lines if not all(judged.get(line.number, [False])))
