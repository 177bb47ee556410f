"""A way through the circuit, walked from point to point: `A → E1 → R1 → B → R3 → A`, also in words: `from A
through E1 and R1 to B, through R3 back to A`, `A to B through E1, then B to A through R3`.

It says where a loop goes, and no quantity of it tends to another. Where it comes back to where it began and
stands behind the name of a current, that current goes round there. Common practice, no source.
"""

from __future__ import annotations

import re
from itertools import pairwise

from ...expressions.tokens import NAME
from ..working import LoopSaid
from .mapped import Mapped
from .naming import NamesInUse, name_of
from .pieces import is_name

_ARROW = r"\s*(?:[-−–]{1,2}>|→|⟶|⇒)\s*"
_ITEM = r"[^\W_][\w{}'′]*"
_WALK = re.compile(rf"(?<![\w}}])({_ITEM}(?:{_ARROW}{_ITEM}){{2,40}})(?![\w{{(]|{_ARROW}|\s*[-=≈+*/·−])")
_WAY = re.compile(rf"(?<![\w}}])({_ITEM}(?:{_ARROW}{_ITEM})+)(?![\w{{(]|{_ARROW}|\s*[-=≈+*/·−])")
_HOP = re.compile(_ARROW)
_LABELLED = re.compile(
    r"(?:loop|mesh|window|path|way|masche|malla|maille|maglia)\s*(?:no\.?\s*)?$", re.IGNORECASE
)
_SMALL = re.compile(
    r"to|from|through|via|along|over|in|and|then|back|round|around|the|point|node|junction|again|into|next|on",
    re.IGNORECASE,
)
_BETWEEN = re.compile(rf"(?:\s|,|;|[-−–]{{1,2}}>?|→|⟶|⇒|\b(?:{_SMALL.pattern})\b)+", re.IGNORECASE)
_GOES_ON = re.compile(r"[\w{(]|\s*[-=≈+*/·−]")
_WORDS = re.compile(r"\s*(?::|,|=|\()?\s*(?:[^\W\d_]{2,}\s+){0,5}(?:[^\W\d_]{2,}\s*)?[:,(]?\s*")


def walks_in(line: Mapped, names: NamesInUse) -> tuple[tuple[LoopSaid, ...], Mapped]:
    """The loop currents that a line declares by walking round, and the line without all that is walked."""
    found, spans = _closed_ways(line.text, names)
    if found or ("→" not in line.text and ">" not in line.text and "⟶" not in line.text):
        return tuple(found), line.blanked(spans) if spans else line
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


def without_ways(line: Mapped, names: NamesInUse) -> Mapped:
    """The line without the ways that lead over points alone, `(so really n → k)`."""
    ways = (match for match in _WAY.finditer(line.text)) if _HOP.search(line.text) else ()
    spans = [w.span(1) for w in ways if all(one in names.places for one in _HOP.split(w[1]))]
    return line.blanked(spans) if spans else line


def _closed_ways(text: str, names: NamesInUse) -> tuple[list[LoopSaid], list[tuple[int, int]]]:
    """The loop currents that a line declares by ways that end where they began, each with its place."""
    found: list[LoopSaid] = []
    spans: list[tuple[int, int]] = []
    for run in _runs(text, names):
        start, end = run[0][0].start(), run[-1][0].end()
        name = _name_before(text[spans[-1][1] if spans else 0 : start], names)
        back = text.find("back", start, end)
        out = sum(match.start() < back for match, _ in run)
        way = _there_and_back([step for _, step in run], out) or _stretches([step for _, step in run])
        if name and way and len(way) > 1 and way[0][0] == way[-1][2] and not _GOES_ON.match(text, end):
            first, passed, last = way[0]
            found.append(LoopSaid(name, tuple(e for _, p, _ in way for e in p), passed[0], first, last))
            spans.append((start, end))
    return found, spans


def _runs(text: str, names: NamesInUse) -> list[list[tuple[re.Match[str], tuple[str, str]]]]:
    """What a line lists of points and elements with nothing but arrows, stops and small words between."""
    runs: list[list[tuple[re.Match[str], tuple[str, str]]]] = [[]]
    for match in re.finditer(_ITEM, text):
        step = None if _SMALL.fullmatch(match[0]) else _step(match[0], names)
        if runs[-1] and not _BETWEEN.fullmatch(text[runs[-1][-1][0].end() : match.start()]):
            if step is None and _SMALL.fullmatch(match[0]):
                continue
            runs.append([])
        if step is not None:
            runs[-1].append((match, step))
    return [run for run in runs if len(run) > 3]


def _there_and_back(steps: list[tuple[str, str]], out: int) -> list[tuple[str, tuple[str, ...], str]]:
    """The two stretches of `from a to b through R1 and back through R2` or `from a through R1 to b and back
    through R2`, of which the first has so many points and elements (`out`); nothing for anything else."""
    points = [point for point, _ in steps[:out] if point]
    there = tuple(element for _, element in steps[:out] if element)
    return_way = tuple(element for _, element in steps[out:] if element)
    if len(points) != 2 or not there or not return_way or not steps[0][0]:
        return []
    if any(point and point != points[0] for point, _ in steps[out:]):
        return []
    return [(points[0], there, points[1]), (points[1], return_way, points[0])]


def _stretches(steps: list[tuple[str, str]]) -> list[tuple[str, tuple[str, ...], str]]:
    """A way as stretches, each with the point where it begins, the elements it passes, and the point where it
    ends: told in the order met, or each as `A to B through R1`. Nothing where it is told in neither way."""
    kinds = "".join("p" if point else "e" for point, _ in steps)
    at = [point or element for point, element in steps]
    if re.fullmatch(r"p(?:e+p+)+", kinds):
        ends = [(m.start(), m.end()) for m in re.finditer(r"pe+(?=p)", kinds)]
        found = [(at[start], tuple(at[start + 1 : end]), at[end]) for start, end in ends]
    elif re.fullmatch(r"(?:ppe+){2,}", kinds):
        ends = [(m.start(), m.end()) for m in re.finditer(r"ppe+", kinds)]
        found = [(at[start], tuple(at[start + 2 : end]), at[start + 1]) for start, end in ends]
    else:
        return []
    joined = all(one[2] == next_one[0] for one, next_one in pairwise(found))
    return found if joined else []


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
    for match in reversed(list(NAME.finditer(text))):
        name = name_of(match[0])
        whole = is_name(match[0], names) or len(name) == 1
        if not _WORDS.fullmatch(text, match.end()):
            break
        if whole and name not in names.circuit.elements and not names.point(match[0]):
            return "" if _LABELLED.search(text[: match.start()]) else name
    return ""
