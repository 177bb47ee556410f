"""What counts as a check of the results in a working. Common practice, no source."""

from __future__ import annotations

import re

from ...expressions.nodes import Equation, numbers_in
from ...expressions.values import symbols_of
from ..reading import Reading
from ..verdicts import ClaimKind, How, Verdict
from .other_ways import is_shown
from .results import given_outright

_CHECKING = re.compile(
    r"\b(check\w*|v[eé]rif\w+|proof|test(?:ed|ing)?|balances?|put(?:ting)? back|sanity"
    r"|(?:gegen)?probe|kontroll\w+|contr[oô]le|comprob\w+|comprueb\w+|prova)\b",
    re.IGNORECASE,
)


def checks_something(verdict: Verdict, reading: Reading) -> bool:
    """Whether a true claim after the results tests them: a law, with numbers put in or not, or a sum of
    numbers that comes out; not a result said once more, a line repeated, a value given or a name made."""
    written = verdict.claim.written
    if not verdict.holds or verdict.kind in (ClaimKind.NAMED, ClaimKind.GIVEN) or verdict.how is How.SAME:
        return False
    if (
        written.left == written.right
        or given_outright(written, reading.arrows.names)
        or not is_shown(verdict)
    ):
        return False
    return verdict.how is not How.IDENTITY or _sums_up(written)


def says_to_check(text: str) -> bool:
    """Whether a line's words announce a check."""
    return _CHECKING.search(text) is not None


def _sums_up(written: Equation) -> bool:
    """Whether an identity is one of several numbers, such as 12 + 6 − 18 = 0."""
    return not symbols_of(written) and len(tuple(numbers_in(written))) > 2
