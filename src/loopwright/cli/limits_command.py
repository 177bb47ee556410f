"""`loopwright limits`: every limiting case by two routes, and the person's expectations."""

from __future__ import annotations

import argparse
from dataclasses import replace

from ..checks.limits.expectations import Judgement, judge_all
from ..checks.limits.joint import joint_cases
from ..checks.limits.limits import limit_cases
from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..errors import FaultyMaterial
from ..expressions.said import as_text
from ..findings import Finding
from ..sheet.printable import is_printable
from ..show.limit_lines import AFTERWARDS, limit_lines, time_limit_lines
from ..solve.exact import solve
from ..transients.stages import stages
from ..transients.timed_expectations import judge_in_time
from ..transients.timed_limits import time_limits
from .files import circuit_from, show, told_for
from .watch import TellProgress, watched


def run(given: argparse.Namespace) -> int:
    """Prints the cases; 1 when the two routes differ or an expectation is not confirmed."""
    circuit = circuit_from(given.file, given.terms)
    lines, status = watched(lambda tell: _worked(circuit, given.of, tell), given.longest)
    show(told_for(circuit, "\n".join(lines)))
    return status


def _worked(circuit: Circuit, of: list[str] | None, tell: TellProgress) -> tuple[list[str], int]:
    """The lines to print, and the exit status."""
    names = dict.fromkeys((*circuit.elements, *circuit.symbols))
    if of and (strangers := [name for name in of if name not in names]):
        known = ", ".join(names)
        message = f"The circuit has no element or symbol called {', '.join(strangers)}."
        raise FaultyMaterial(Finding("limits/unknown-element", message, f"It has {known}."))
    if changes(circuit):
        return _in_time(circuit, of, tell)
    return _steady(circuit, of, tell)


def _in_time(circuit: Circuit, of: list[str] | None, tell: TellProgress) -> tuple[list[str], int]:
    """The limits in time and the expectations, then the cases of the circuit long after, where it settles."""
    tell("in between")
    found = stages(circuit)
    limits = () if of else time_limits(found)
    verdicts = judge_in_time(found, circuit)
    lines, status = time_limit_lines(limits), 0
    if found[-1].end is not None:
        steady, status = _steady(replace(circuit, expect=()), of, tell)
        lines += [*([AFTERWARDS] if steady else []), *steady]
    lines += [as_text(verdict.sentence) for verdict in verdicts]
    wrong = any(v.judgement is not Judgement.CONFIRMED for v in verdicts)
    return lines, 1 if wrong or status or any(limit.agree is False for limit in limits) else 0


def _steady(circuit: Circuit, of: list[str] | None, tell: TellProgress) -> tuple[list[str], int]:
    """The cases and the expectations of a circuit whose currents do not change."""
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
    wrong = any(v.judgement is not Judgement.CONFIRMED for v in verdicts)
    return lines, 1 if wrong or not (all(c.agree for c in cases) and all(j.agree for j in joint)) else 0
