"""How a circuit lies flat: the order of branches round each point, and the windows they enclose.

Purely combinatorial: no coordinates come out. With `circuit.places` the order is that of the straight
lines between the places; without, short windows are searched for (S. MacLane, "A combinatorial
condition for planar graphs", Fundamenta Mathematicae 28, 1937: a graph lies flat when it has
independent loops enough that hold no branch more than twice). Knows no laws and no figure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import atan2

from .blocks import blocks, connected_parts
from .circuit import Circuit
from .elements import Branch, Kind
from .flat_covers import FlatCover, flat_covers

Dart = tuple[str, int]  # a branch left along its arrow (+1) from its start, or against it (-1) from its end
Loop = tuple[Dart, ...]  # e.g. (("I1", +1), ("I3", +1)): along I1's arrow, then I3's
_XY = tuple[Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Embedding:
    """A flat arrangement: `rotation` gives the darts that leave each point, clockwise as seen;
    `windows` are the inner faces and `rims` the outermost loops (one for each block), all travelled
    clockwise as seen. Left is where the first source is, and it is passed upwards there."""

    rotation: Mapping[str, tuple[Dart, ...]]
    windows: tuple[Loop, ...]
    rims: tuple[Loop, ...]


def windows(circuit: Circuit) -> tuple[Loop, ...]:
    """The windows of the figure as loops, clockwise as seen; () when the circuit is not flat.

    With `circuit.places` those that the places show, otherwise short ones with the sources on the rim.
    """
    found = embedding(circuit)
    return found.windows if found else ()


def embedding(circuit: Circuit) -> Embedding | None:
    """The flat arrangement of a circuit; None when there is none, or none found within the search's limit."""
    return placed_embedding(circuit) or _searched(circuit)


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


# -- with places ---------------------------------------------------------------------------------


def placed_embedding(circuit: Circuit) -> Embedding | None:
    """The arrangement that the places show; None without a place for every point, or when it is not flat."""
    places = circuit.places
    if not circuit.branches or any(p not in places for p in circuit.points):
        return None
    apart = {places[p] for p in circuit.points}
    if len(connected_parts(circuit.branches)) != 1 or len(apart) < len(circuit.points):
        return None
    if any(b.start == b.end and len(_way_stations(circuit, b)) < 2 for b in circuit.branches):
        return None
    rotation = {p: _clockwise(circuit, p) for p in circuit.points}
    walks = faces(circuit, rotation)
    if len(circuit.points) - len(circuit.branches) + len(walks) != 2:
        return None
    areas = [_area(circuit, walk) for walk in walks]
    least = min(range(len(walks)), key=lambda i: (areas[i], -len(walks[i])))
    inner = tuple(w for i, w in enumerate(walks) if i != least and _is_simple(w))
    if len(inner) != len(walks) - 1:
        return None
    return Embedding(rotation, inner, (_turned(walks[least]),))


def track(circuit: Circuit, branch: Branch) -> tuple[int, int]:
    """Which of the branches side by side this one is, and how many there are, counted from the left as
    seen from the point named first in the circuit; branches that go by a placed point are apart."""
    ends = {branch.start, branch.end}
    apart = _way_stations(circuit, branch)
    same = [
        b.name
        for b in circuit.branches
        if {b.start, b.end} == ends and not (apart or _way_stations(circuit, b))
    ]
    return (same.index(branch.name), len(same)) if branch.name in same else (0, 1)


def _way_stations(circuit: Circuit, branch: Branch) -> tuple[str, ...]:
    return tuple(p for p in branch.points[1:-1] if p in circuit.places)


def _clockwise(circuit: Circuit, point: str) -> tuple[Dart, ...]:
    first_seen = {p: i for i, p in enumerate(circuit.points)}
    x0, y0 = circuit.places[point]
    keyed: list[tuple[float, int, Dart]] = []
    for branch in circuit.branches:
        for sense in (+1, -1):
            if from_point(branch, sense) != point:
                continue
            stations = _way_stations(circuit, branch)
            route = [*(stations if sense > 0 else reversed(stations)), to_point(branch, sense)]
            x, y = circuit.places[route[0]]
            rank, _ = track(circuit, branch)
            other = to_point(branch, sense)
            if first_seen[point] > first_seen[other]:
                rank = -rank
            keyed.append((-atan2(float(y - y0), float(x - x0)), rank, (branch.name, sense)))
    return tuple(dart for _, _, dart in sorted(keyed))


def _area(circuit: Circuit, walk: Loop) -> Fraction:
    """Twice the area of a walk, positive when it is clockwise as seen."""
    corners: list[_XY] = []
    for name, sense in walk:
        branch = circuit.branch(name)
        stations = _way_stations(circuit, branch)
        names = [from_point(branch, sense), *(stations if sense > 0 else reversed(stations))]
        corners.extend(circuit.places[n] for n in names)
        if not stations:
            corners.append(_bowed(circuit, branch))
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return sum((x2 * y1 - x1 * y2 for (x1, y1), (x2, y2) in pairs), Fraction(0))


def _bowed(circuit: Circuit, branch: Branch) -> _XY:
    """The middle of a straight branch, moved a little aside when others run beside it."""
    rank, count = track(circuit, branch)
    near, far = sorted((branch.start, branch.end), key=circuit.points.index)
    (x1, y1), (x2, y2) = circuit.places[near], circuit.places[far]
    aside = Fraction(count - 1 - 2 * rank, 1000 * count)  # to the left as seen from the nearer point
    return (x1 + x2) / 2 - aside * (y2 - y1), (y1 + y2) / 2 + aside * (x2 - x1)


def _is_simple(walk: Loop) -> bool:
    names = [name for name, _ in walk]
    return len(set(names)) == len(names)


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
    """The windows and rim of one block; its rotations begin just after the rim where the rim passes."""
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
    with_source = {b.name for b in group if _has_source(circuit, b)}

    def cost(cover: FlatCover) -> tuple[int, ...]:
        rim = {name for name, _ in cover.rim}
        on_rim = {p for name in rim for p in (circuit.branch(name).start, circuit.branch(name).end)}
        touched = {p for b in group for p in (b.start, b.end)} & shared
        spans = [[index[name] for name, _ in w] for w in cover.windows]
        return (
            len(touched - on_rim),
            sum(len(w) for w in cover.windows),
            -len(rim & with_source),
            sum(max(s) - min(s) for s in spans),
            -sum(abs(2 * index[name] - len(index) + 1) for name in rim),
            *sorted(index[name] for name in rim),
        )

    covers = flat_covers(group)
    if not covers:
        return None
    best = min(covers, key=cost)
    if not _clockwise_is_up(circuit, best.rim):
        best = best.mirrored()
    return best.rotation(group), best.windows, _from_the_first_source(circuit, best.rim)


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
    first = next((b.name for b in circuit.branches if b.name in names and _has_source(circuit, b)), None)
    at = names.index(first) if first else 0
    return rim[at:] + rim[:at]


def _turned(walk: Loop) -> Loop:
    return tuple((name, -sense) for name, sense in reversed(walk))


def _has_source(circuit: Circuit, branch: Branch) -> bool:
    kinds = {circuit.elements[p.element].kind for p in branch.passes}
    return Kind.BATTERY in kinds or Kind.CURRENT_SOURCE in kinds


def _rise(circuit: Circuit, branch: Branch) -> int:
    """The sign of the first source along the arrow; 0 without one."""
    for p in branch.passes:
        if circuit.elements[p.element].has_sign:
            return p.sign
    return 0
