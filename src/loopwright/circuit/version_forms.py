"""Of which forms a circuit's versions can be: what may be renamed, and what forbids a form. Knows no laws."""

from __future__ import annotations

import re
from collections.abc import Iterable

from ..errors import FaultyMaterial
from ..findings import Finding
from .circuit import Circuit
from .names import quantity_name
from .rankings import is_ranking, ranking
from .targets import target
from .timed_wishes import is_in_time
from .versions_asked import ARROWS, RENAMED, VersionsAsked

NUMBERED = re.compile(r"(?P<letters>\D+)(?P<digits>\d+)")
_SIDES = ("left", "right", "clockwise", "upper", "lower", "top", "bottom", "above", "below")
_WORD = re.compile(r"[^\W\d]\w*′*")


def renamable(circuit: Circuit) -> tuple[tuple[str, ...], ...]:
    """The elements that may change names with one another: of one kind, called by the same letters and a
    number."""
    groups: dict[tuple[str, str], list[str]] = {}
    for name in (p.element for b in circuit.branches for p in b.passes):
        if called := NUMBERED.fullmatch(name):
            groups.setdefault((circuit.elements[name].kind, called["letters"]), []).append(name)
    return tuple(tuple(group) for group in groups.values() if len(group) > 1)


def form_faults(circuit: Circuit, asked: VersionsAsked) -> Iterable[tuple[tuple[str, int], Finding]]:
    """What forbids the forms asked for, each with its key under [versions] and the item in it: prose that
    names what would be called otherwise, other questions that cannot be read."""
    only_numbers = is_in_time(circuit) or circuit.ladder is not None
    prose = " ".join((circuit.title, circuit.story, *circuit.board.say.values()))
    words = {quantity_name(word) for word in _WORD.findall(prose)}
    moved = {
        ARROWS: (circuit.currents, "its arrow is to be turned"),
        RENAMED: (tuple(n for group in renamable(circuit) for n in group), "it is to be renamed"),
    }
    for number, form in enumerate(asked.forms):
        names, what = moved.get(form, (_SIDES, "the figure is to stand otherwise"))
        named = [name for name in names if name in words]
        if named:
            message = f"{named[0]} stands in the title, the story or your words for a lecture, and {what}."
            mend = f'Tell it there without the name, or take "{form}" out of forms.'
            yield ("forms", number), Finding("versions/named-in-prose", message, mend, about=tuple(named))
        elif only_numbers and form in moved:
            message = f'Versions in time, and of ladders without end, have no form "{form}".'
            mend = 'Take it out of forms; "mirrored" and "turned" can stay.'
            yield ("forms", number), Finding("versions/form-in-time", message, mend)
    if only_numbers and asked.asked:
        message = "Versions in time, and of ladders without end, all ask the same."
        yield ("asked", 0), Finding("versions/form-in-time", message, "Take asked out of [versions].")
        return
    for number, texts in enumerate(asked.asked):
        for text in texts:
            try:
                _ = ranking(text, circuit) if is_ranking(text) else target(text, circuit)
            except FaultyMaterial as trouble:
                yield from ((("asked", number), finding) for finding in trouble.findings)
