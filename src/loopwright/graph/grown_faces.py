"""One way to lay a block flat, however many branches it has: face by face.

A loop of the block is laid down; what is not laid yet falls into pieces that hang on points of it. A
piece goes into a face that has all the points it hangs on, the one with the least choice first, by one
path that cuts the face in two. A piece without a face shows that the block cannot lie flat. Source: G.
Demoucron, Y. Malgrange and R. Pertuiset, "Graphes planaires", Revue française de recherche
opérationnelle 8, 1964 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from .connections import parts, shortest_way
from .lines import Dart, Line, Link, Loop, from_point, reversed_loop


@dataclass(frozen=True, slots=True)
class _Piece:
    """Branches not laid yet that hang together, and the points laid that they hang on, in order."""

    branches: tuple[Line, ...]
    hangs_on: tuple[str, ...]


def grown_faces(branches: Sequence[Line]) -> tuple[Loop, ...] | None:
    """The faces of a block of two branches or more laid flat, the outer one included and all travelled
    alike, so that each branch is passed once either way; None where it cannot lie flat."""
    first = branches[0]
    back = shortest_way(branches[1:], first.end, first.start)
    if back is None:
        return None
    loop: Loop = ((first.name, 1), *back)
    faces = [loop, reversed_loop(loop)]
    by_name = {b.name: b for b in branches}
    laid = {name for name, _ in loop}
    while len(laid) < len(branches):
        met = {p for name in laid for p in (by_name[name].start, by_name[name].end)}
        choice: tuple[_Piece, list[Loop]] | None = None
        for piece in _pieces([b for b in branches if b.name not in laid], met):
            fitting = [face for face in faces if set(piece.hangs_on) <= _points(by_name, face)]
            if not fitting:
                return None
            if choice is None or len(fitting) < len(choice[1]):
                choice = piece, fitting
        if choice is None:
            return None
        path = _path_through(choice[0], met)
        faces.remove(choice[1][0])
        faces.extend(_cut(by_name, choice[1][0], path))
        laid.update(name for name, _ in path)
    return tuple(faces)


def _pieces(waiting: Sequence[Line], met: set[str]) -> list[_Piece]:
    """What is not laid yet, in pieces that hang together by points that are not laid either."""
    owner: dict[str, str] = {}  # a point not laid yet -> a branch there
    shared = [
        Link(point, b.name, owner.setdefault(point, b.name))
        for b in waiting
        for point in (b.start, b.end)
        if point not in met
    ]
    by_name = {b.name: b for b in waiting}
    found = [[by_name[name] for name in group] for group in parts(by_name, shared).groups()]
    return [
        _Piece(tuple(bs), tuple(dict.fromkeys(p for b in bs for p in (b.start, b.end) if p in met)))
        for bs in found
    ]


def _path_through(piece: _Piece, met: set[str]) -> Loop:
    """A path through the piece from one point that it hangs on to another."""
    start, *others = piece.hangs_on
    for other in others:
        ends = {start, other}
        lines = [b for b in piece.branches if all(p in ends or p not in met for p in (b.start, b.end))]
        way = shortest_way(lines, start, other)
        if way is not None:
            return way
    raise ValueError("a block hangs together by two points at least")


def _cut(by_name: dict[str, Line], face: Loop, path: Loop) -> tuple[Loop, Loop]:
    """The two faces into which a path between two points of a face cuts it."""
    start = _leaves(by_name, path[0])
    end = _leaves(by_name, (path[-1][0], -path[-1][1]))
    at = [_leaves(by_name, dart) for dart in face]
    turned = face[at.index(start) :] + face[: at.index(start)]
    middle = (at.index(end) - at.index(start)) % len(face)
    return turned[:middle] + reversed_loop(path), path + turned[middle:]


def _points(by_name: dict[str, Line], face: Loop) -> set[str]:
    return {_leaves(by_name, dart) for dart in face}


def _leaves(by_name: dict[str, Line], dart: Dart) -> str:
    return from_point(by_name[dart[0]], dart[1])
