"""A way through the circuit, walked from point to point: `A → E1 → R1 → B → R3 → A`.

It says where a loop goes, and no quantity of it tends to another. Where it comes back to where it began and
stands behind the name of a current, that current goes round there. Common practice, no source.
"""

from __future__ import annotations

import re

from ...expressions.tokens import NAME
from ..working import LoopSaid
from .mapped import Mapped
from .naming import NamesInUse, name_of
from .pieces import is_name

_ARROW = r"\s*(?:[-−–]{1,2}>|→|⟶|⇒)\s*"
_ITEM = r"[^\W_][\w{}'′]*"
_WALK = re.compile(rf"(?<![\w}}])({_ITEM}(?:{_ARROW}{_ITEM}){{2,40}})(?![\w{{(]|{_ARROW}|\s*[-=≈+*/·−])")
_HOP = re.compile(_ARROW)
_LABELLED = re.compile(
    r"(?:loop|mesh|window|path|way|masche|malla|maille|maglia)\s*(?:no\.?\s*)?$", re.IGNORECASE
)
_LAST = re.compile(rf"({NAME.pattern})\s*(?::|,|=|\()?\s*(?:[^\W\d_]{{2,}}\s+){{0,5}}$")


def walks_in(line: Mapped, names: NamesInUse) -> tuple[tuple[LoopSaid, ...], Mapped]:
    """The loop currents that a line declares by walking round, and the line without all that is walked."""
    if "→" not in line.text and ">" not in line.text and "⟶" not in line.text:
        return (), line
    found: list[LoopSaid] = []
    spans: list[tuple[int, int]] = []
    for match in _WALK.finditer(line.text):
        steps = [_step(one, names) for one in _HOP.split(match[1])]
        if None in steps or not _is_walk([step for step in steps if step is not None]):
            continue
        walk = [step for step in steps if step is not None]
        name = _name_before(line.text[spans[-1][1] if spans else 0 : match.start()], names)
        loop = _round(name, walk) if name else None
        if loop is not None:
            found.append(loop)
        spans.append(match.span(1))
    return tuple(found), line.blanked(spans) if spans else line


def _step(written: str, names: NamesInUse) -> tuple[str, str] | None:
    """A point or an element that is walked by: (point, "") or ("", element); None for anything else."""
    point = names.point(written)
    if point is not None and not (written in names.met and written not in names.places):
        return point, ""
    element = names.element(written)
    return ("", element) if element is not None else None


def _is_walk(walk: list[tuple[str, str]]) -> bool:
    """Whether it leads by an element from one point, or over elements round a loop. `R1 → R2 → 0` leads
    nowhere, where 0 is the name of a point too."""
    points = [point for point, _ in walk if point]
    elements = [element for _, element in walk if element]
    named = any(not point.isdigit() for point in points) or len(points) > 1
    return bool(elements) and (named or len(elements) > 2)


def _round(name: str, walk: list[tuple[str, str]]) -> LoopSaid | None:
    """The loop current of that name, if the walk ends where it began."""
    elements = tuple(dict.fromkeys(element for _, element in walk if element))
    if len(elements) < 2:
        return None
    if not walk[0][0] or walk[0] != walk[-1]:
        return LoopSaid(name, elements) if not any(point for point, _ in walk) else None
    at = next(index for index, (_, element) in enumerate(walk) if element)
    start = next(point for point, _ in reversed(walk[:at]) if point)
    end = next(point for point, _ in walk[at:] if point)
    return LoopSaid(name, elements, walk[at][1], start, end)


def _name_before(text: str, names: NamesInUse) -> str:
    """The current that the words before a walk speak of; empty where they only number the loop."""
    match = _LAST.search(text)
    while match is not None:
        name = name_of(match[1])
        whole = is_name(match[1], names) or len(name) == 1
        if whole and name not in names.circuit.elements and not names.point(match[1]):
            return "" if _LABELLED.search(text[: match.start()]) else name
        text = text[: match.start()]
        match = _LAST.search(text)
    return ""
