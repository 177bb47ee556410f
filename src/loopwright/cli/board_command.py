"""`loopwright board`: a lecture from a problem file, as a page, or whatever else is made of it."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..board.outputs import DOCUMENT, OUTPUTS, OutputWishes, made_of
from ..board.plan import board
from ..board.room import USUAL_SHAPE
from ..board.script import length
from ..board.stage import Plan
from ..board.timeline import Showing, recorded
from ..circuit.circuit import Circuit
from ..circuit.names import listed
from ..errors import FaultyMaterial
from ..findings import Finding
from ..whole_files import write
from .files import circuit_from, say, show, stem_of
from .watch import TellProgress, watched

LONGEST_RUN = 5_000_000  # characters of a file of times; anything longer is some other file
KNOWN = (*DOCUMENT, "svg", "png", "vtt", "mp4", "txt")  # endings that say in which form something is written


def run(given: argparse.Namespace) -> int:
    """Writes what `--make` names, the page when nothing is named; says how long the lecture takes."""
    output = OUTPUTS[given.make]
    form = given.form or _form_by_ending(given.output, output.forms)
    if form not in output.forms:
        raise FaultyMaterial(_no_form(given.make, form, output.forms))
    circuit = circuit_from(given.file, given.terms, endless=True)
    plan = watched(lambda tell: _planned(circuit, given, tell), given.longest)
    path = _path(given)
    wishes = OutputWishes(
        path.stem if given.output not in ("", "-") else f"{stem_of(given.file)}-{given.make}",
        form,
        given.look or circuit.board.look or "dark",
        given.shape or circuit.board.shape or USUAL_SHAPE,
        given.paper or circuit.page.paper or "a4",
        tuple(given.gaps) or circuit.board.gaps,
        _showings(plan, given.timed),
    )
    files = made_of(plan, given.make, wishes)
    if given.output == "-":
        show(next(iter(files.values())))
        return 0
    say(length(plan))
    for at, (name, content) in enumerate(files.items()):
        where = path if at == 0 and path.suffix and given.make != "frames" else path.with_name(name)
        write(where, content)
        if given.make != "frames" or at in (0, len(files) - 1):
            show(str(where))
    return 0


def _showings(plan: Plan, file: str) -> tuple[Showing, ...]:
    """When the stages were shown in a run, if one is given; what was shown too briefly is told."""
    if not file:
        return ()
    found = recorded(plan, Path(file).read_bytes()[:LONGEST_RUN].decode("utf-8", "replace"), Path(file).name)
    hurried = [s for s in found if s.spoken and s.end - s.start < s.stage.seconds / 3]
    if hurried:
        numbers = listed([str(s.stage.number) for s in hurried[:8]])
        say(f"Shown for less than a third of the time its words take: stage {numbers}.")
    return found


def _path(given: argparse.Namespace) -> Path:
    """The file that is asked for; its folder and the beginning of its name where several are made."""
    return Path(given.output or f"{stem_of(given.file)}-{given.make}")


def _form_by_ending(output: str | None, forms: tuple[str, ...]) -> str:
    """The form that the ending of a file asks for, else the usual one."""
    ending = Path(output or "").suffix.removeprefix(".").lower()
    if ending not in KNOWN:
        return forms[0]
    return "say" if ending == "txt" else ending


def _no_form(make: str, form: str, forms: tuple[str, ...]) -> Finding:
    return Finding("board/no-form", f"--make {make} gives no {form}.", f"Write --as {' or '.join(forms)}.")


def _planned(circuit: Circuit, given: argparse.Namespace, tell: TellProgress) -> Plan:
    return board(
        circuit,
        methods=tuple(given.methods or ()),
        minutes=given.minutes,
        resistors=given.resistors,
        tell=tell,
    )
