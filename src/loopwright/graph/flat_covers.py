"""The ways to lay one block flat: sets of meshes and a rim that hold every branch exactly twice.

Whether a large or knotty block lies flat at all is asked first, for a search in vain is the longest.
Source: S. MacLane 1937 for the condition; P. V. O'Neil, "A short proof of Mac Lane's planarity
theorem", Proceedings of the American Mathematical Society 37, 1973 (both from memory). Each cover is
checked afresh: round every point its meshes must close up to a single turn.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from .grown_faces import grown_faces
from .lines import Dart, Line, Loop, from_point, reversed_loop
from .loops import left_over
from .turned_parts import turns

_ALWAYS_FLAT = 3  # independent loops: the least graphs that do not lie flat, K33 and K5, have 4 and 6
_ALL_SEARCHED = 12  # branches: of more, the search for covers may end before the best
_MOST_TURNS = 60  # one after the other; a ladder of ten sections takes nine
_MOST_SEARCHED = 24  # branches: of more, loops are too many to choose meshes among them
_MOST_LOOPS = 600
_MOST_STEPS = 20_000  # of the search before its first cover
_MORE_STEPS = 3_000  # after it, for better ones


Cost = Callable[[Sequence[Loop], frozenset[str]], tuple[int, ...]]  # of meshes and the names of the rim


@dataclass(frozen=True, slots=True)
class FlatCover:
    """One way to lay a block flat: its inner faces (`meshes`) and its outermost loop (`rim`), all
    travelled clockwise as seen. Every branch is held by exactly two of these loops."""

    meshes: tuple[Loop, ...]
    rim: Loop

    def mirrored(self) -> FlatCover:
        """The same cover seen from behind."""
        return FlatCover(tuple(reversed_loop(w) for w in self.meshes), reversed_loop(self.rim))

    def rotation(self, branches: Sequence[Line]) -> dict[str, tuple[Dart, ...]]:
        """The darts that leave each point, clockwise as seen, begun just clockwise of the outside."""
        turns = _turns(self)
        by_name = {b.name: b for b in branches}
        starts = {from_point(by_name[name], sense): (name, sense) for name, sense in self.rim}
        found: dict[str, tuple[Dart, ...]] = {}
        for name, sense in turns:
            point = from_point(by_name[name], sense)
            if point not in found:
                found[point] = tuple(_round(turns, starts.get(point, (name, sense))))
        return found


def flat_covers(branches: Sequence[Line], cost: Cost | None = None) -> Iterator[FlatCover]:
    """The flat arrangements of a block with two branches or more (mirror images once), the least `cost` first
    and each checked when it is asked for; none where it does not lie flat. Of a small block every one; of a
    large one, or where the search has an end before it finds any, one arrangement with each of its faces as
    the rim."""
    count = len(branches) - len({p for b in branches for p in (b.start, b.end)}) + 1
    faces = grown_faces(branches) if count > _ALWAYS_FLAT else ()
    if faces is None:
        return
    cover = None
    if len(branches) <= _MOST_SEARCHED:
        for cover in _better_first(branches, _searched(branches, cost), cost):
            yield cover
    if cover is None:
        yield from _better_first(branches, _grown(branches, faces or grown_faces(branches) or (), cost), cost)


def _better_first(
    branches: Sequence[Line], covers: Iterable[FlatCover], cost: Cost | None
) -> Iterator[FlatCover]:
    """The covers. Where the block is so large that not all are looked at, before them what turning parts of
    the first one over makes of it, each turn the best there is, until none makes it better."""
    for at, cover in enumerate(covers):
        if at == 0 and cost is not None and len(branches) > _ALL_SEARCHED:
            best = cover
            for _ in range(_MOST_TURNS):
                turned = _turned(branches, best, cost)
                if turned is None:
                    break
                best = turned
            if best is not cover:
                yield best
        yield cover


def _turned(branches: Sequence[Line], cover: FlatCover, cost: Cost) -> FlatCover | None:
    """The best that one turn makes of a cover; None where none makes it better."""
    before = cost(cover.meshes, _names(cover.rim))
    tried = {
        (frozenset(map(_names, meshes)), _names(rim)): (meshes, _names(rim))
        for meshes, rim in turns(branches, cover.meshes, cover.rim)
    }
    better = sorted(((cost(*one), one) for one in tried.values()), key=lambda pair: pair[0])
    made = (_oriented(branches, *one) for worth, one in better if worth < before)
    return next((one for one in made if one is not None), None)


def _names(loop: Loop) -> frozenset[str]:
    return frozenset(name for name, _ in loop)


def _grown(branches: Sequence[Line], faces: Sequence[Loop], cost: Cost | None) -> Sequence[FlatCover]:
    """The faces found by growing them, each in turn as the rim: one arrangement, whatever the size of the
    block."""
    covers = [FlatCover((*faces[:i], *faces[i + 1 :]), reversed_loop(rim)) for i, rim in enumerate(faces)]
    if not covers or not _closes_up(covers[0], branches):
        return ()
    if cost is None:
        return covers
    return sorted(covers, key=lambda cover: cost(cover.meshes, _names(cover.rim)))


def _searched(branches: Sequence[Line], cost: Cost | None) -> Iterator[FlatCover]:
    """Every arrangement of a small block, from sets of short loops; none where the search comes to its
    limit."""
    sets = list(_double_covers(branches, sorted(_loops(branches), key=len)))
    if cost is not None:
        sets.sort(key=lambda chosen: cost(*chosen))
    found: set[frozenset[frozenset[Dart]]] = set()
    for chosen, rim_names in sets:
        cover = _oriented(branches, chosen, rim_names)
        if cover is not None:
            known = len(found)
            found.add(frozenset(frozenset(w) for w in cover.meshes))
            if len(found) > known:
                yield cover


def _loops(branches: Sequence[Line]) -> list[Loop]:
    """Simple loops, short ones first, each once and from its least branch; not more than a limit."""
    leaving: dict[str, list[tuple[int, int]]] = {}
    for i, b in enumerate(branches):
        leaving.setdefault(b.start, []).append((i, +1))
        leaving.setdefault(b.end, []).append((i, -1))
    found: list[Loop] = []
    paths: list[tuple[str, tuple[tuple[int, int], ...], frozenset[str]]]
    paths = [(b.end, ((i, +1),), frozenset((b.start, b.end))) for i, b in enumerate(branches)]
    while paths and len(found) < _MOST_LOOPS and len(paths) < 40 * _MOST_LOOPS:
        longer = []
        for at, path, seen in paths:
            first = path[0][0]
            for i, sense in leaving[at]:
                to = branches[i].end if sense > 0 else branches[i].start
                if i <= first:
                    continue
                if to == branches[first].start:
                    found.append(tuple((branches[j].name, s) for j, s in (*path, (i, sense))))
                elif to not in seen:
                    longer.append((to, (*path, (i, sense)), seen | {to}))
        paths = longer
    return found


def _double_covers(
    branches: Sequence[Line], loops: Sequence[Loop]
) -> Iterator[tuple[tuple[Loop, ...], frozenset[str]]]:
    """Sets of independent loops, as many as there are meshes, that with a rim hold each branch twice."""
    number = {b.name: i for i, b in enumerate(branches)}
    masks = [sum(1 << number[name] for name, _ in loop) for loop in loops]
    through = [sum(1 << k for k, m in enumerate(masks) if m >> i & 1) for i in range(len(branches))]
    points = {p for b in branches for p in (b.start, b.end)}
    wanted = len(branches) - len(points) + 1
    full = (1 << len(branches)) - 1
    steps, allowed = 0, _MOST_STEPS

    # once, twice: branches held so far; rim: branches given to the rim; basis: the loops reduced;
    # fit: the loops that can still be chosen
    stack: list[tuple[tuple[int, ...], int, int, int, tuple[int, ...], int]]
    stack = [((), 0, 0, 0, (), (1 << len(loops)) - 1)]
    while stack and steps < allowed:
        steps += 1
        chosen, once, twice, rim, basis, fit = stack.pop()
        if twice == full:
            if len(chosen) == wanted:
                names = frozenset(b.name for i, b in enumerate(branches) if rim >> i & 1)
                allowed = min(allowed, steps + _MORE_STEPS) if allowed == _MOST_STEPS else allowed
                yield tuple(loops[k] for k in chosen), names
            continue
        fewest, least = len(loops) + 2, 0  # the branch with the fewest ways to be held once more
        for i, loops_through in enumerate(through):
            if not twice >> i & 1:
                ways = (loops_through & fit).bit_count() + (not rim >> i & 1)
                if ways < fewest:
                    fewest, least = ways, i
        held = 1 << least
        if not rim & held:
            again = once & held
            left = fit & ~through[least] if again else fit
            stack.append((chosen, once ^ held, twice | again, rim | held, basis, left))
        if len(chosen) == wanted:
            continue
        fitting = through[least] & fit
        while fitting:
            k = fitting.bit_length() - 1  # the last first, so that the first is taken up first
            fitting ^= 1 << k
            rest = left_over(masks[k], basis)
            if rest:
                again = once & masks[k]
                left = fit & ~(1 << k)
                for i, loops_through in enumerate(through):
                    if again >> i & 1:
                        left &= ~loops_through
                stack.append(((*chosen, k), once ^ masks[k], twice | again, rim, (*basis, rest), left))


def _oriented(
    branches: Sequence[Line], chosen: Sequence[Loop], rim_names: frozenset[str]
) -> FlatCover | None:
    """The loops turned so that neighbours pass a shared branch in opposite senses; None where that fails."""
    turned: list[Loop] = [chosen[0]]
    rest = list(chosen[1:])
    while rest:
        held = {dart for loop in turned for dart in loop}
        for loop in rest:
            shared = next(((n, s) for n, s in loop if (n, s) in held or (n, -s) in held), None)
            if shared is not None:
                break
        else:
            return None
        rest.remove(loop)
        turned.append(reversed_loop(loop) if shared in held else loop)
    darts = [dart for loop in turned for dart in loop]
    if len(set(darts)) != len(darts):
        return None
    outside = {name: sense for name, sense in darts if (name, -sense) not in set(darts)}
    if set(outside) != rim_names:
        return None
    rim = _chained(branches, outside)
    cover = FlatCover(tuple(turned), rim) if rim else None
    return cover if cover and _closes_up(cover, branches) else None


def _chained(branches: Sequence[Line], senses: Mapping[str, int]) -> Loop:
    """Branches given with a sense each, put one behind the other to a closed walk."""
    by_name = {b.name: b for b in branches}
    after = {from_point(by_name[n], s): (n, s) for n, s in senses.items()}
    if len(after) != len(senses):
        return ()
    dart = next(iter(after.values()))
    walk: list[Dart] = []
    while dart not in walk:
        walk.append(dart)
        following = after.get(from_point(by_name[dart[0]], -dart[1]))
        if following is None:
            return ()
        dart = following
    return tuple(walk) if len(walk) == len(senses) else ()


def _turns(cover: FlatCover) -> dict[Dart, Dart]:
    """For each dart that leaves a point, the next clockwise."""
    turns: dict[Dart, Dart] = {}
    for loop in (*cover.meshes, reversed_loop(cover.rim)):
        for (came, sense), leaves in zip(loop, loop[1:] + loop[:1], strict=True):
            turns[leaves] = (came, -sense)
    return turns


def _round(turns: Mapping[Dart, Dart], start: Dart) -> list[Dart]:
    """The darts met from `start` until the walk comes back to it."""
    walk, dart = [start], turns[start]
    while dart != start and len(walk) <= len(turns):
        walk.append(dart)
        dart = turns[dart]
    return walk


def _closes_up(cover: FlatCover, branches: Sequence[Line]) -> bool:
    """Whether the meshes round every point fit together to one full turn, so that the cover can really be
    drawn."""
    turns = _turns(cover)
    ends = Counter(p for b in branches for p in (b.start, b.end))
    by_name = {b.name: b for b in branches}
    for dart in turns:
        circle = _round(turns, dart)
        if len(circle) != ends[from_point(by_name[dart[0]], dart[1])]:
            return False
    return len(turns) == ends.total()
