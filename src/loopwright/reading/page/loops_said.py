"""Currents round loops that a line of words declares, and round what each of them goes.

`Loop current ia round E1, R1, R3, through R1 from g to a`; several in one line; the sense may be left to
a figure ("clockwise"). Which loop of the circuit holds these elements is found out elsewhere.
"""

from __future__ import annotations

import re

from ...expressions.tokens import NAME
from ...expressions.values import symbols_of
from ..working import LoopSaid
from .mapped import Mapped
from .naming import NamesInUse, name_of
from .pieces import is_name

LOOP_CURRENTS = re.compile(
    r"\b(?:loop|mesh|circulating|cyclic|ring)[- ]currents?\b|\bmeshes\b|\bMaschenstr(?:om|öme)\b|"
    r"\b(?:corrientes?|correntes?)\s+de\s+mal(?:l|h)as?\b|\bcourants?\s+de\s+mailles?\b|"
    r"\bcorrent[ei]\s+di\s+magli[ae]\b|\bmaasstro(?:om|men)\b",
    re.IGNORECASE,
)  # as a line of words calls them, in six languages
ROUND_LOOPS = re.compile(
    rf"{LOOP_CURRENTS.pattern}|"
    r"\b(?:round|around|in)\s+(?:the\s+|each\s+|its\s+)?(?:\w+\s+)?(?:loop|mesh|window)\b|\bclockwise\b|"
    r"\bUhrzeigersinn\b|\bsentido\s+horario\b|\bsens\s+horaire\b|\bsenso\s+orario\b|\bmet\s+de\s+klok\b",
    re.IGNORECASE,
)
_MESHES = re.compile(
    r"\bmesh(?:es)?\b|\bwindows?\b|\bMaschenstr|\bde\s+mal(?:l|h)as?\b|\bde\s+mailles?\b|\bdi\s+magli[ae]\b|"
    r"\bmaasstro",
    re.IGNORECASE,
)
_OUTER = re.compile(r"\b(?:outer|outside|big|whole|large|perimeter|super-?mesh\w*)\b", re.IGNORECASE)
_WAY_ROUND = re.compile(
    r"(?P<against>counter|anti|gegen\s+den\s+)?-?\s?(?:clockwise|Uhrzeigersinn|(?:sentido\s+)?horario|(?:sens\s+)?horaire|"
    r"(?:senso\s+)?orario)|\bc(?P<other>c?)w\b",
    re.IGNORECASE,
)
_IN_BRACKETS = re.compile(r"\((?:\s*(?:through|via|along|over)\s+)?", re.IGNORECASE)
_ROUND = re.compile(
    r"\b(?:(?:circulat(?:es?|ing)\s+)?(?:round|around|about)|circulat(?:es?|ing)\s+(?:through|via|along|over|in))\b\s*"
    r"(?:the\s+)?(?:loop\s+(?:of\s+)?)?[(:]?",
    re.IGNORECASE,
)
_ITEM = re.compile(
    rf"\s*(?:(?:,|;|&|\+|-|−|–|->|→|\band\b|\bthen\b)\s*)*(?:the\s+)?({NAME.pattern})", re.IGNORECASE
)
_POINT = r"(?:point\s+|node\s+|junction\s+)?(\w[\w'′]*)"
_THROUGH = rf"(?:through|via|along|in|across)\s+(?:the\s+)?({NAME.pattern})"
_WORDS = r"[)\s,;]*(?:[a-z]+\s+){0,3}?"
_SENSES = (
    (re.compile(rf"{_WORDS}{_THROUGH},?\s+from\s+{_POINT}\s+to\s+{_POINT}", re.IGNORECASE), (1, 2, 3)),
    (re.compile(rf"{_WORDS}from\s+{_POINT}\s+to\s+{_POINT}\s+{_THROUGH}", re.IGNORECASE), (3, 1, 2)),
    (re.compile(rf"{_WORDS}from\s+{_POINT}\s+{_THROUGH}\s+to\s+{_POINT}", re.IGNORECASE), (2, 1, 3)),
    (
        re.compile(
            rf"[^.;()]{{0,60}}[(,]\s*({NAME.pattern})\s+(?:first\s+)?from\s+{_POINT}\s+to\s+{_POINT}",
            re.IGNORECASE,
        ),
        (1, 2, 3),
    ),
)
_CURRENT = re.compile(r"\b(?:loop|mesh|circulating|cyclic|ring)?[- ]?currents?\s+$", re.IGNORECASE)
_OF_AN_EQUATION = re.compile(r"(?:^|(?<=;))[^;=≈]*[=≈][^;]*")
_OF_LOOPS = re.compile(
    r"\b(?:loops?|mesh(?:es)?|windows?|maschen?|mallas?|mailles?|clockwise|cw|uhrzeigersinn)\b", re.IGNORECASE
)
_LISTED = re.compile(
    rf"(?:(?<=\band\s)|(?<![\w=+*/·×)]\s))(?<![\w=+*/·×)])({NAME.pattern})\s{{0,3}}[=:(]\s{{0,3}}(?=({NAME.pattern})(?:\s*[,–→]\s*|\s*->\s*|\s+){NAME.pattern})"
)
_GOES_ON = re.compile(r"\s*[+*/·×(=≈^-](?!/)")
_BESIDE = re.compile(r"\s*(?:\|\||∥|//)\s*\w")
_AND_THEN = re.compile(rf"(?:\s*[,–→]\s*|\s*->\s*|\s+)?(?:(?:and|with|then)\s+)?({NAME.pattern})(?!\s*[=:])")
_LONGEST = 400


