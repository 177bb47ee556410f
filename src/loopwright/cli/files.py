"""Reading the problem, and telling results on the terminal."""

from __future__ import annotations

import sys
from dataclasses import replace
from pathlib import Path

from ..circuit.circuit import Circuit
from ..circuit.diagnose import diagnose
from ..errors import FaultyMaterial
from ..expressions.terms import in_terms
from ..legible import legible, legible_line
from ..problem.problem_file import LARGEST, read_bytes, read_file
from .streams import input_bytes


def circuit_from(file: str, terms: str = "", *, endless: bool = False) -> Circuit:
    """The circuit of a problem file, or of standard input for `-`, to be told in these terms where some are
    asked for; warnings go to standard error.

    Raises FaultyMaterial with everything found; also for a ladder without end unless `endless` ones are
    asked for.
    """
    circuit, findings = read_bytes(input_bytes(LARGEST), "standard input") if file == "-" else read_file(file)
    if circuit is None:
        raise FaultyMaterial(*findings)
    for finding in findings:
        say(in_terms(finding.as_text(), terms))
    if circuit.ladder is not None and not endless:
        raise FaultyMaterial(*diagnose(circuit))
    return replace(circuit, page=replace(circuit.page, terms=terms)) if terms else circuit


def told_for(circuit: Circuit, text: str) -> str:
    """Words of ours about a circuit in the terms wished for."""
    return in_terms(text, circuit.page.terms, circuit.own_words)


def stem_of(file: str) -> str:
    """The name without folder and ending, for naming what is written."""
    return "sheet" if file == "-" else Path(file).stem


def show(content: str | bytes) -> None:
    """Writes to standard output, bytes as they are."""
    if isinstance(content, str):
        text = legible(content)
        sys.stdout.write(text if text.endswith("\n") else text + "\n")
    else:
        sys.stdout.flush()
        sys.stdout.buffer.write(content)


def say(message: str) -> None:
    """Tells the person something beside the result, on standard error."""
    print(legible_line(message), file=sys.stderr)
