"""Flat arrangements of branches: the order round each point, and the faces it makes.

A loop is never a list of points: two branches may run side by side between the same two points.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from .lines import AnyDart, Dart, LineName, Loop, reversed_loop


@dataclass(frozen=True, slots=True)
class Embedding:
    """A circuit laid flat, told by orders alone, without coordinates.

    `rotation`: the darts (a branch with a sense) that leave each point, clockwise as seen. `meshes`: the
    inner faces; `rims`: the outermost loop of each block; all travelled clockwise as seen, which makes the
    first source lie at the left and be passed upwards (at the right and downwards where mirrored).
    """

    rotation: Mapping[str, tuple[Dart, ...]]
    meshes: tuple[Loop, ...]
    rims: tuple[Loop, ...]

    def mirrored(self) -> Embedding:
        """The same arrangement with left and right exchanged."""
        return Embedding(
            {point: darts[::-1] for point, darts in self.rotation.items()},
            tuple(map(reversed_loop, self.meshes)),
            tuple(map(reversed_loop, self.rims)),
        )


def faces(orders: Iterable[Sequence[AnyDart[LineName]]]) -> tuple[tuple[AnyDart[LineName], ...], ...]:
    """The faces of an order of lines round each point: inner ones clockwise as seen, the outermost
    counter-clockwise.

    `orders`: for each point the darts that leave it, clockwise as seen. At each point the walk turns into
    the dart next counter-clockwise of the one it came by.
    """
    before = {dart: darts[i - 1] for darts in orders for i, dart in enumerate(darts)}
    rest, found = dict.fromkeys(before), list[tuple[AnyDart[LineName], ...]]()
    while rest:
        dart = next(iter(rest))
        walk: list[AnyDart[LineName]] = []
        while dart in rest:
            del rest[dart]
            walk.append(dart)
            dart = before[(dart[0], -dart[1])]
        found.append(tuple(walk))
    return tuple(found)
