"""`loopwright limits`: every limiting case by two routes, and the person's expectations."""

from __future__ import annotations

import argparse

from ..checks.limits.expectations import Judgement, judge_all
from ..checks.limits.joint import joint_cases
from ..checks.limits.limits import limit_cases
from ..circuit.circuit import Circuit
from ..errors import FaultyMaterial
from ..findings import Finding
from ..sheet.printable import is_printable
from ..show.limit_lines import limit_lines
from ..solve.exact import solve
from .files import circuit_from, show
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the cases; 1 when the two routes differ or an expectation is refuted."""
    circuit = circuit_from(given.file)
    lines, status = watched(lambda tell: _worked(circuit, given.of, tell), given.longest)
    show("\n".join(lines))
    return status


def _worked(circuit: Circuit, of: list[str] | None, tell: TellProgress) -> tuple[list[str], int]:
    """The lines to print, and the exit status."""
    names = dict.fromkeys((*circuit.elements, *circuit.symbols))
    if of and (strangers := [name for name in of if name not in names]):
        known = ", ".join(names)
        message = f"The circuit has no element or symbol called {', '.join(strangers)}."
        raise FaultyMaterial(Finding("limits/unknown-element", message, f"It has {known}."))
    tell("closed forms")
    solution = solve(circuit)
    tell("limits")
    cases = limit_cases(circuit, solution)
    printable = is_printable(circuit)
    joint = joint_cases(circuit, solution) if printable else ()
    if of:
        cases = tuple(case for case in cases if {case.element, *case.moved} & set(of))
        joint = tuple(case for case in joint if set(case.elements) & set(of))
    verdicts = judge_all(circuit, solution)
    lines = limit_lines(cases, joint, verdicts, printable=printable)
    wrong = any(v.judgement is Judgement.REFUTED for v in verdicts)
    return lines, 1 if wrong or not (all(c.agree for c in cases) and all(j.agree for j in joint)) else 0
