"""The names that a whole working uses, found before its lines are read: arrows that it declares, letters
of its own, and spellings that cannot be slips because both stand side by side (`I1 = i1`, `V1 = E1 − I1 r`).
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ...circuit.circuit import Circuit
from .arrows_said import arrow_in
from .labels import label_at_front
from .mapped import Mapped
from .naming import NamesInUse

_VOLTAGE = re.compile(r"(?<![^\W_])[VUvu]_?\{?(\d{1,3})\}?(?!\w)")
_DEFINED = re.compile(
    r"(?:^|[,;:.])\s{0,9}[VUvu]_?\{?\d{1,3}\}?\s{0,9}=(?!\s{0,9}[0-9.,]+\s{0,9}(?:m|k)?[Vv])"
)
_NAME = re.compile(r"([A-Za-zε])_?\{?(\d{1,3})|(?<![^\W_])([A-Za-zε])(?![^\W_])")
_LETTER = re.compile(r"(?<![\w'’])([IixyzJj])\s{0,3}[=≈+·*/]|[=≈+\-−·*/]\s{0,3}([IixyzJj])(?![\w'’(])")


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
