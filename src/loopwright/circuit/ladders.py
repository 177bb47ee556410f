"""A ladder of a number of sections, laid out in ordinary branches.

Later sections have the values of the first; their points, branches and elements get names of their
own: the next free numbers. Knows no file format and no laws.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import replace
from fractions import Fraction

from .circuit import Circuit
from .elements import Branch, Ladder, Pass

_NUMBERED = re.compile(r"(?P<letters>.*?)(?P<digits>[0-9]*)", re.DOTALL)
GridPlace = tuple[Fraction, Fraction]


def laid_out(circuit: Circuit, ladder: Ladder) -> Circuit:
    """The circuit with every section of the ladder in its branches; one section where none are counted.

    Places of later sections are those of the first, moved on by one step each.
    """
    names = _Names((*circuit.currents, *circuit.elements, *circuit.symbols))
    points = _Names(circuit.named_points)
    branches, elements, places = list(circuit.branches), dict(circuit.elements), dict(circuit.places)
    ratings = dict(circuit.ratings)
    section = [circuit.branch(name) for name in ladder.section]
    at = dict(zip(ladder.start, ladder.start, strict=True)) | {p: p for b in section for p in b.points}
    count = ladder.count or 1
    named = dict(zip(ladder.end, ladder.last or ladder.end, strict=True))
    if count == 1:
        at = {p: named.get(p, p) for p in at}
        alone = {b.name: _between(b, at) for b in section}
        return replace(circuit, branches=tuple(alone.get(b.name, b) for b in circuit.branches))
    for number in range(1, count):
        begun = {first: at[last] for first, last in zip(ladder.start, ladder.end, strict=True)}
        if number == count - 1 and ladder.last:
            begun = {**named, **begun}
        at = {p: begun[p] if p in begun else points.next(p) for p in at}
        for b in section:
            renamed: list[Pass | str] = []
            for item in b.along:
                if isinstance(item, str):
                    renamed.append(at[item])
                    continue
                name = names.next(item.element)
                elements[name] = replace(circuit.elements[item.element], name=name)
                if item.element in ratings:
                    ratings[name] = ratings[item.element]
                renamed.append(Pass(name, item.sign))
            branches.append(Branch(names.next(b.name), at[b.start], at[b.end], tuple(renamed)))
        places |= _moved(circuit.places, ladder, at, number)
    return replace(circuit, branches=tuple(branches), elements=elements, places=places, ratings=ratings)


def _between(b: Branch, at: Mapping[str, str]) -> Branch:
    """The branch with its points called otherwise."""
    along = tuple(at[item] if isinstance(item, str) else item for item in b.along)
    return Branch(b.name, at[b.start], at[b.end], along)


def _moved(
    places: Mapping[str, GridPlace], ladder: Ladder, at: Mapping[str, str], number: int
) -> dict[str, GridPlace]:
    """The places on the grid of a later section's points: those of the first section moved on `number`
    times by the step from its beginning to its end. `at`: what the points are called there."""
    first, last = ladder.start[0], ladder.end[0]
    if first == last:
        first, last = ladder.start[1], ladder.end[1]
    if first not in places or last not in places:
        return {}
    step = [number * (b - a) for a, b in zip(places[first], places[last], strict=True)]
    return {
        at[p]: (places[p][0] + step[0], places[p][1] + step[1])
        for p in at
        if p in places and at[p] not in places
    }


class _Names:
    """Gives new names: the next free number after the same letters."""

    def __init__(self, taken: Iterable[str]) -> None:
        self.taken = set(taken)

    def next(self, name: str) -> str:
        found = _NUMBERED.fullmatch(name)
        letters, digits = found.groups() if found else (name, "")
        number = int(digits or 1) + 1
        while f"{letters}{number}" in self.taken:
            number += 1
        self.taken.add(f"{letters}{number}")
        return f"{letters}{number}"
