"""`loopwright sheet`: works a circuit and writes the sheet in the forms asked for."""

from __future__ import annotations

import argparse
from dataclasses import dataclass
from pathlib import Path

from ..checks.limits.expectations import Judgement
from ..circuit.circuit import Circuit
from ..expressions.said import as_text
from ..sheet.build import sheet
from ..sheet.document import Document
from ..sheet.forms import FORMS, with_figures_beside
from ..whole_files import write
from .files import circuit_from, say, show, stem_of, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Writes the sheet; 1 when an expectation is refuted or cannot be decided (the sheet, which says so, is
    written)."""
    forms = list(dict.fromkeys(given.formats or [_form_of(given.output)]))
    if given.output == "-" and len(forms) > 1:
        say("Only one form can go to standard output: give one --as, or a folder after -o.")
        return 2
    circuit = circuit_from(given.file, given.terms, endless=True)
    made = watched(lambda tell: _made(circuit, given, tell), given.longest)
    if given.output == "-":
        show(FORMS[forms[0]].write(made.document))
    else:
        contents: dict[Path, str | bytes] = {}  # all before the first is written
        for form in forms:
            contents |= _files(made.document, form, _path(given.output, given.file, form, len(forms) > 1))
        for path, content in contents.items():
            write(path, content)
            show(str(path))
    for words in (*made.notes, *made.unmet):
        say(words)
    return 1 if made.unmet else 0


_UNMET = {
    Judgement.REFUTED: "Expectation not met",
    Judgement.UNDECIDED: "Expectation not decided",
}


@dataclass(frozen=True, slots=True)
class _Made:
    """A sheet's document, what to note of it, and the expectations not confirmed, in words."""

    document: Document
    notes: tuple[str, ...]
    unmet: tuple[str, ...]


def _made(circuit: Circuit, given: argparse.Namespace, tell: TellProgress) -> _Made:
    worked = sheet(
        circuit,
        edition=given.edition,
        paper=given.paper,
        resistors=given.resistors,
        method=given.method,
        tell=tell,
    )
    return _Made(
        worked.document,
        tuple(told_for(circuit, note.as_text()) for note in worked.notes),
        tuple(
            told_for(circuit, f"{_UNMET[verdict.judgement]}: {as_text(verdict.sentence)}")
            for verdict in worked.unmet
        ),
    )


def _form_of(output: str) -> str:
    ending = Path(output).suffix if output not in ("", "-") else ""
    return next((form.name for form in FORMS.values() if form.ending == ending), "html")


def _files(document: Document, form: str, path: Path) -> dict[Path, str | bytes]:
    """What is written for one form: the sheet, and beside it its figure where the form cannot hold one."""
    beside: dict[str, str] = {}
    if FORMS[form].links_figures:
        document, beside = with_figures_beside(document, path.stem)
    return {path: FORMS[form].write(document)} | {path.with_name(n): drawn for n, drawn in beside.items()}


def _path(output: str, file: str, form: str, several: bool) -> Path:
    """Where a form goes: the file named, the folder named, or beside, by the problem's own name."""
    name = stem_of(file) + FORMS[form].ending
    if not output:
        return Path(name)
    path = Path(output)
    if output.endswith("/") or path.is_dir():
        return path / name
    return path.with_suffix(FORMS[form].ending) if several else path
