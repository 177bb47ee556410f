"""Potentials that a line of words names, and the point that they are counted from.

"Let V be the potential of b, with e at 0", "ground at g", "call the voltage of point a U". Whether a claim is
true with that is found out elsewhere. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from ..working import PotentialSaid
from .mapped import Mapped
from .naming import NamesInUse, name_of

_POINT = (
    r"(?:(?:the\s+)?(?:point|node|junction|knoten|nodo|punkt|punto|n(?:oe|œ)ud)\s+)?"
    r"\$?(?P<{}>\w{{1,12}})\$?(?![\w'′(])"
)
_NAME = r"\$?(?P<name>[VUφ](?:_?\{?\w{0,8}\}?)?)\$?(?![\w'′(])"
_LEVEL = r"(?:the\s+)?(?:potential|voltage|potentiel|potencial|spannung|tension)"
_NOTHING = r"(?:zero|null|cero|z[eé]ro|0(?![.\d])(?:\s?V\b)?)"
_GROUND = (
    r"(?:ground(?:ed)?|earth(?:ed)?|geerdet|(?:the\s+)?reference|datum|masse|tierra|bezugspunkt|referencia|"
    r"r[eé]f[eé]rence)"
)
_SPOKEN = r"(?:potential|potencial|potentiel|voltage|spannung|tension|node|nodal|knoten|nodo|n(?:oe|œ)ud)"
_ZEROS = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"(?<![\w.]){_POINT.format('zero')}\s+(?:(?:is|as|to|at|on|be|ist|als|es|est|comme|como|auf|a)\s+){{1,2}}(?:potential\s+)?"
        rf"(?:{_NOTHING}|{_GROUND})\b",
        rf"{_SPOKEN}[^-+*/·=−–(]{{0,80}}?(?<![\w.]){_POINT.format('zero')}\s{{0,9}}=\s{{0,9}}{_NOTHING}(?!\s{{0,9}}[-+*/·=])",
        rf"(?<![\w.]){_POINT.format('zero')}\s{{0,9}}[,:(=]?\s{{0,9}}{_GROUND}(?![\w])",
        rf"\b{_GROUND}(?:\s+(?:point|node|is|at|in|en|ist|es|est|be))*\s*[=:]?\s*{_POINT.format('zero')}",
    )
)
_AGAINST = (
    rf"(?:\s+(?:against|above|over|relative\s+to|with\s+respect\s+to|gegen)\s+{_POINT.format('against')})?"
)
_NAMED = tuple(
    re.compile(pattern, re.IGNORECASE)
    for pattern in (
        rf"(?<![\w.]){_NAME}\s*(?:=|:|(?:to\s+)?be\b|is\b|for\b|sei\b|ist\b|es\b|est\b)?\s*{_LEVEL}\s+"
        rf"(?:of|at|in|am|an|des|von|vom|de|du|en)\s+{_POINT.format('point')}{_AGAINST}",
        rf"\b{_LEVEL}\s+(?:of|at|in|am|an|des|von|de|du|en)\s+{_POINT.format('point')}\s*"
        rf"(?:(?:is|be|as|called|with|by)\s+)*{_NAME}(?!\s*[-+*/=])",
        rf"(?<![\d.])(?<![\d.]\s){_NAME}\s+at\s+{_POINT.format('point')}",
        rf"\bcount(?:ed|ing)?\s+{_NAME}\s+positive\s+at\s+{_POINT.format('point')}",
    )
)
_LONGEST = 300


def potentials_in(line: Mapped, names: NamesInUse) -> tuple[PotentialSaid, ...]:
    """The potentials that a line names, and (without a name) the point at which it puts the zero."""
    text = line.text
    if len(text) > _LONGEST:
        return ()
    found = dict.fromkeys((*_named(text, names), *_zeros(text, names)))
    return tuple(found)


def _named(text: str, names: NamesInUse) -> Iterator[PotentialSaid]:
    for pattern in _NAMED:
        for match in pattern.finditer(text):
            point = _point(match["point"], names)
            other = _point(match["against"], names) if match.groupdict().get("against") else ""
            name = name_of(match["name"])
            level = name[:1] in "VUφ" or (name[:1] in "uv" and name[1:].isdigit())
            if point and point != other and name not in names.circuit.elements and level:
                yield PotentialSaid(name, point, other)


def _zeros(text: str, names: NamesInUse) -> Iterator[PotentialSaid]:
    for pattern in _ZEROS:
        for match in pattern.finditer(text):
            point = _point(match["zero"], names)
            if point:
                yield PotentialSaid("", point)


def _point(written: str, names: NamesInUse) -> str:
    """The point that is meant; empty for a word, and for the name of a quantity."""
    point = names.point(written)
    return point if point is not None and name_of(written) not in names.known else ""
