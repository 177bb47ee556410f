"""What turning a part over makes of a flat arrangement.

Where two faces meet at two points, what lies between these can be turned over, and the arrangement stays
flat; from any arrangement of a block every other is reached so. Source: H. Whitney, "2-isomorphic graphs",
American Journal of Mathematics 55, 1933 (from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

from .lines import Line, Loop, from_point, reversed_loop


def turns(
    branches: Sequence[Line], meshes: Sequence[Loop], rim: Loop
) -> Iterator[tuple[tuple[Loop, ...], Loop]]:
    """What one turn makes of meshes and rim, all travelled clockwise, and what another face makes as the rim:
    loops of the right lines, the sense in which each is travelled left open."""
    by_name = {b.name: b for b in branches}
    inward = reversed_loop(rim)
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
            one, two = (*there, *reversed_loop(other)), (*back, *reversed_loop(way_back))
            if any(len(dict(loop)) < len(loop) for loop in (one, two)):
                continue  # the faces share a line there
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
