"""How a circuit lies flat on the places that a person gave: branches leave a point in the order of the
straight lines between the places. No coordinates come out."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise
from math import atan2, lcm

from ..graph.connections import parts
from ..graph.lines import Dart, Loop, from_point, reversed_loop, to_point
from ..graph.rotations import Embedding, faces
from .circuit import Circuit
from .elements import Branch

_XY = tuple[Fraction, Fraction]
_Cell = tuple[int, int]


def placed_embedding(circuit: Circuit) -> Embedding | None:
    """The arrangement that the places show; None without a place for every point, or when it is not flat.

    A branch whose straight line would cross another's is led round, through a face that both its ends
    touch: the outermost one where that is possible.
    """
    places = circuit.places
    if not circuit.branches or any(p not in places for p in circuit.points):
        return None
    apart = {places[p] for p in circuit.points}
    if len(parts(circuit.points, circuit.branches).groups()) != 1 or len(apart) < len(circuit.points):
        return None
    if any(b.start == b.end and len(_way_stations(circuit, b)) < 2 for b in circuit.branches):
        return None
    led_round = _led_round(circuit)
    straight = replace(circuit, branches=tuple(b for b in circuit.branches if b not in led_round))
    if len(parts(circuit.points, straight.branches).groups()) != 1 or not straight.branches:
        return None
    rotation = {p: _clockwise(circuit, straight, p) for p in circuit.points}
    walks = faces(rotation.values())
    if len(circuit.points) - len(straight.branches) + len(walks) != 2:
        return None
    outer = min(walks, key=lambda w: (_area(circuit, w), -len(w)))
    for branch in led_round:
        found = _put_in(circuit, rotation, branch, outer)
        if found is None:
            return None
        rotation, outer = found
    walks = tuple(w for w in faces(rotation.values()) if set(w) != set(outer))
    if not all(map(_is_simple, walks)):
        return None
    walks = tuple(sorted(walks, key=lambda w: _middle(circuit, w)))  # from left to right, then downwards
    return Embedding(rotation, walks, (reversed_loop(outer),))


def near_and_far(circuit: Circuit, branch: Branch) -> tuple[str, str]:
    """The ends of a branch between places: the lower one first, the left one of two on a level."""
    ends = sorted((branch.start, branch.end), key=lambda p: (circuit.places[p][1], circuit.places[p][0]))
    return ends[0], ends[1]


def track(circuit: Circuit, branch: Branch) -> tuple[int, int]:
    """Of the branches that run side by side between the same two places, which one this is (from 0, counted
    from the left or from the top), and how many there are. Branches that go by a point with a place are not
    counted."""
    ends = {branch.start, branch.end}
    if _way_stations(circuit, branch) or len(ends) == 1:
        return 0, 1
    same = [b.name for b in circuit.branches if {b.start, b.end} == ends and not _way_stations(circuit, b)]
    return same.index(branch.name), len(same)


def _way_stations(circuit: Circuit, branch: Branch) -> tuple[str, ...]:
    return tuple(p for p in branch.points[1:-1] if p in circuit.places)


def _clockwise(circuit: Circuit, straight: Circuit, point: str) -> tuple[Dart, ...]:
    x0, y0 = circuit.places[point]
    keyed: list[tuple[float, int, Dart]] = []
    for branch in straight.branches:
        for sense in (+1, -1):
            if from_point(branch, sense) != point:
                continue
            stations = _way_stations(circuit, branch)
            route = [*(stations if sense > 0 else reversed(stations)), to_point(branch, sense)]
            x, y = circuit.places[route[0]]
            rank, _ = track(circuit, branch)
            if near_and_far(circuit, branch)[0] != point:
                rank = -rank
            keyed.append((-atan2(float(y - y0), float(x - x0)), rank, (branch.name, sense)))
    return tuple(dart for _, _, dart in sorted(keyed))


def _led_round(circuit: Circuit) -> tuple[Branch, ...]:
    """The branches to lead round others so that no straight lines cross: that which crosses most others is
    taken out, again and again; of equals one with a source."""
    lines = _whole_lines(circuit)
    left = list(circuit.branches)
    found: list[Branch] = []
    while True:
        crossings = {
            b.name: sum(_cross(lines[b.name], lines[other.name]) for other in left if other is not b)
            for b in left
        }
        worst = max(left, key=lambda b: (crossings[b.name], circuit.has_source(b), left.index(b)))
        if not crossings[worst.name]:
            return tuple(found)
        left.remove(worst)
        found.append(worst)


def _whole_lines(circuit: Circuit) -> dict[str, list[_Cell]]:
    """The straight lines of every branch on a grid so fine that all places are whole."""
    fine = lcm(*(v.denominator for at in circuit.places.values() for v in at))
    cells = {p: (int(x * fine), int(y * fine)) for p, (x, y) in circuit.places.items()}
    return {b.name: [cells[p] for p in b.points if p in cells] for b in circuit.branches}


def _cross(one: list[_Cell], other: list[_Cell]) -> bool:
    """Whether two lines meet anywhere but where both end."""
    if {one[0], one[-1]} == {other[0], other[-1]} and len(one) == len(other) == 2:
        return False  # side by side
    for a, b in pairwise(one):
        for c, d in pairwise(other):
            shared = {a, b} & {c, d}
            if not shared:
                parted = _side(a, b, c) * _side(a, b, d) <= 0 and _side(c, d, a) * _side(c, d, b) <= 0
                if parted and (_side(a, b, c) or _side(a, b, d) or _overlap(a, b, c, d)):
                    return True
            elif len(shared) == 1 and not _side(a, b, c) and not _side(a, b, d):
                (at,) = shared
                far, near = (b if a == at else a), (d if c == at else c)
                same_way = (far[0] - at[0]) * (near[0] - at[0]) + (far[1] - at[1]) * (near[1] - at[1]) > 0
                if same_way:
                    return True
    return False


def _side(a: _Cell, b: _Cell, c: _Cell) -> int:
    turn = (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])
    return (turn > 0) - (turn < 0)


def _overlap(a: _Cell, b: _Cell, c: _Cell, d: _Cell) -> bool:
    return all(max(min(a[k], b[k]), min(c[k], d[k])) <= min(max(a[k], b[k]), max(c[k], d[k])) for k in (0, 1))


_Order = dict[str, tuple[Dart, ...]]


def _put_in(circuit: Circuit, rotation: _Order, branch: Branch, outer: Loop) -> tuple[_Order, Loop] | None:
    """The order round the points with one more branch, led through a face that both its ends touch, and the
    outermost face it leaves; None where no face has both. Where the outermost face itself is cut in two,
    the longer part is the new one."""
    walks = sorted(faces(rotation.values()), key=lambda w: (set(w) != set(outer), len(w)))
    for walk in walks:
        leaving = {from_point(circuit.branch(n), s): (n, s) for n, s in reversed(walk)}
        if branch.start not in leaving or branch.end not in leaving:
            continue
        changed = dict(rotation)
        for point, sense in ((branch.start, +1), (branch.end, -1)):
            darts = changed[point]
            at = darts.index(leaving[point])  # the face lies clockwise of the dart that leaves along it
            changed[point] = (*darts[: at + 1], (branch.name, sense), *darts[at + 1 :])
        if set(walk) != set(outer):
            return changed, outer
        halves = [w for w in faces(changed.values()) if any(name == branch.name for name, _ in w)]
        return changed, max(halves, key=lambda w: (len(w), w))
    return None


def _area(circuit: Circuit, walk: Loop) -> Fraction:
    """Twice the area of a walk, positive when it is clockwise as seen."""
    corners = _corners(circuit, walk)
    pairs = zip(corners, corners[1:] + corners[:1], strict=True)
    return sum((x2 * y1 - x1 * y2 for (x1, y1), (x2, y2) in pairs), Fraction(0))


def _middle(circuit: Circuit, walk: Loop) -> _XY:
    corners = _corners(circuit, walk)
    return sum((x for x, _ in corners), Fraction(0)) / len(corners), -sum(
        (y for _, y in corners), Fraction(0)
    ) / len(corners)


def _corners(circuit: Circuit, walk: Loop) -> list[_XY]:
    corners: list[_XY] = []
    for name, sense in walk:
        branch = circuit.branch(name)
        stations = _way_stations(circuit, branch)
        names = [from_point(branch, sense), *(stations if sense > 0 else reversed(stations))]
        corners.extend(circuit.places[n] for n in names)
        if not stations:
            corners.append(_bowed(circuit, branch))
    return corners


def _bowed(circuit: Circuit, branch: Branch) -> _XY:
    """The middle of a straight branch, moved a little aside when others run beside it."""
    rank, count = track(circuit, branch)
    near, far = near_and_far(circuit, branch)
    (x1, y1), (x2, y2) = circuit.places[near], circuit.places[far]
    aside = Fraction(count - 1 - 2 * rank, 1000 * count)  # to the left as seen from the nearer point
    return (x1 + x2) / 2 - aside * (y2 - y1), (y1 + y2) / 2 + aside * (x2 - x1)


def _is_simple(walk: Loop) -> bool:
    names = [name for name, _ in walk]
    return len(set(names)) == len(names)
