"""Arrows declared several at a time, or with the words in another order than name, start, end.

A list: `Let I1 run from a to b in R1, I2 from b to a in R2`; marks in brackets: `I1 (a → b, R1); I2 (b → a)`;
the element before the name: `I call the current in R3 I3, it goes from a to b`; a table with a row for each
current. What one arrow says is read by `declarations`; this only tells where each begins and ends, and puts
its words in that order. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from ...expressions.tokens import NAME
from ..working import ArrowSaid
from .mapped import Mapped
from .tables_of_parts import BAR, RULE

_STOP = re.compile(r"\s*(?:[,;]|&|\band\b)\s*", re.IGNORECASE)
_OPENING = re.compile(
    r"\s*(?:[\w'’]+\s+){0,5}?(?:currents?|arrows?|directions?|senses?|branches)(?:\s+[\w'’]+){0,5}\s*:\s*",
    re.IGNORECASE,
)  # "My arrows:", "branch currents as I drew them:"
_WAY = re.compile(r"\s*[\w'′]+\s*(?:[-−–]{1,2}>|→|⟶|\bto\b|\btowards\b)\s*[\w'′]+\s*", re.IGNORECASE)
_BRACKETED = re.compile(rf"\s*(?P<name>{NAME.pattern})\s*[:=]?\s*[(\[](?P<said>[^()\[\]]+)[)\]][\s.]*")
_CALLED = re.compile(
    rf"\s*(?:(?:i|we|let|take|call|calls?|the|branch|and)\s+){{0,4}}currents?\s+(?:in|through|of|via)\s+(?P<through>[^,;:=]+?)\s*"
    rf"(?:\b(?:is|be|called|named|as|by)\s+|[:,=]\s*|\s){{1,3}}(?P<name>{NAME.pattern})\s*"
    rf"(?:[,;:(]|\b(?:it|which|that|and|counted|positive|with|arrow)\b|\s){{0,6}}"
    rf"(?:\b(?:goes|runs|flows|points|is|going|running|flowing|counted)\s+)?(?:from\s+)?(?P<way>{_WAY.pattern})[\s.)]*",
    re.IGNORECASE,
)
_HEADS = {
    "name": re.compile(r"(?:current|arrow|name|symbol|branch)s?", re.IGNORECASE),
    "through": re.compile(r"(?:through|in|via|element|resistor|branch|part)s?", re.IGNORECASE),
    "start": re.compile(r"(?:from|start|tail|leaves?)", re.IGNORECASE),
    "end": re.compile(r"(?:to|end|head|towards|enters?)", re.IGNORECASE),
}
_LONGEST = 700
_MOST_STOPS = 40
_MOST_TOGETHER = 6  # stops within what is said of one arrow


def arrows_listed(line: Mapped, read: Callable[[Mapped], ArrowSaid | None]) -> tuple[ArrowSaid, ...]:
    """The arrows that all of a line declares, one after another; none where some of it says something else.
    `read`: what one arrow by itself says, with its name first."""
    text = line.text
    if len(text) > _LONGEST:
        return ()
    opening = _OPENING.match(text)
    start = opening.end() if opening else 0
    stops = [
        m.span()
        for m in _STOP.finditer(text, start)
        if text[start : m.start()].count("(") == text[start : m.start()].count(")")
    ]
    if len(stops) > _MOST_STOPS:
        return ()
    edges = [(start, start), *stops, (len(text), len(text))]
    found: list[tuple[ArrowSaid, ...] | None] = [(), *(None for _ in edges[1:])]
    for at in range(1, len(edges)):
        for before in range(at - 1, max(at - _MOST_TOGETHER, 0) - 1, -1):
            above = found[before]
            part = line.part(edges[before][1], edges[at][0])
            if above is None or not part.text.strip():
                continue
            arrow = read(part) or _in_order(part, read)
            if arrow is not None:
                found[at] = (*above, arrow)
                break
    return found[-1] or ()


def _in_order(part: Mapped, read: Callable[[Mapped], ArrowSaid | None]) -> ArrowSaid | None:
    """One arrow whose words stand in another order."""
    if (bracketed := _BRACKETED.fullmatch(part.text)) is not None:
        said = [one.strip() for one in _STOP.split(bracketed["said"])]
        ways = [one for one in said if _WAY.fullmatch(one)]
        others = [re.sub(r"^(?:through|in|via)\s+", "", one) for one in said if one not in ways]
        if len(ways) == 1:
            return read(_sentence(bracketed["name"], ways[0], others))
    if (called := _CALLED.fullmatch(part.text)) is not None:
        return read(_sentence(called["name"], called["way"], [called["through"]]))
    return None


def _sentence(name: str, way: str, through: Sequence[str]) -> Mapped:
    """The usual order; all of it is said to stand where the line begins."""
    text = f"{name}: {way.strip()}" + (f" through {', '.join(through)}" if through else "")
    return Mapped(text, (0,) * (len(text) + 1))


def rows_as_arrows(lines: Sequence[Mapped]) -> list[Mapped]:
    """The lines, with the rows below a head such as `current | through | from | to` put in words."""
    found: list[Mapped] = []
    columns: dict[str, int] = {}
    for line in lines:
        cells = [cell.strip() for cell in BAR.split(line.text.strip("|; "))]
        if RULE.fullmatch(line.text):
            pass  # the line below the head
        elif len(cells) < 3:
            columns = {}
        elif head := _columns(cells):
            columns = head
        elif columns and len(cells) > max(columns.values()):
            told = {what: cells[at] for what, at in columns.items()}
            through = [told["through"]] if told.get("through") else []
            line = _sentence(told["name"], f"{told['start']} to {told['end']}", through)
        else:
            columns = {}
        found.append(line)
    return found


def _columns(cells: Sequence[str]) -> dict[str, int]:
    """Which column of a table tells what of an arrow, by its head; nothing where name or way are missing."""
    found: dict[str, int] = {}
    for at, cell in enumerate(cells):
        what = next((w for w, head in _HEADS.items() if w not in found and head.fullmatch(cell)), None)
        if what:
            found[what] = at
    return found if {"name", "start", "end"} <= found.keys() else {}
