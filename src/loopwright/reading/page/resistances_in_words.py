"""Resistances that are made one in words and a number, put as equations.

    R5 and R6 in series: 12 ohm, with R4 in parallel: 9 ohm    R56 = R5 + R6 = 12 ohm, R456 = R56 ∥ R4 = 9 ohm
    8 ohm and 24 ohm in parallel give 6 ohm, + R1: 7 ohm       8 ohm ∥ 24 ohm = 6 ohm, 6 ohm + R1 = 7 ohm

What has no first part of its own goes on from what was made one right before. Common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from ...circuit.circuit import Circuit
from .mapped import Mapped
from .naming import name_of, resistances_of, strung_together

_NAME = r"[Rr](?:_\{\w{1,6}\}|\w{0,6})(?!\w)"
_SIZE = r"\d+(?:\.\d+)?(?:\s?k?(?:Ω|ohms?\b)|k\b)?(?![\w.]|\s?[mkµ]?[AVW]\b)"
_PART = rf"(?:{_NAME}|{_SIZE})"
_AND = r"\s*(?:,\s*(?:and\s+)?|&|\b(?:and|und|et|y|e|mit|with)\b)\s*"
_SERIES = r"(?:in|en)\s+(?:series?|serie|série|Reihe)"
_BESIDE = r"(?:in\s+|en\s+)?(?:parallel|parallèle|paralelo|parallelo)|side\s+by\s+side"
_SIGNS = r"(?:∥|\|\||//)"
_STOP = r"(?=\s*(?:$|[,;)]|\.(?:\s|$)|\b(?:and|then|und|dann|so|which|puis)\b))"
_COMES_TO = (
    r"(?:\s*(?::|=|->|→)\s*|\s+(?:is|are|gives?|makes?|comes?\s+to|gibt|geben|ergibt|ergeben|ist|sind|donnent?|font|da|dan)\s+)"
    rf"(?P<size>{_SIZE}){_STOP}"
)
_TOLD = re.compile(
    r"(?:"
    rf"(?<![\w+*/∥|.=−-])(?P<parts>{_PART}(?:{_AND}{_PART})+)\s+(?:(?P<series>{_SERIES})|{_BESIDE})"
    rf"|(?:^|(?<=[,;]))(?P<space>\s*)(?P<signed>{_PART}(?:\s*{_SIGNS}\s*{_PART})+)(?=\s*:)"
    rf"|\b(?:with|mit|avec|con)\s+(?P<joined>{_PART}(?:{_AND}{_PART})*)\s+(?:(?P<on_series>{_SERIES})|{_BESIDE})"
    rf"|\b(?:(?P<in_series>{_SERIES})|{_BESIDE})\s+(?:with|to|mit|zu|avec|con)\s+(?P<behind>{_PART}(?:{_AND}{_PART})*)"
    rf"|(?:^|(?<=[,;]))(?P<gap>\s*)(?:(?P<plus>\+|plus\b|adding\b)|{_SIGNS})\s*(?P<more>{_PART}(?:(?:{_AND}|\s*\+\s*){_PART})*)"
    rf"){_COMES_TO}",
    re.IGNORECASE,
)
_ONE = re.compile(_PART, re.IGNORECASE)
_GIVEN = re.compile(
    rf"(?:(?P<name>{_NAME})\s*=[^,;]*|[^,;]*=\s*)(?<![\d.])(?P<size>{_SIZE})\W*$", re.IGNORECASE
)
_MADE_SO = re.compile(rf"{_SERIES}|{_BESIDE}|{_SIGNS}|Ω|\bohm", re.IGNORECASE)


def resistances_told(lines: Sequence[Mapped], circuit: Circuit) -> list[Mapped]:
    """The lines with such words as equations."""
    made = _Made(resistances_of(circuit))
    return [made.line(line) for line in lines]


class _Made:
    """What was made one last (`last`), by its name or its size, and the number that was come to last
    (`came_to`), to which a line `+ R3: 6.5` adds though nothing says what it is."""

    def __init__(self, own: Sequence[str]) -> None:
        self.own, self.last, self.came_to, self.count = own, "", "", 0

    def line(self, line: Mapped) -> Mapped:
        """The line with such words as equations."""
        if not line.text.strip():
            return line
        told = line.replaced(_TOLD, self._told)
        if told.text == line.text:
            given = _GIVEN.search(line.text)
            if given or "=" in line.text:
                self.came_to = given["size"] if given else ""
            given = given if _MADE_SO.search(line.text) else None
            named = given is not None and given["name"] and self._made_of(given["name"])
            self.last = given["name" if named else "size"] if given else ""
        return told

    def _told(self, match: re.Match[str]) -> str:
        first = match["parts"] or match["signed"]
        parts = _ONE.findall(first or match["joined"] or match["behind"] or match["more"])
        if not first:
            whole_line = match["plus"] and match[0].strip() == match.string.strip()
            parts.insert(0, self.last or (self.came_to if whole_line else ""))
        if not all(self._is_resistance(part) for part in parts):
            self.last = ""
            return match[0]
        series = match["series"] or match["on_series"] or match["in_series"] or match["plus"]
        whole = (" + " if series else " ∥ ").join(parts)
        name = self._name(parts)
        self.last, self.came_to = name or match["size"], match["size"]
        lead = match["space"] or match["gap"] or ""
        return f"{lead}{name} = {whole} = {match['size']}" if name else f"{lead}{whole} = {match['size']}"

    def _is_resistance(self, part: str) -> bool:
        return bool(part) and (part[0].isdigit() or part == self.last or bool(self._made_of(part)))

    def _made_of(self, written: str) -> tuple[str, ...]:
        """The resistors of the circuit that a name is of."""
        name = name_of(written)
        return (name,) if name in self.own else strung_together(name, self.own)

    def _name(self, parts: Sequence[str]) -> str:
        """A name that strings together the marks of all resistors that are made one, or with no mark of
        theirs where that cannot be; empty beside numbers."""
        made = [self._made_of(part) for part in parts]
        resistors = [name for one in made for name in one]
        name = f"{resistors[0][0]}{''.join(sorted(n[1:] for n in resistors))}" if all(made) else ""
        if name and set(strung_together(name, self.own)) == {*resistors}:
            return name
        if any(part[0].isdigit() for part in parts):
            return ""
        self.count += 1
        return f"Rm{self.count}"
