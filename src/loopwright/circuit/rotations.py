"""Flat arrangements of a circuit's branches: the order round each point, and the faces it makes.

A loop is never a list of points: two branches may run side by side between the same two points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .circuit import Circuit
from .elements import Branch, Kind

Dart = tuple[str, int]  # a branch left along its arrow (+1) from its start, or against it (-1) from its end
Loop = tuple[Dart, ...]  # e.g. (("I1", +1), ("I3", +1)): along I1's arrow, then I3's


@dataclass(frozen=True, slots=True)
class Embedding:
    """A flat arrangement: `rotation` gives the darts that leave each point, clockwise as seen;
    `windows` are the inner faces and `rims` the outermost loops (one for each block), all travelled
    clockwise as seen. Left is where the first source is, and it is passed upwards there."""

    rotation: Mapping[str, tuple[Dart, ...]]
    windows: tuple[Loop, ...]
    rims: tuple[Loop, ...]


def from_point(branch: Branch, sense: int) -> str:
    """The point that a dart leaves."""
    return branch.start if sense > 0 else branch.end


def to_point(branch: Branch, sense: int) -> str:
    """The point that a dart reaches."""
    return branch.end if sense > 0 else branch.start


def faces(circuit: Circuit, rotation: Mapping[str, tuple[Dart, ...]]) -> tuple[Loop, ...]:
    """The faces of an order of branches: inner ones clockwise as seen, the outermost counter-clockwise.

    At each point the walk turns into the dart next counter-clockwise of the one it came by.
    """
    before = {
        dart: darts[i - 1] for darts in rotation.values() for i, dart in enumerate(darts)
    }  # the dart just counter-clockwise
    rest, found = dict.fromkeys(before), list[Loop]()
    while rest:
        dart = next(iter(rest))
        walk: list[Dart] = []
        while dart in rest:
            del rest[dart]
            walk.append(dart)
            dart = before[(dart[0], -dart[1])]
        found.append(tuple(walk))
    return tuple(found)


def turned(walk: Loop) -> Loop:
    """The same walk the other way."""
    return tuple((name, -sense) for name, sense in reversed(walk))


def has_source(circuit: Circuit, branch: Branch) -> bool:
    """Whether a battery or a current source stands in a branch."""
    kinds = {circuit.elements[p.element].kind for p in branch.passes}
    return Kind.BATTERY in kinds or Kind.CURRENT_SOURCE in kinds
