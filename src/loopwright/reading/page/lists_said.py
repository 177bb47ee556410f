"""Several quantities before one sign and as many values after it: `(I1, I2, I3) = (−1, 3, 2) A`."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from .naming import NamesInUse, name_of
from .pieces import RELATIONS

Span = tuple[int, int]

_ROUND = re.compile(
    r"[(\[]([^()\[\]=,]{1,40}(?:,[^()\[\]=,]{1,40}){1,20})[)\]]\s{0,9}(=|≈)\s{0,9}"
    r"[(\[]([^()\[\]=]{1,400})[)\]]\s{0,9}([a-zA-ZµΩ]{1,4}\b|(?!\w))"
)
_BARE = re.compile(
    r"(?:^|[;:.]\s|\b(?:so|thus|hence|then|are|get|find)\s)\s{0,9}"
    r"([^\W\d_][\w{}'′]{0,20}(?:\s{0,9},\s{0,9}[^\W\d_][\w{}'′]{0,20}){1,20}"
    r"(?:\s{0,9},?\s{0,9}\band\s{1,9}[^\W\d_][\w{}'′]{0,20})?)\s{0,9}(=|≈)\s{0,9}([^;=:→]{1,400})"
)
_COMMA = re.compile(r"\s*(?:,\s*and\b|,|\band\b)\s*")


@dataclass(frozen=True, slots=True)
class Listed:
    """A list on each side of a sign: the places of their items, and the unit behind the values."""

    left: tuple[Span, ...]
    relation: str
    right: tuple[Span, ...]
    unit: str
    span: Span


def lists_in(text: str, names: NamesInUse) -> Iterator[Listed]:
    """The lists of names with values in a line; none unless every name is one of a quantity in use."""
    if "," not in text:
        return
    for pattern in (_ROUND, _BARE):
        for match in pattern.finditer(text):
            left = _items(text, match.span(1))
            if len(left) > 1 and all(names.readings(name_of(text[a:b])) for a, b in left):
                unit = match[4] if pattern is _ROUND else ""
                right = _items(text, match.span(3))
                yield Listed(left, RELATIONS[match[2]], right, unit, match.span())
                return


def _items(text: str, span: Span) -> tuple[Span, ...]:
    """The places of the items between commas, without the space round them."""
    found: list[Span] = []
    start = span[0]
    ends = [match.span() for match in _COMMA.finditer(text, *span)]
    for end, following in [*ends, (span[1], span[1])]:
        item = text[start:end]
        lead = len(item) - len(item.lstrip())
        if item.strip():
            found.append((start + lead, start + lead + len(item.strip().rstrip("."))))
        start = following
    return tuple(found)
