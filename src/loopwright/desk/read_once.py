"""The circuit of a text, read once for all that is asked of it; what was worked is remembered with it."""

from __future__ import annotations

from functools import lru_cache

from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..findings import Finding, Severity
from ..problem.problem_file import read_in_part


@lru_cache(maxsize=8)  # texts, the latest: a page asks of one or two
def in_part(text: str) -> tuple[Circuit | None, tuple[Finding, ...]]:
    """The circuit as far as it can be made out, and all findings."""
    return read_in_part(text)


def faults_in(text: str) -> list[Finding]:
    """What stands in the way of equations."""
    return [finding for finding in in_part(text)[1] if finding.severity is Severity.ERROR]


def sound(text: str) -> Circuit:
    """The circuit. Raises FaultyMaterial where the text is no sound one."""
    circuit, _ = in_part(text)
    faults = faults_in(text)
    if circuit is None or faults:
        raise FaultyMaterial(*faults)
    return circuit
