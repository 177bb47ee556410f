"""Results that come out of a calculator together: none of them is made of the others, and so the rounding
of one is no reason for another to be off."""

from __future__ import annotations

import re

from ..expressions.nodes import Symbol
from .truth.rounding import lone
from .working import WrittenLine

_SOLVER = re.compile(r"\b(calculator|computer|solver|spreadsheet)\b", re.IGNORECASE)


def by_calculator(line: WrittenLine, before: bool) -> bool:
    """Whether a line, or the next one if it holds results alone, gives what a calculator solved; `before`:
    the same of the line above."""
    return _SOLVER.search(line.text) is not None or (before and holds_results(line))


def holds_results(line: WrittenLine) -> bool:
    """Whether all that a line claims is what names come to."""
    found = [claim.written for claim in line.claims]
    return bool(found) and all(isinstance(one.left, Symbol) and lone(one.right) is not None for one in found)
