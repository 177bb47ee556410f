"""Arrows declared in a working: `I1: top -> foot through R1`, `let I1 flow from top to foot`.

Knows the names of the circuit's points and elements; whether such a branch exists is found out elsewhere.
"""

from __future__ import annotations

import re

from ...expressions.tokens import NAME
from ..working import ArrowSaid, Trouble
from .mapped import Mapped
from .naming import NamesInUse, name_of

_POINT = r"\w[\w'′]*"
_ARROW = r"(?:->|-->|→|⟶|\bto\b|\btowards?\b|\binto\b)"
_THROUGH = r"(?:through|via|along|across|in|over|by way of)"
_FLOW = (
    r"(?:(?:be|is|are|flow(?:s|ing)?|run(?:s|ning)?|go(?:es|ing)?|pass(?:es|ing)?|point(?:s|ing)?|the|a|branch|current|"
    r"arrow|positive|counted|drawn|taken|as|down|up|left|right|downwards?|upwards?)\s+)*"
)
_LEAD = (
    r"\s*(?:(?:let|take|choose|define|call|say|arrows?|currents?|the|assume|suppose|set|and|where|with|that)"
    r"\b[\s:]*)*"
)
_LIST = rf"{_THROUGH}\s+(?P<{{}}>[^.;:=→>]+?)"
_DECLARED = re.compile(
    rf"{_LEAD}(?P<name>{NAME.pattern})\s*(?:[:,=]\s*|\s)\s*{_FLOW}(?:{_LIST.format('first')}\s+)?"
    rf"(?:from\s+|:\s*)?(?:point\s+|junction\s+|node\s+)?(?P<start>{_POINT})\s*{_ARROW}\s*"
    rf"(?P<rest>.*?)\s*[.;,]?\s*",
    re.IGNORECASE | re.DOTALL,
)
_REST = re.compile(
    rf"(?:point\s+|junction\s+|node\s+|the\s+)*(?P<end>{_POINT})(?:\s*,?\s*\(?\s*{_LIST.format('last')}\)?)?",
    re.IGNORECASE,
)
_LISTED = re.compile(r"\s*(?:,|&|\band\b|\bthen\b|\+)\s*", re.IGNORECASE)
_HOPS = re.compile(r"\s*(?:->|-->|→|⟶)\s*")
LONGEST = 300


def arrow_in(line: Mapped, names: NamesInUse) -> tuple[ArrowSaid | None, Trouble | None]:
    """The arrow that a line declares, if it is such a line; or what is wrong with it."""
    text = line.text.strip()
    if len(text) > LONGEST or "=" in text.replace("=", "", text.count("= current")):
        return None, None
    match = _DECLARED.fullmatch(text)
    if match is None:
        return None, None
    name = name_of(match["name"])
    return _with_points(match, name, names, line)


def _with_points(
    match: re.Match[str], name: str, names: NamesInUse, line: Mapped
) -> tuple[ArrowSaid | None, Trouble | None]:
    hops = _HOPS.split(match["rest"])
    rest = _REST.fullmatch(hops[-1])
    if rest is None:
        return None, None
    start, end = names.point(match["start"]), names.point(rest["end"])
    elements = [*hops[:-1], *_elements(match["first"]), *_elements(rest["last"])]
    read = [_element(one, names) for one in elements]
    known = name in names.known or name in names.spellings
    if start is None or end is None:
        sure = (start is not None or end is not None) and known
        missing = match["start"] if start is None else rest["end"]
        return None, (_no_such("point", missing, line) if sure else None)
    if None in read:
        missing = next(one for one, found in zip(elements, read, strict=True) if found is None)
        return None, _no_such("element", missing, line)
    found = tuple(one for one in read if one)
    return ArrowSaid(names.read(name)[0], start, end, found), None


def _elements(text: str | None) -> list[str]:
    return [one.strip() for one in _LISTED.split(text or "") if one.strip()]


def _element(written: str, names: NamesInUse) -> str | None:
    """The element's name; empty for a point on the way, None for neither."""
    name = names.read(name_of(written.removeprefix("the ").strip()))[0]
    if name in names.circuit.elements:
        return name
    return "" if names.point(written) else None


def _no_such(what: str, written: str, line: Mapped) -> Trouble:
    at = max(line.text.find(written), 0)
    return Trouble(f"there is no {what} {written} in this circuit", line.place(at))
