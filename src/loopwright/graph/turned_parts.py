"""A flat arrangement made better by turning parts of it over.

Where two faces meet at two points, what lies between these can be turned over, and the arrangement stays
flat; from any arrangement of a block every other is reached so. Source: H. Whitney, "2-isomorphic graphs",
American Journal of Mathematics 55, 1933 (from memory). Each arrangement is checked afresh by the caller's
`oriented`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from typing import TypeVar

from .lines import Line, Loop, from_point

_MOST_TURNS = 60  # one after the other; each makes it better, a ladder of ten sections takes nine

Arrangement = TypeVar("Arrangement")
Faces = tuple[tuple[Loop, ...], Loop]  # meshes and rim
Rank = Callable[[Sequence[Loop], frozenset[str]], tuple[int, ...]]  # of meshes and the names of the rim


def turned_for_the_better(
    branches: Sequence[Line],
    faces: Faces,
    rank: Rank,
    oriented: Callable[[Sequence[Loop], frozenset[str]], Arrangement | None],
    faces_of: Callable[[Arrangement], Faces],
) -> Arrangement | None:
    """The arrangement that turns lead to, each the best of its kind, until none is better; None where the
    first already is. `oriented`: meshes and the names of the rim as an arrangement, None where they are
    none."""
    found: Arrangement | None = None
    best = rank(faces[0], _names(faces[1]))
    for _ in range(_MOST_TURNS):
        tried = {_key(m, r): (rank(m, _names(r)), m, r) for m, r in _turns(branches, *faces)}
        better = sorted((one for one in tried.values() if one[0] < best), key=lambda one: one[0])
        for cost, meshes, rim in better:
            made = oriented(meshes, _names(rim))
            if made is not None:
                found, faces, best = made, faces_of(made), cost
                break
        else:
            break
    return found


def _turns(branches: Sequence[Line], meshes: tuple[Loop, ...], rim: Loop) -> Iterator[Faces]:
    """What one turn makes of it, and what another face makes as the rim."""
    by_name = {b.name: b for b in branches}
    inward = tuple((name, -sense) for name, sense in reversed(rim))
    faces = (*meshes, inward)
    last = len(meshes)
    for i in range(last):
        yield (*meshes[:i], *meshes[i + 1 :], inward), faces[i]
    points = [[from_point(by_name[name], sense) for name, sense in face] for face in faces]
    for i, j in combinations(range(len(faces)), 2):
        shared = [p for p in points[i] if p in points[j]]
        for u, v in combinations(shared, 2):
            there, back = _split(faces[i], points[i], u, v)
            other, way_back = _split(faces[j], points[j], u, v)
            one, two = (*there, *_backwards(other)), (*back, *_backwards(way_back))
            if len(_names(one)) < len(one) or len(_names(two)) < len(two):
                continue
            rest = tuple(face for k, face in enumerate(faces) if k not in (i, j, last))
            if j == last:
                yield (*rest, one), two
                yield (*rest, two), one
            else:
                yield (*rest, one, two), inward


def _split(face: Loop, points: Sequence[str], u: str, v: str) -> tuple[Loop, Loop]:
    """The face from one of its points to another, and on from there."""
    at, to = points.index(u), points.index(v)
    turned = face[at:] + face[:at]
    middle = (to - at) % len(face)
    return turned[:middle], turned[middle:]


def _backwards(walk: Loop) -> Loop:
    return tuple((name, -sense) for name, sense in reversed(walk))


def _names(loop: Loop) -> frozenset[str]:
    return frozenset(name for name, _ in loop)


def _key(meshes: Sequence[Loop], rim: Loop) -> tuple[frozenset[frozenset[str]], frozenset[str]]:
    return frozenset(map(_names, meshes)), _names(rim)
