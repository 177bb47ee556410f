"""A current told with its size and its way, put as an equation: `current in R3 = 0.18 A from a to b`,
`R3: 0.18 A, a to b`, `0.18 A through R3 from a to b`.

Its sign is that of the way against the arrow of the branch: the one that the working declares, else that of
the problem. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from ...circuit.circuit import Circuit
from ..working import ArrowSaid
from .mapped import Mapped
from .naming import NamesInUse

_POINT = r"(?:the\s+)?(?:point\s+|node\s+|junction\s+)?\w[\w'′]*"
_TO = r"(?:to|towards?|nach|zu|vers|à|hacia|a|[-−–]{{1,2}}>|→)"
_WAY = (
    rf"\s*[,(]?\s*(?:(?:flowing|flows|running|runs|going)\s+)?(?:(?:from|von|de|desde)\s+)?(?P<{{0}}start>{_POINT})"
    rf"\s*{_TO}\s*(?P<{{0}}end>{_POINT})\)?(?=\s*(?:$|[,;.)]|\band\b))"
)
_SIZE = r"(?P<{0}size>[-−–]?\s?[\d(.½¼¾⅓⅔][\d.,()/ ½¼¾⅓⅔]{{0,30}}?)\s?(?P<{0}unit>[mµk]?A|amp(?:ere)?s?)\b"
_ELEMENT = r"(?:the\s+)?(?P<{0}element>[^\W\d_][\w{{}}]{{0,9}})"
_FORMS = (
    rf"(?:\bthe\s+)?\bcurrent\s+(?:in|through|of)\s+{_ELEMENT}\s*(?:=|≈|~=|:|\bis\b)\s*{_SIZE}{_WAY}",
    rf"(?<![=+*/·×^−–-]\s)(?<![\w)\]=+*/·×^−–-]){_ELEMENT}\s{{{{0,3}}}}:\s*{_SIZE}{_WAY}",
    rf"(?<![\d/=≈+*·×^]\s)(?<![\w.,/=≈+*·×^)]){_SIZE}\s+(?:(?:flows?|flowing|goes|runs)\s+)?(?:through|in)\s+{_ELEMENT}{_WAY}",
)
_TOLD = re.compile(
    "|".join(f"(?:{form.format(mark)})" for form, mark in zip(_FORMS, "abc", strict=True)), re.I
)


def currents_with_their_way(
    line: Mapped, names: NamesInUse, arrows: Mapping[str, ArrowSaid]
) -> tuple[Mapped, frozenset[int]]:
    """The line with such results as equations, and where in the text as typed these begin. `arrows`: those
    declared so far, by the current."""
    told: set[int] = set()

    def as_equation(match: re.Match[str]) -> str:
        equation = _told(match, names, arrows)
        if equation != match[0]:
            told.add(line.place(match.start()))
        return equation

    return line.replaced(_TOLD, as_equation), frozenset(told)


def _told(match: re.Match[str], names: NamesInUse, arrows: Mapping[str, ArrowSaid]) -> str:
    mark = next(m for m in "abc" if match[f"{m}element"] is not None)
    said = {what: match[f"{mark}{what}"] for what in ("element", "size", "unit", "start", "end")}
    element = names.element(said["element"])
    way = [names.point(re.split(r"\s+", said[end])[-1]) for end in ("start", "end")]
    if element is None or element not in names.met or None in way:
        return match[0]
    current = names.circuit.branch_of(element).name
    sense = _sense(names.circuit, current, [point for point in way if point], arrows)
    if not sense:
        return match[0]
    size = said["size"].strip()
    if sense < 0:
        size = size[1:].strip() if size[0] in "-−–" else f"-{size}"
    return f"{current} = {size} {said['unit']}"


def _sense(circuit: Circuit, current: str, way: Sequence[str], arrows: Mapping[str, ArrowSaid]) -> int:
    """+1 where a way runs with the arrow of a branch, −1 against it, 0 where it does not lead along it."""
    arrow = arrows.get(current)
    points = (arrow.start, arrow.end) if arrow is not None else circuit.branch(current).points
    if way[0] not in points or way[1] not in points:
        return 0
    steps = list(points)
    return (steps.index(way[1]) > steps.index(way[0])) - (steps.index(way[1]) < steps.index(way[0]))
