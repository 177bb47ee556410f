"""`loopwright twin`: a circuit in time with coils for capacitors and capacitors for coils, as a file."""

from __future__ import annotations

import argparse
from pathlib import Path

from ..problem.problem_text import written
from ..transients.twin import twin
from ..whole_files import write
from .files import circuit_from, show


def run(given: argparse.Namespace) -> int:
    """Prints the problem file of the twin, or writes it."""
    text = written(twin(circuit_from(given.file, given.terms)))
    if given.output in ("", "-"):
        show(text.rstrip("\n"))
    else:
        write(Path(given.output), text)
        show(given.output)
    return 0
