"""How a circuit lies flat: the order of branches round each point, and the meshes they enclose.

Purely combinatorial: no coordinates come out. With `circuit.places` the order is that of the straight
lines between the places; without, short meshes are searched for (S. MacLane, "A combinatorial
condition for planar graphs", Fundamenta Mathematicae 28, 1937: a graph lies flat when it has
independent loops enough that hold no branch more than twice); in large blocks they are grown, face by
face. Knows no laws and no figure.
"""

from __future__ import annotations

from collections.abc import Sequence

from ..graph.blocks import blocks
from ..graph.flat_covers import flat_covers
from ..graph.lines import Dart, Loop
from ..graph.rotations import Embedding
from .circuit import Circuit
from .elements import Branch
from .placed import placed_embedding


def meshes(circuit: Circuit) -> tuple[Loop, ...]:
    """The meshes of the figure as loops, clockwise as seen; () when the circuit is not flat.

    With `circuit.places` those that the places show, otherwise short ones with the sources on the rim.
    """
    found = embedding(circuit)
    return found.meshes if found else ()


def embedding(circuit: Circuit) -> Embedding | None:
    """The flat arrangement of a circuit, as its figure stands; None when there is none."""
    return circuit.remembered_of_shape(_arranged)


def _arranged(circuit: Circuit) -> Embedding | None:
    found = placed_embedding(circuit) or _searched(circuit)
    return found.mirrored() if found is not None and circuit.page.mirrored else found


# -- without places ------------------------------------------------------------------------------


def _searched(circuit: Circuit) -> Embedding | None:
    order: dict[str, tuple[Dart, ...]] = dict.fromkeys(circuit.points, ())
    found: list[Loop] = []
    rims: list[Loop] = []
    groups = blocks(circuit.branches)
    shared = _shared_points(groups)
    for group in groups:
        cover = _best_cover(circuit, group, shared)
        if cover is None:
            return None
        rotation, inner, rim = cover
        for point, darts in rotation.items():
            order[point] += darts
        found.extend(inner)
        rims.append(rim)
    return Embedding(order, tuple(found), tuple(rims))


def _shared_points(groups: Sequence[Sequence[Branch]]) -> frozenset[str]:
    points = [{p for b in group for p in (b.start, b.end)} for group in groups]
    return frozenset(p for one in points for p in one if sum(p in other for other in points) > 1)


_Part = tuple[dict[str, tuple[Dart, ...]], tuple[Loop, ...], Loop]


def _best_cover(circuit: Circuit, group: Sequence[Branch], shared: frozenset[str]) -> _Part | None:
    """The meshes and rim of one block; its rotations begin just after the rim where the rim passes."""
    if len(group) == 1:
        only = group[0]
        if only.start != only.end:
            order: dict[str, tuple[Dart, ...]] = {
                only.start: ((only.name, +1),),
                only.end: ((only.name, -1),),
            }
            return order, (), ((only.name, +1), (only.name, -1))
        sense = -1 if _rise(circuit, only) < 0 else +1
        walk: Loop = ((only.name, sense),)
        return {only.start: ((only.name, sense), (only.name, -sense))}, (walk,), walk
    index = {b.name: i for i, b in enumerate(circuit.branches)}
    with_source = {b.name for b in group if circuit.has_source(b)}

    touched = {p for b in group for p in (b.start, b.end)} & shared

    def cost(inner: Sequence[Loop], rim: frozenset[str]) -> tuple[int, ...]:
        on_rim = {p for b in group if b.name in rim for p in (b.start, b.end)} if touched else set()
        spans = [[index[name] for name, _ in w] for w in inner]
        return (
            len(touched - on_rim),
            sum(map(len, inner)),
            -len(rim & with_source),
            sum(max(s) - min(s) for s in spans),
            -sum(abs(2 * index[name] - len(index) + 1) for name in rim),
            *sorted(index[name] for name in rim),
        )

    best = next(flat_covers(group, cost), None)
    if best is None:
        return None
    if not _clockwise_is_up(circuit, best.rim):
        best = best.mirrored()
    return best.rotation(group), best.meshes, _from_the_first_source(circuit, best.rim)


def _clockwise_is_up(circuit: Circuit, rim: Loop) -> bool:
    """Whether this sense of travel passes the first source of the rim as a rise, for sources stand at
    the left with their + side up; without one, whether it passes early branches early."""
    for branch in circuit.branches:
        for name, sense in rim:
            if name == branch.name and _rise(circuit, branch):
                return _rise(circuit, branch) * sense > 0
    order = [circuit.currents.index(name) for name, _ in rim]
    at = order.index(min(order))
    return order[(at + 1) % len(order)] <= order[at - 1]


def _from_the_first_source(circuit: Circuit, rim: Loop) -> Loop:
    names = [name for name, _ in rim]
    first = next((b.name for b in circuit.branches if b.name in names and circuit.has_source(b)), None)
    at = names.index(first) if first else 0
    return rim[at:] + rim[:at]


def _rise(circuit: Circuit, branch: Branch) -> int:
    """The sign of the first source along the arrow; 0 without one."""
    for p in branch.passes:
        if circuit.elements[p.element].has_sign:
            return p.sign
    return 0
