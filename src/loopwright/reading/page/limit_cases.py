"""Limits claimed in a working: which relation is the case (`R3 → ∞`), and which claims are made in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ...expressions.nodes import Equation
from ..working import Claim


@dataclass(frozen=True, slots=True)
class Item:
    """A claim of the line or, if `is_case`, the limit case it is made in."""

    claims: tuple[Claim, ...]
    is_case: bool
    strong_stop_before: bool


def with_cases(items: Sequence[Item]) -> tuple[list[Claim], tuple[Equation, ...]]:
    """The claims with their cases, and the cases left over. A clause that begins with a case has it first
    (`as R3 → ∞, I3 → 0`), one that begins with a claim has it last (`I3 → 0 as R3 → ∞`)."""
    found: list[Claim] = []
    left: tuple[Equation, ...] = ()
    for clause in _clauses(items):
        groups: list[tuple[list[Equation], list[Claim]]] = []
        case_first = clause[0].is_case
        was_case: bool | None = None
        for item in clause:
            if not groups or (
                item.is_case is case_first and was_case is not None and was_case is not case_first
            ):
                groups.append(([], []))
            cases, claims = groups[-1]
            if item.is_case:
                cases.extend(_case(claim.written) for claim in item.claims)
            else:
                claims.extend(item.claims)
            was_case = item.is_case
        for cases, claims in groups:
            found.extend(replace(claim, case=tuple(cases)) for claim in claims)
            left = () if claims else tuple(cases)
    return found, left


def _case(written: Equation) -> Equation:
    return Equation(written.left, written.right, "→")


def _clauses(items: Sequence[Item]) -> list[list[Item]]:
    clauses: list[list[Item]] = []
    for item in items:
        if item.strong_stop_before or not clauses:
            clauses.append([])
        clauses[-1].append(item)
    return clauses
