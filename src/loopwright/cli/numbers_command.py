"""`loopwright numbers`: one good set of numbers for a circuit."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path

from ..errors import FaultyMaterial
from ..many.each import CrewWish
from ..problem.problem_text import quoted, written
from ..show.version_report import answers_told, summary
from ..versions.told import answers_in, clash_found
from ..versions.usual import good_numbers
from ..versions.version import VersionSet
from ..whole_files import write
from .files import circuit_from, show, told_for
from .versions_command import with_more
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the numbers as they stand in a problem file, or writes the whole file with them."""
    circuit = circuit_from(given.file, given.terms, endless=True)
    asked = with_more(circuit.versions, given.vary or (), ())
    crew = CrewWish(given.jobs, given.on, given.longest)

    def made(tell: TellProgress) -> tuple[str, str]:
        found, wishes = good_numbers(
            circuit, asked=asked, hold=given.hold or (), seed=given.seed, crew=crew, tell=tell
        )
        if not found.complete:
            raise FaultyMaterial(clash_found(found))
        return _told(found, wishes), written(found.circuits[0])

    text, file = watched(made, given.longest)
    if given.output == "-":
        show(file)
    elif given.output:
        write(Path(given.output), file)
        show(given.output)
    else:
        show(told_for(circuit, text))
    return 0


def _told(found: VersionSet, wishes: Sequence[str]) -> str:
    """The numbers as they stand in a problem file; what they lead to as comments."""
    chosen = found.circuits[0]
    (answers,) = answers_in(found)
    lines = [
        "[numbers]",
        *(f"{name} = {quoted(text)}" for name, text in chosen.written.items()),
        f"# {', '.join(answers_told(answers, chosen))}",
        f"# {', '.join(wishes)}: {summary(found)}",
    ]
    return "\n".join(lines)
