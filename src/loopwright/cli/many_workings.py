"""Reads workings one after another, several at a time on all cores, or on other machines; results come in
the order asked.

One bad file stops none of the others. Nothing is written here: what a working gives is handed back whole.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import closing
from dataclasses import dataclass, replace
from pathlib import Path

from ..circuit.circuit import Circuit
from ..errors import BrokenPromise, FaultyMaterial
from ..expressions.said import as_text
from ..findings import Finding
from ..finish.finish import finish
from ..finish.finished import FinishedWorking
from ..legible import legible
from ..many.each import EVERY_CORE, CrewWish, each
from ..many.outcomes import MadeOf
from ..reading.faults import own_fault
from ..reading.judge import read_working
from ..reading.marking.mark import Mark
from ..reading.marking.own_set import is_cause
from ..reading.marking.propose import propose
from ..reading.marking.scheme import Scheme
from ..reading.reading import Reading
from ..reading.truth.rounding import Policy
from ..sheet.document import Document
from ..sheet.forms import FORMS
from ..sheet.marked import marked
from ..show.margin import in_margin
from ..show.reading_json import as_data
from ..show.rest import rest_as_data, rest_in_text
from ..slips.catalogue import CATALOGUE
from .watch import TellProgress, streamed

MEND = "Allow more with --longest SECONDS, or read it by itself. The others are not touched by it."
REPORT = "All else in it is judged as usual. Send us the working and the problem, so that it can be mended."
KEPT = 1000  # readings kept for the same text to come again, some 50 kB each
FEW = 4  # workings that are not worth a second process


@dataclass(frozen=True, slots=True)
class WorkingSource:
    """One working: the name that it is told by, and its text or what stands in the way of it."""

    name: str
    text: str
    fault: Finding | None = None


@dataclass(frozen=True, slots=True)
class Job:
    """What is to be made of every working. `finished`: its rest as well; `help_level`: the next step, at a
    level from 1 to 4 (0: none)."""

    circuit: Circuit
    forms: tuple[str, ...]
    policy: Policy
    scheme: Scheme | None = None
    decimal_comma: bool = False
    own_arrows: bool = False
    resistors: str = "iec"
    width: int = 100
    finished: bool = False
    help_level: int = 0


@dataclass(frozen=True, slots=True)
class WorkingOutcome:
    """What one working gave, whole: its forms (form -> content), what a row of the summary says, and
    whether all of it is right. `fault`: what stood in the way of reading it; `partly`: what stood in the way
    of reading a part of it; `ours`: that is a fault of Loopwright's own."""

    name: str
    forms: Mapping[str, object]
    first_untrue: int | None = None
    slips: tuple[str, ...] = ()
    unread: int = 0
    mark: str = ""
    right: bool = False
    fault: Finding | None = None
    partly: Finding | None = None
    ours: bool = False


class Reader:
    """Reads one working after another for a job. A text that came before is not read again: a pile holds
    the same working many times over."""

    def __init__(self, job: Job) -> None:
        self._job = job
        self._before: dict[str, Reading] = {}

    def __reduce__(self) -> tuple[type[Reader], tuple[Job]]:
        return Reader, (self._job,)

    def __call__(self, source: WorkingSource) -> WorkingOutcome:
        """What the working gave, its pages typeset."""
        return _typeset(outcome(self._job, source, self._before))


def read_all(
    job: Job, sources: Sequence[WorkingSource], crew: CrewWish = EVERY_CORE
) -> Iterator[WorkingOutcome]:
    """The outcome of each working, in order, read by a crew. If one takes longer than it may, its outcome
    says so and the next is read."""
    if not crew.on and (crew.hands == 1 or (len(sources) <= FEW and not crew.processes)):
        yield from _in_turn(job, sources, crew.longest)
        return
    with closing(each(Reader(job), sources, crew, name=_name)) as outcomes:
        for source, made in zip(sources, outcomes, strict=True):
            if isinstance(made, MadeOf):
                yield made.result
            else:
                yield _not_finished(source, made.finding.message, ours=made.ours)


def _in_turn(job: Job, sources: Sequence[WorkingSource], longest: float) -> Iterator[WorkingOutcome]:
    """The outcomes, read in a process that was forked: a few are read before another one has begun."""
    at = 0

    def work(_: TellProgress) -> Iterator[WorkingOutcome]:
        before: dict[str, Reading] = {}
        yield from (outcome(job, source, before) for source in sources[at:])

    while at < len(sources):
        try:
            with closing(streamed(work, longest)) as outcomes:
                for made in outcomes:
                    at += 1
                    yield _typeset(made)
        except (FaultyMaterial, BrokenPromise) as trouble:
            ours = isinstance(trouble, BrokenPromise)
            said = trouble.findings[0].message if isinstance(trouble, FaultyMaterial) else str(trouble)
            yield _not_finished(sources[at], f"{sources[at].name}: {said}", ours=ours)
            at += 1


