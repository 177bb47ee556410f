"""Limiting cases and expectations as lines of plain text."""

from __future__ import annotations

from collections.abc import Sequence

from ..checks.limits.cases import LimitCase
from ..checks.limits.expectations import ExpectationVerdict
from ..checks.limits.joint import JointCase
from ..expressions.said import as_text
from ..transients.timed_limits import TimeLimit

AFTERWARDS = "Long after, when nothing changes any more:"
_DIFFER = "THE ROUTES DIFFER"


def limit_lines(
    cases: Sequence[LimitCase],
    joint: Sequence[JointCase],
    verdicts: Sequence[ExpectationVerdict],
    *,
    printable: bool,
) -> list[str]:
    """Each case with whether its two routes agree, then what became of the person's expectations.

    Where the forms are not `printable`, a case is told by its end alone.
    """
    lines: list[str] = []
    for case in cases:
        agreed = f"both routes agree on {len(case.formula)} currents"
        said = (
            as_text(case.sentence)
            if printable
            else f"{as_text(case.head) if case.kept else f'{case.symbol} → {case.to}'}:"
        )
        lines += [said, f"    {agreed if case.agree else _DIFFER}"]
    if not printable:
        lines.append("The currents themselves are too long to print, and pairs were not worked.")
    for pair in joint:
        lines += [as_text(pair.sentence), f"    {'both routes agree' if pair.agree else _DIFFER}"]
    return [*lines, *(as_text(verdict.sentence) for verdict in verdicts)]


def time_limit_lines(limits: Sequence[TimeLimit]) -> list[str]:
    """Each limit in time with whether its two routes agree, or that the second does not settle it."""
    lines: list[str] = []
    for limit in limits:
        agreed = f"both routes agree on {limit.currents} currents" if limit.agree else _DIFFER
        open_ = "the circuit redrawn for that moment has no one answer"
        lines += [as_text(limit.sentence), f"    {open_ if limit.agree is None else agreed}"]
    return lines
