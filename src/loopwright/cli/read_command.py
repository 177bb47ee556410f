"""`loopwright read`: someone's working of a problem, read line by line; several, or a folder of them."""

from __future__ import annotations

import argparse
import json
import shutil
import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from ..errors import FaultyMaterial
from ..findings import Finding
from ..legible import legible, legible_line
from ..many.each import CrewWish
from ..reading.marking.scheme import BUILT_IN, Scheme, scheme_of, tolerance_of
from ..reading.truth.rounding import Policy
from ..sheet.forms import FORMS
from ..whole_files import write
from .files import circuit_from, say, show
from .many_workings import Job, WorkingOutcome, WorkingSource, read_all
from .streams import input_bytes

ENDING = {
    "text": ".txt",
    "json": ".json",
    **{name: form.ending for name, form in FORMS.items()},
    "say": "-aloud.txt",  # `.txt` is the reading itself
}
KINDS = (".txt", ".md", ".tex", ".text", ".markdown")  # endings of workings in a folder
LARGEST = 2_000_000  # bytes of a working; anything longer is some other file
WIDTH = 100  # columns, where standard output is no terminal
RIGHT, WRONG, USAGE, OUR_FAULT = 0, 1, 2, 3


def run(given: argparse.Namespace) -> int:
    """Reads the workings; 1 when a line of one is not true, or not read or decided."""
    if [given.file, *given.workings].count("-") > 1:
        say("Standard input can give the problem or one working, not both.")
        return USAGE
    forms = tuple(dict.fromkeys(given.formats or [_form_of(given.output)]))
    if given.output == "-" and len(forms) > 1:
        say("Only one form can go to standard output: give one --as, or a folder after -o.")
        return USAGE
    if (given.finish or given.what_next) and not set(forms) <= {"text", "json"}:
        say("--finish and --what-next are told as text or JSON: leave out the other forms.")
        return USAGE
    if given.finish and given.what_next:
        say("--finish writes all that is left, --what-next the next step only: give one of them.")
        return USAGE
    tolerance = tolerance_of(given.tolerance) if given.tolerance else None
    if given.tolerance and tolerance is None:
        say(f'--tolerance {given.tolerance} is not a percentage below 100 %: write --tolerance "1 %".')
        return USAGE
    scheme = _scheme(given.mark) if given.mark else None
    if scheme is not None and given.no_follow_on:
        scheme = replace(scheme, follow_on=False)
    policy = Policy(*((scheme.tolerance, scheme.figures[0]) if scheme else ()))
    if tolerance is not None:
        policy = replace(policy, tolerance=tolerance)
    sources = list(_sources(given.workings))
    one_page = given.output == "-" or not _is_folder(given.output)
    if given.output and one_page and len(sources) > 1 and forms != ("json",) and forms != ("text",):
        say("Several workings need a folder after -o (ending in /).")
        return USAGE
    job = Job(
        circuit_from(given.file, given.terms), forms, policy, scheme, given.decimal_comma, given.own_arrows,
        given.resistors, _width(given.output), given.finish, given.what_next,
    )  # fmt: skip
    read = read_all(job, sources, CrewWish(given.jobs, given.on, given.longest))
    outcomes = list(_with_progress(_written(given.output, job, read), sources))
    _together(given.output, job, outcomes)
    return _status(outcomes)


def _form_of(output: str) -> str:
    """The form that the ending of the file named tells; text where it tells none."""
    ending = Path(output).suffix if output not in ("", "-") else ""
    return next((form for form, known in ENDING.items() if known == ending), "text")


def _status(outcomes: Sequence[WorkingOutcome]) -> int:
    if any(each.ours for each in outcomes):
        return OUR_FAULT
    return RIGHT if outcomes and all(each.right for each in outcomes) else WRONG


def _width(output: str) -> int:
    return shutil.get_terminal_size().columns if sys.stdout.isatty() and not output else WIDTH


# -- what is read ----------------------------------------------------------------------------------


def _scheme(named: str) -> Scheme:
    if named in BUILT_IN:
        return BUILT_IN[named]
    source = _source(Path(named), "scheme")
    if source.fault is not None:
        raise FaultyMaterial(source.fault)
    return scheme_of(source.text, source.name)


def _sources(named: Iterable[str]) -> Iterator[WorkingSource]:
    """The workings named, a folder standing for all texts in it, by name."""
    for name in named:
        path = Path(name)
        if name == "-":
            yield _of_bytes(input_bytes(LARGEST), "standard input", "working")
        elif path.is_dir():
            inside = sorted(p for p in path.iterdir() if p.is_file() and p.suffix.lower() in KINDS)
            if not inside:
                said = f"{name}: no working is in this folder."
                mend = f"A working is a text: its name ends in {', '.join(KINDS)}."
                yield WorkingSource(name, "", Finding("working/none-in-folder", said, mend))
            yield from (_source(p, "working") for p in inside)
        else:
            yield _source(path, "working")


def _source(path: Path, what: str) -> WorkingSource:
    """The text of a file, or what stands in the way of it."""
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)
    except (OSError, ValueError) as error:
        reason = (getattr(error, "strerror", None) or "the name cannot be used").lower()
        said = f"{path}: the {what} cannot be read: {reason}."
        return WorkingSource(
            str(path), "", Finding("working/unreadable", said, "Look at the name and the folder.")
        )
    return _of_bytes(content, str(path), what)


