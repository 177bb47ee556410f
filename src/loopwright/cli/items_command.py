"""`loopwright items`: quiz items of a circuit, as a package, on paper with a key, or as data."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from ..circuit.circuit import Circuit
from ..findings import Finding
from ..items.quiz import Quiz, items
from ..items.quiz_forms import QUIZ_FORMS, written
from ..whole_files import write
from .files import circuit_from, say, show, stem_of, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Writes the quiz in the forms asked for, and says what could not be made."""
    forms = list(dict.fromkeys(given.formats or [_form_of(given.output)]))
    if given.output == "-" and (len(forms) > 1 or QUIZ_FORMS[forms[0]].printed):
        say("Only one file can go to standard output: give --as json, csv, qti30 or qti22, or a path.")
        return 2
    circuit = circuit_from(given.file, given.terms)
    quiz = watched(lambda tell: _made(circuit, given, tell), given.longest)
    quiz = replace(quiz, circuit=circuit)
    if given.output == "-":
        (content,) = written(quiz, forms[0], "-").values()
        show(content)
    else:
        contents: dict[Path, str | bytes] = {}  # all before the first is written
        for form in forms:
            path = _path(given.output, given.file, form, forms)
            made = written(quiz, form, path.name, resistors=given.resistors, paper=given.paper)
            contents |= {path.with_name(name): content for name, content in made.items()}
        for path, content in contents.items():
            write(path, content)
            show(str(path))
    for note in quiz.notes:
        say(told_for(circuit, _note(note)))
    return 0


def _made(circuit: Circuit, given: argparse.Namespace, tell: TellProgress) -> Quiz:
    tell("quiz items")
    made = items(circuit, given.kinds or (), each=given.each, seed=given.seed, line=given.line)
    return replace(made, circuit=replace(circuit))


def _note(note: Finding) -> str:
    return f"Left out: {note.as_text()}"


def _form_of(output: str) -> str:
    ending = Path(output).suffix if output not in ("", "-") else ""
    if output == "-":
        return "json"
    return next((form.name for form in QUIZ_FORMS.values() if form.ending == ending), "html")


def _path(output: str, file: str, form: str, forms: list[str]) -> Path:
    """Where a form goes: the file named, the folder named, or beside, by the problem's own name. Where both
    packages are written, each bears the name of its version."""
    made = QUIZ_FORMS[form]
    twice = sum(QUIZ_FORMS[other].ending == made.ending for other in forms) > 1
    mark = f"-{form}" if twice else ""
    name = f"{stem_of(file)}-quiz{mark}{made.ending}"
    if not output:
        return Path(name)
    path = Path(output)
    if output.endswith("/") or path.is_dir():
        return path / name
    return path.with_name(f"{path.stem}{mark}{made.ending}") if len(forms) > 1 else path
