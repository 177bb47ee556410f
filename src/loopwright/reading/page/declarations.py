"""What a working declares before its claims count: its arrows, and the names that it uses.

Arrows: `Ib: rail -> bus through E2`, `let Ib flow from rail to bus`. Names: those of the arrows, letters of
the working's own, and spellings that cannot be slips because both stand side by side (`I1 = i1`,
`V1 = E1 − I1 r`). Knows the names of the circuit's points and elements; whether such a branch exists is
found out elsewhere.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ...circuit.circuit import Circuit
from ...expressions.tokens import NAME
from ..working import ArrowSaid, Trouble
from .labels import label_at_front
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
_LONGEST = 300

_VOLTAGE = re.compile(r"(?<![^\W_])[VUvu]_?\{?(\d{1,3})\}?(?!\w)")
_DEFINED = re.compile(
    r"(?:^|[,;:.])\s{0,9}[VUvu]_?\{?\d{1,3}\}?\s{0,9}=(?!\s{0,9}[0-9.,]+\s{0,9}(?:m|k)?[Vv])"
)
_NAME = re.compile(r"([A-Za-zε])_?\{?(\d{1,3})|(?<![^\W_])([A-Za-zε])(?![^\W_])")
_LETTER = re.compile(r"(?<![\w'’])([IixyzJj])\s{0,3}[=≈+·*/]|[=≈+\-−·*/]\s{0,3}([IixyzJj])(?![\w'’(])")


def arrow_in(line: Mapped, names: NamesInUse) -> tuple[ArrowSaid | None, Trouble | None]:
    """The arrow that a line declares, if it is such a line; or what is wrong with it."""
    text = line.text.strip()
    if len(text) > _LONGEST or "=" in text.replace("=", "", text.count("= current")):
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


def names_in_use(lines: Sequence[Mapped], circuit: Circuit, given: tuple[str, ...]) -> NamesInUse:
    """The circuit's names, those given, and those of the working, with the spellings that are read so."""
    plain = NamesInUse(circuit, given)
    declared: dict[str, None] = dict.fromkeys(given)
    for line in lines:
        arrow = arrow_in(label_at_front(line, (), ())[1], plain)[0]
        if arrow is not None:
            declared[arrow.name] = None
    texts = [line.text for line in lines]
    letters = (letter for text in texts for match in _LETTER.finditer(text) for letter in match.groups())
    declared.update(dict.fromkeys(letter for letter in letters if letter and not plain.readings(letter)))
    apart = _apart(texts, plain)
    drops = _has_drops(texts, plain) or any(name[0] in "VUvu" for name in apart)
    return NamesInUse(circuit, tuple(declared), drops, frozenset(apart))


def _apart(texts: Iterable[str], names: NamesInUse) -> set[str]:
    """Spellings of a known name that stand in one line with it, and so are names of their own."""
    found: set[str] = set()
    for text in texts:
        said = {match[3] or match[1] + match[2] for match in _NAME.finditer(text)}
        for name in said - names.known:
            meant = names.readings(name)
            if len(meant) == 1 and meant[0] in said:
                found.add(name)
    currents = names.circuit.currents
    if any(name.swapcase() in currents for name in found):
        found.update(current.swapcase() for current in currents)  # i1 beside I1: so is i2 beside I2
    return found


def _has_drops(texts: Sequence[str], names: NamesInUse) -> bool:
    """Whether V1, V2, ... are the working's own names (drops) rather than emfs: one of them stands alone
    on the left of an equation, or has no battery of its number."""
    found = {match[1] for text in texts for match in _VOLTAGE.finditer(text)}
    if any(not names.readings(f"V{number}") for number in found):
        return True
    return any(_DEFINED.search(text) for text in texts)
