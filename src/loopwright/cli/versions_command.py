"""`loopwright versions`: a problem in as many other numbers as wanted, all granting its wishes."""

from __future__ import annotations

import argparse
from dataclasses import replace
from pathlib import Path

from ..circuit.versions_asked import VersionsAsked
from ..errors import FaultyMaterial
from ..findings import Finding
from ..many.each import CrewWish
from ..problem.problem_text import written
from ..show.version_report import as_csv, as_table, summary, version_names
from ..versions.told import clash_found
from ..versions.version import VersionSet
from ..versions.versions import versions
from ..whole_files import write
from .files import circuit_from, show, stem_of, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Writes the versions into a folder, or prints them; nothing where there are too few."""
    circuit = circuit_from(given.file, given.terms, endless=True)
    asked = with_more(circuit.versions, given.vary or (), given.hold or ())
    if given.mixed:
        asked = replace(asked, difficulty="mixed")
    folder, stem = Path(given.output), stem_of(given.file)
    crew = CrewWish(given.jobs, given.on, given.longest)

    def made(tell: TellProgress) -> tuple[str, dict[Path, str]]:
        found = versions(circuit, given.count, seed=given.seed, asked=asked, crew=crew, tell=tell)
        if not found.complete:
            raise FaultyMaterial(clash_found(found))
        if not given.output:
            return as_table(found), {}
        return f"{folder}: {summary(found)}", files_of(found, folder, stem)

    text, files = watched(made, given.longest)
    for path, content in files.items():
        write(path, content)
    show(told_for(circuit, text))
    return 0


def files_of(found: VersionSet, folder: Path, stem: str) -> dict[Path, str]:
    """A problem file for each version, and the table of all."""
    names = version_names(found)
    files = {
        folder / f"{stem}-{name}.toml": written(circuit)
        for name, circuit in zip(names, found.circuits, strict=True)
    }
    return {**files, folder / f"{stem}-versions.csv": as_csv(found)}


def with_more(asked: VersionsAsked, vary: tuple[str, ...], hold: tuple[str, ...]) -> VersionsAsked:
    """What the file says with what the command line adds. Raises FaultyMaterial for a text without `=`."""
    choices = dict(asked.choices)
    for text in vary:
        name, sign, content = text.partition("=")
        if not sign or not name.strip():
            message = f'"{text}" does not say what a symbol may be: it has no equals sign.'
            mend = 'Write it as "R1=2 to 12 ohm".'
            raise FaultyMaterial(Finding("versions/unreadable-choices", message, mend))
        choices[name.strip()] = content.strip()
    return replace(asked, choices=choices, hold=tuple(dict.fromkeys((*asked.hold, *hold))))
