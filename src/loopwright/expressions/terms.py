"""British and American words: one table, and the one place where words of ours go through it.

All words of the product are written in British terms. What a person wrote (a story, names of points and
elements, whatever stands between double quotes) is theirs and stays. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Collection

from .said import Said

AMERICAN = {
    "any more": "anymore",
    "cancelled": "canceled",
    "catalogue": "catalog",
    "per cent": "percent",
    "potential difference": "voltage",
    "round": "around",
    "towards": "toward",
    "travelled": "traveled",
}
LANGUAGE = {"british": "en-GB", "american": "en-US"}

_BRITISH = "|".join(map(re.escape, sorted(AMERICAN, key=len, reverse=True)))
_WORD = re.compile(rf'"[^"\n]*"|(?<![\w-])(?:{_BRITISH})(?![\w-])', re.IGNORECASE)


def in_terms(words: str, terms: str, own: Collection[str] = ()) -> str:
    """Words of ours in British or American terms (`"british"`, or empty, and `"american"`). `own`: words of
    the person's own that stay as they are, whole texts or names."""
    if terms != "american" or words in own:
        return words
    return _WORD.sub(lambda match: match[0] if match[0] in own else _american(match[0]), words)


def said_in_terms(said: Said, terms: str, own: Collection[str] = ()) -> Said:
    """The same of running text; its formulas stay."""
    if terms != "american":
        return said
    return tuple(in_terms(piece, terms, own) if type(piece) is str else piece for piece in said)


def _american(word: str) -> str:
    found = AMERICAN.get(word.lower(), word)
    return found[0].upper() + found[1:] if word[0].isupper() else found