def _of_bytes(content: bytes, name: str, what: str) -> WorkingSource:
    """What was read as text, or why it is none."""
    if len(content) > LARGEST:
        said = f"{name}: the {what} is longer than two million bytes."
        return WorkingSource(
            name, "", Finding("working/too-long", said, "Look whether it is the right file.")
        )
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        said = f"{name}: the {what} is not UTF-8 text."
        return WorkingSource(name, "", Finding("working/not-utf-8", said, "Save it again as UTF-8."))
    if not text.strip():
        finding = Finding("working/empty", f"{name}: nothing stands in this {what}.", "Look at the file.")
        return WorkingSource(name, text, finding if what == "working" else None)
    return WorkingSource(name, text)


def _with_progress(
    outcomes: Iterable[WorkingOutcome], sources: Sequence[WorkingSource]
) -> Iterator[WorkingOutcome]:
    """The same outcomes, counted on standard error where it is a terminal and there are several."""
    shown = sys.stderr.isatty() and len(sources) > 1
    for count, each in enumerate(outcomes, start=1):
        if shown:
            print(f"\r{count} of {len(sources)} read", end="", file=sys.stderr, flush=True)
        yield each
    if shown:
        print("\r" + " " * 40 + "\r", end="", file=sys.stderr, flush=True)


# -- what is written -------------------------------------------------------------------------------


def _written(output: str, job: Job, outcomes: Iterable[WorkingOutcome]) -> Iterator[WorkingOutcome]:
    """Passes the outcomes on, each page written into its file as soon as it is there and then no longer
    held, so that a large class needs no more memory than one working."""
    taken: set[Path] = set()
    for each in outcomes:
        kept = dict(each.forms)
        for form, content in each.forms.items():
            if isinstance(content, str | bytes) and _has_own_file(output, form):
                path = _path(output, each.name, form, several=len(job.forms) > 1, taken=taken)
                taken.add(path)
                write(path, content)
                del kept[form]
        yield replace(each, forms=kept)


def _has_own_file(output: str, form: str) -> bool:
    """Whether each working gets a file of its own in this form; text and JSON may go out together."""
    if output == "-":
        return False
    return form not in ("text", "json") or (form == "text" and _is_folder(output))


def _is_folder(output: str) -> bool:
    return output.endswith("/") or (output != "" and Path(output).is_dir())


def _path(output: str, name: str, form: str, *, several: bool, taken: set[Path]) -> Path:
    stem = "working" if name == "standard input" else Path(name).stem
    if output and not _is_folder(output):
        path = Path(output)
        return path.with_name(f"{path.stem}{ENDING[form]}") if several else path
    folder = Path(output) if output else Path()
    path = folder / f"{stem}-read{ENDING[form]}"
    number = 2
    while path in taken:
        path = folder / f"{stem}-read-{number}{ENDING[form]}"
        number += 1
    return path


def _together(output: str, job: Job, outcomes: Sequence[WorkingOutcome]) -> None:
    """What goes out once all are read: texts, one JSON, a page for standard output, faults, the summary."""
    for form in job.forms:
        content = _content(form, job, outcomes)
        if content is None or _has_own_file(output, form):
            continue
        if output in ("", "-"):
            show(content)
        else:
            folder = _is_folder(output)
            beside = Path(output) / f"readings{ENDING[form]}" if folder else Path(output)
            alone = folder or len(job.forms) == 1
            write(beside if alone else beside.with_name(f"{beside.stem}{ENDING[form]}"), content)
    for each in outcomes:
        for finding in (each.fault, each.partly):
            if finding is not None:
                say(finding.as_text())
    if len(outcomes) > 1 and not (output in ("", "-") and "json" in job.forms):
        show(summary(outcomes))


def _content(form: str, job: Job, outcomes: Sequence[WorkingOutcome]) -> str | bytes | None:
    made = [(each, each.forms[form]) for each in outcomes if form in each.forms]
    if form == "json":
        data = {
            "problem": job.circuit.title,
            "workings": [content for _, content in made],
            "not_read": [
                {"working": each.name, "code": each.fault.code, "why": each.fault.message}
                for each in outcomes
                if each.fault is not None
            ],
        }
        return legible(json.dumps(data, ensure_ascii=False, indent=1)) + "\n"
    texts = [(each, content) for each, content in made if isinstance(content, str | bytes)]
    if form != "text":
        return texts[0][1] if texts else None
    heads = len(outcomes) > 1
    return "\n".join(
        f"{legible_line(each.name)}\n{content!s}" if heads else f"{content!s}" for each, content in texts
    )


def summary(outcomes: Sequence[WorkingOutcome]) -> str:
    """One row for each working: its name, the first line that is not true, the slip, the mark proposed."""
    marks = any(each.mark for each in outcomes)
    rows = [("working", "first untrue", "slip", *(("mark",) if marks else ()))]
    for each in outcomes:
        first = f"line {each.first_untrue}" if each.first_untrue is not None else "none"
        slips = "; ".join(each.slips) or ("not named" if each.first_untrue is not None else "")
        if each.unread:
            slips = "; ".join(part for part in (slips, f"{each.unread} not read") if part)
        if each.fault is not None:
            first, slips = "–", "could not be read"
        rows.append((legible_line(each.name), first, slips, *((each.mark,) if marks else ())))
    widths = [max(len(row[at]) for row in rows) for at in range(len(rows[0]))]
    lines = ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)) for row in rows]
    right = sum(each.right for each in outcomes)
    return "\n".join(line.rstrip() for line in lines) + f"\n{right} of {len(outcomes)} right in every line\n"