def loops_in(line: Mapped, names: NamesInUse) -> tuple[LoopSaid, ...]:
    """The loop currents that a line declares with the elements of their loops; none in a part between
    semicolons that holds an equation."""
    text = _OF_AN_EQUATION.sub(lambda part: " " * len(part[0]), line.text[: _LONGEST + 1])
    if len(text) > _LONGEST:
        return ()
    found: list[LoopSaid] = []
    begin = 0
    places = [*_ROUND.finditer(text)]
    if not places and LOOP_CURRENTS.search(text):
        places = [*_IN_BRACKETS.finditer(text)]  # mesh currents i1 left (E1, R1, R2), i2 right (R2, E2)
    for match in places:
        name = _last_name(text[begin : match.start()], names)
        elements, end = _elements(text, match.end(), names, _ITEM)
        begin = end
        if name and len(elements) > 1:
            found.append(LoopSaid(name, elements, *_sense(text[end:], names)))
    return tuple(found)


def run_one_way(line: Mapped) -> bool:
    """Whether a line says of mesh currents that they all run clockwise, or all against the clock."""
    ways = {bool(m["against"] or m["other"]) for m in _WAY_ROUND.finditer(line.text)}
    return len(ways) == 1 and bool(_MESHES.search(line.text)) and not _OUTER.search(line.text)


def loops_listed(line: Mapped, names: NamesInUse) -> tuple[tuple[LoopSaid, ...], Mapped]:
    """The loop currents that a line about loops lists with their elements, `loops: a = E1 R1 R2, b = R2 R3`,
    and the line without these lists, which are no equations."""
    text = line.text
    if len(text) > _LONGEST or not _OF_LOOPS.search(text):
        return (), line
    found: list[LoopSaid] = []
    spans: list[tuple[int, int]] = []
    for match in _LISTED.finditer(text):
        name = name_of(match[1])
        elements, end = _elements(text, match.end(), names, _AND_THEN)
        own = name not in (*names.circuit.elements, *names.circuit.currents)
        if _BESIDE.match(text, end):  # R3||R4 = 1.5k at the end of a list is a claim besides
            end = text.rindex(elements[-1], 0, end)
        if own and len(elements) > 1 and not _GOES_ON.match(text, end):
            found.append(LoopSaid(name, elements))
            spans.append((match.start(), end))
    if len(found) < 2 and not any(len(loop.round) > 2 for loop in found):
        return (), line
    return tuple(found), line.blanked(spans)


def _last_name(text: str, names: NamesInUse) -> str:
    """The name of a current nearest before a place; empty where there is none."""
    for match in reversed(list(NAME.finditer(text))):
        name = name_of(match[0])
        own = name not in "aA" if len(name) == 1 else name[-1].isdigit()
        last = own and not text[match.end() :].strip()  # p round E1, R1; k3 circulates through them
        close = last or bool(_CURRENT.search(text[: match.start()]))  # the loop current K1 round E1, R1
        element = names.circuit.elements.get(names.read(name)[0])
        if element is not None and element.fixes_current and close:
            return names.read(name)[0]  # the current of a source goes round a loop of its own
        if not (close or name[:1] in "IiJjxyz") or name in names.circuit.elements:
            continue
        if is_name(match[0], names):
            return names.read(name)[0] if name in names.known else name
    return ""


def _elements(text: str, start: int, names: NamesInUse, item: re.Pattern[str]) -> tuple[tuple[str, ...], int]:
    """The elements listed from a place on, each as `item` has it, and where the list ends; internal
    resistances go with their batteries."""
    found: list[str] = []
    elements = names.circuit.elements
    inside = {s for e in elements.values() if e.internal is not None for s in symbols_of(e.internal)}
    while match := item.match(text, start):
        element = names.read(name_of(match[1]))[0]
        if element not in elements and not (found and element in inside):
            break
        found += [element] if element in elements else []
        start = match.end()
    return tuple(dict.fromkeys(found)), start


def _sense(text: str, names: NamesInUse) -> tuple[str, str, str]:
    """The element that a loop current passes, from which point to which; empty where that is not said."""
    for pattern, (passing, start, end) in _SENSES:
        match = pattern.match(text)
        if match is None:
            continue
        element = names.read(name_of(match[passing]))[0]
        points = names.point(match[start]), names.point(match[end])
        if element in names.circuit.elements and points[0] and points[1]:
            return element, points[0], points[1]
    return "", "", ""
