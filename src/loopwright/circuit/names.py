"""How names of elements, currents and points are read, and which known name is nearest to a mistyped one.

`R_1`, `R_{1}` and `R₁` are the name `R1`; `R'` is `R′`. Knows no circuit.
"""

from __future__ import annotations

import difflib
import re
import unicodedata
from collections.abc import Iterable
from functools import lru_cache

from ..expressions.nodes import Symbol
from ..expressions.tokens import Unreadable, canonical_name, tokens_of

_POINT = re.compile(r"\w[\w′]*")


@lru_cache(maxsize=4096)  # a file says its names again and again
def quantity_name(text: str) -> str | None:
    """The name of an element, current or symbol as formulas keep it: `R_1` and `R₁` give `R1`.

    None when the text is not one name as the grammar of expressions has it.
    """
    name = canonical_name(text.strip())
    try:
        tokens = tokens_of(name)
    except Unreadable:
        return None
    return name if [token.leaf for token in tokens] == [Symbol(name), None] and "(" not in name else None


def point_name(text: str) -> str | None:
    """The name of a point: letters, digits, underscores and primes; None otherwise."""
    name = unicodedata.normalize("NFKC", text.strip()).replace("'", "′")
    return name if _POINT.fullmatch(name) else None


def nearest(name: str, known: Iterable[str]) -> str | None:
    """The known name that a mistyped one most likely means; None when none is near."""
    names = list(dict.fromkeys(known))
    by_lower = {other.lower(): other for other in reversed(names)}
    if name.lower() in by_lower:
        return by_lower[name.lower()]
    found = difflib.get_close_matches(name.lower(), by_lower, n=1, cutoff=0.6)
    return by_lower[found[0]] if found else None


def listed(names: Iterable[str], joint: str = "and") -> str:
    """Names as a person lists them: `a`, `a and b`, `a, b and c`."""
    items = list(names)
    return f" {joint} ".join([", ".join(items[:-1]), items[-1]] if len(items) > 1 else items)