def _name(source: WorkingSource) -> str:
    return source.name


def _not_finished(source: WorkingSource, said: str, *, ours: bool) -> WorkingOutcome:
    return WorkingOutcome(source.name, {}, fault=Finding("working/not-finished", said, MEND), ours=ours)


def outcome(job: Job, source: WorkingSource, before: dict[str, Reading]) -> WorkingOutcome:
    """Reads one working and makes the forms asked for; a page that is still to be typeset is a Document.
    `before`: the readings of texts that came before, for the same job; this one is added."""
    if source.fault is not None:
        return WorkingOutcome(source.name, {}, fault=source.fault)
    try:
        return _made(job, source, before)
    except FaultyMaterial as trouble:
        return WorkingOutcome(source.name, {}, fault=trouble.findings[0])
    except Exception as trouble:  # a fault of ours in one working must not cost the others
        said = f"{source.name}: Loopwright failed on this working ({type(trouble).__name__}: {trouble})."
        return _not_finished(source, said, ours=True)


def _made(job: Job, source: WorkingSource, before: dict[str, Reading]) -> WorkingOutcome:
    reading = before.get(source.text) or read_working(
        job.circuit,
        source.text,
        arrows_unsaid=job.own_arrows,
        policy=job.policy,
        decimal_comma=job.decimal_comma,
    )
    before[source.text] = reading
    if len(before) > KEPT:
        del before[next(iter(before))]
    mark, faults = None, [fault.what for fault in reading.faults]
    try:
        mark = propose(reading, job.scheme) if job.scheme is not None else None
    except Exception as trouble:  # the verdicts are there all the same
        faults.append(own_fault(trouble).what)
    rest = None
    try:
        rest = finish(reading) if job.finished or job.help_level else None
    except Exception as trouble:  # the verdicts are there all the same
        faults.append(own_fault(trouble).what)
    first = reading.first_untrue
    unread = sum(line.trouble is not None for line in reading.working.lines)
    return WorkingOutcome(
        source.name,
        _forms(job, source, reading, mark, rest),
        first.line if first is not None else None,
        _slips(reading),
        unread,
        mark.score if mark is not None else "",
        reading.right,
        partly=_told(source, faults),
        ours=bool(faults),
    )


def _told(source: WorkingSource, faults: Sequence[str]) -> Finding | None:
    """The faults of ours met in a working that was read all the same; None where there were none."""
    if not faults:
        return None
    said = f"{source.name}: Loopwright failed on a part of this working ({'; '.join(faults)})."
    return Finding("working/partly-judged", said, REPORT)


def _forms(
    job: Job, source: WorkingSource, reading: Reading, mark: Mark | None, rest: FinishedWorking | None
) -> dict[str, object]:
    pages = [form for form in job.forms if form in FORMS]
    document = marked(reading, mark, title=Path(source.name).name, resistors=job.resistors) if pages else None
    found: dict[str, object] = {}
    for form in job.forms:
        if form == "text":
            read = in_margin(reading.remarks, reading.closing, mark, job.width)
            if rest is not None and job.help_level:
                read = f"{as_text(rest.what_next(job.help_level))}\n"
            elif rest is not None:
                read = f"{read}\n{rest_in_text(rest, job.width)}"
            found[form] = legible(read)
        elif form == "json":
            more = {} if rest is None else {"rest": rest_as_data(rest, job.help_level)}
            found[form] = {"working": source.name, **as_data(reading, mark), **more}
        elif document is not None:
            found[form] = document if form == "pdf" else FORMS[form].write(document)
    return found


def _typeset(made: WorkingOutcome) -> WorkingOutcome:
    """The outcome with its pages typeset; not done in a forked child of a process that has typeset before,
    which would wait for threads that it has not."""
    forms = {
        form: FORMS[form].write(content) if isinstance(content, Document) else content
        for form, content in made.forms.items()
    }
    return replace(made, forms=forms)


def _slips(reading: Reading) -> tuple[str, ...]:
    """The names of the slips made, in order, as far as they have one."""
    entries = [v.repairs[0].entry for v in reading.verdicts if is_cause(v) and v.repairs]
    return tuple(CATALOGUE[entry].name if entry in CATALOGUE else entry for entry in dict.fromkeys(entries))
