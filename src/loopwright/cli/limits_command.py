"""`loopwright limits`: every limiting case by two routes, and the person's expectations."""

from __future__ import annotations

import argparse

from ..checks.expectations import Judgement, judge_all
from ..checks.joint import joint_cases
from ..checks.limits import limit_cases
from ..errors import FaultyMaterial
from ..expressions.display import told
from ..findings import Finding
from ..solve.exact import solve
from .files import circuit_from


def run(given: argparse.Namespace) -> int:
    """Prints the cases; 1 when the two routes differ or an expectation is refuted."""
    circuit = circuit_from(given.file)
    solution = solve(circuit)
    cases = limit_cases(circuit, solution)
    joint = joint_cases(circuit, solution)
    if given.of:
        strangers = [name for name in given.of if name not in circuit.elements]
        if strangers:
            known = ", ".join(circuit.elements)
            message = f"The circuit has no element called {', '.join(strangers)}."
            raise FaultyMaterial(Finding("limits/unknown-element", message, f"It has {known}."))
        cases = tuple(case for case in cases if case.element in given.of)
        joint = tuple(case for case in joint if set(case.elements) & set(given.of))
    for case in cases:
        print(told(case.sentence))
        print(
            f"    both routes agree on {len(case.formula)} currents"
            if case.agree
            else "    THE ROUTES DIFFER"
        )
    for pair in joint:
        print(told(pair.sentence))
        print("    both routes agree" if pair.agree else "    THE ROUTES DIFFER")
    verdicts = judge_all(circuit, solution)
    for verdict in verdicts:
        print(told(verdict.sentence))
    wrong = any(v.judgement is Judgement.REFUTED for v in verdicts)
    return 1 if wrong or not (all(c.agree for c in cases) and all(j.agree for j in joint)) else 0
