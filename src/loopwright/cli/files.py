"""Reading the problem and writing results: whole or not at all."""

from __future__ import annotations

import os
import sys
import tempfile
from pathlib import Path

from ..circuit.circuit import Circuit
from ..circuit.diagnose import diagnose
from ..errors import FaultyMaterial
from ..problem.problem_file import read_file, read_text


def circuit_from(file: str, *, endless: bool = False) -> Circuit:
    """The circuit of a problem file, or of standard input for `-`; warnings go to standard error.

    Raises FaultyMaterial with everything found; also for a ladder without end unless `endless` ones are
    asked for.
    """
    circuit, findings = read_text(sys.stdin.read(), "standard input") if file == "-" else read_file(file)
    if circuit is None:
        raise FaultyMaterial(*findings)
    for finding in findings:
        say(finding.as_text())
    if circuit.ladder is not None and not endless:
        raise FaultyMaterial(*diagnose(circuit))
    return circuit


def stem_of(file: str) -> str:
    """The name without folder and ending, for naming what is written."""
    return "sheet" if file == "-" else Path(file).stem


def write(path: Path, content: str | bytes) -> None:
    """Writes a file at once: what was there stays until the new one is complete."""
    path.parent.mkdir(parents=True, exist_ok=True)
    data = content.encode() if isinstance(content, str) else content
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
        os.chmod(name, 0o644)
        os.replace(name, path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def show(content: str | bytes) -> None:
    """Writes to standard output, bytes as they are."""
    if isinstance(content, str):
        sys.stdout.write(content if content.endswith("\n") else content + "\n")
    else:
        sys.stdout.buffer.write(content)


def say(message: str) -> None:
    """Tells the person something beside the result, on standard error."""
    print(message, file=sys.stderr)
