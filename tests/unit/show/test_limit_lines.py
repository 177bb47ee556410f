"""Limits as lines: what the routes come to, and how they are told where forms are too long."""

from __future__ import annotations

from dataclasses import replace

from loopwright.checks.limits.expectations import judge_all
from loopwright.checks.limits.joint import joint_cases
from loopwright.checks.limits.limits import limit_cases
from loopwright.show.limit_lines import limit_lines
from loopwright.solve.exact import solve
from tests.sample_circuits import CHARGE_OR_HELP, circuit_of

CIRCUIT = circuit_of('expect = ["Ib -> 0 as R2 -> oo"]\n' + CHARGE_OR_HELP)
SOLUTION = solve(CIRCUIT)
CASES = limit_cases(CIRCUIT, SOLUTION)
PAIRS = joint_cases(CIRCUIT, SOLUTION)


def test_every_case_is_told_with_its_routes_and_every_expectation_with_its_end() -> None:
    lines = limit_lines(CASES, PAIRS, judge_all(CIRCUIT, SOLUTION), printable=True)
    assert lines.count("    both routes agree on 3 currents") == len(CASES)
    assert lines.count("    both routes agree") == len(PAIRS)
    assert lines[-1].startswith("Confirmed: ")


def test_routes_that_differ_cannot_be_overlooked() -> None:
    case = replace(CASES[0], agree=False)
    assert limit_lines([case], [], [], printable=True)[1] == "    THE ROUTES DIFFER"


def test_where_forms_are_too_long_a_case_is_told_by_its_end() -> None:
    lines = limit_lines(CASES[:1], [], [], printable=False)
    assert lines[0] == "R1 → 0:"
    assert lines[-1] == "The currents themselves are too long to print, and pairs were not worked."
