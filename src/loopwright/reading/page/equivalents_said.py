"""Whether a working speaks of sources that stand for others: an equivalent source, a source turned into one
of the other kind. Common practice, no source."""

from __future__ import annotations

import re

from ..working import Working

_EQUIVALENT = re.compile(
    r"\b(?:th[eé]v[eé]nin\w*|norton\w*|equivalent|(?:source\s+)?transform\w*|as\s+one\s+source|back\s+(?:again|to)|"
    r"turn(?:ed|ing)?\s+(?:[^\s:;.]{1,20}\s+){0,8}?into|conver(?:t|sion)\w*)\b",
    re.IGNORECASE,
)
_LONGEST = 300


def speaks_of_equivalents(working: Working) -> bool:
    """Whether any of its lines does."""
    return any(_EQUIVALENT.search(line.text[:_LONGEST]) for line in working.lines)
