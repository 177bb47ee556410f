"""Flat arrangements of branches: the order round each point, and the faces it makes.

A loop is never a list of points: two branches may run side by side between the same two points.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from .lines import Dart, Loop


@dataclass(frozen=True, slots=True)
class Embedding:
    """A flat arrangement: `rotation` gives the darts that leave each point, clockwise as seen;
    `windows` are the inner faces and `rims` the outermost loops (one for each block), all travelled
    clockwise as seen. Left is where the first source is, and it is passed upwards there."""

    rotation: Mapping[str, tuple[Dart, ...]]
    windows: tuple[Loop, ...]
    rims: tuple[Loop, ...]


def faces(rotation: Mapping[str, tuple[Dart, ...]]) -> tuple[Loop, ...]:
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
