"""`loopwright board`: a lecture from a problem file, as one HTML page, or its script, or its captions."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..board import html
from ..board.captions import captions, chapters
from ..board.plan import board
from ..board.script import length, script
from ..board.stage import Plan
from ..circuit.circuit import Circuit
from ..sheet.forms import FORMS, with_figures_beside
from .files import circuit_from, say, show, stem_of, write
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Writes the page, or with `--script` the words, with `--captions` these and the chapters; says how long
    the lecture takes."""
    circuit = circuit_from(given.file, given.terms, endless=True)
    plan = watched(lambda tell: _planned(circuit, given, tell), given.longest)
    if given.script:
        return _script(plan, given)
    if given.captions:
        return _captions(plan, given)
    look = circuit.board.look or "dark"
    content = html.write(plan, look=given.look or look)
    say(length(plan))
    if given.output == "-":
        show(content)
        return 0
    path = Path(given.output or f"{stem_of(given.file)}-board.html")
    write(path, content)
    show(str(path))
    return 0


def _planned(circuit: Circuit, given: argparse.Namespace, tell: TellProgress) -> Plan:
    return board(
        circuit,
        methods=tuple(given.methods or ()),
        minutes=given.minutes,
        resistors=given.resistors,
        tell=tell,
    )


def _script(plan: Plan, given: argparse.Namespace) -> int:
    """The script in the form asked for."""
    form = FORMS[given.script]
    document = script(plan, paper=given.paper or "a4")
    if given.output == "-":
        show(form.write(document))
        return 0
    path = Path(given.output or f"{stem_of(given.file)}-script{form.ending}")
    beside: dict[str, str] = {}
    if form.links_figures:
        document, beside = with_figures_beside(document, path.stem)
    say(length(plan))
    for name, content in {path.name: form.write(document), **beside}.items():
        write(path.with_name(name), content)
    show(str(path))
    return 0


def _captions(plan: Plan, given: argparse.Namespace) -> int:
    """The captions, and beside them the chapters."""
    if given.output == "-":
        show(captions(plan))
        return 0
    path = Path(given.output or f"{stem_of(given.file)}-captions.vtt")
    beside = path.with_name(f"{path.stem.removesuffix('-captions')}-chapters.vtt")
    say(length(plan))
    for where, content in ((path, captions(plan)), (beside, chapters(plan))):
        write(where, content)
        show(str(where))
    return 0
