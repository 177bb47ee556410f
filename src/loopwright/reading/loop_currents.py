"""Currents round loops as sums of branch currents: those that a working declares, and those it may mean.

A branch that two loops share carries both their currents, so what a loop current is depends on all the
loops chosen: with its own loop it is 1, with each other one 0. From a branch in which all other loop
currents are known it can be read off.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import combinations

from ..circuit.circuit import Circuit
from ..circuit.embedding import meshes
from ..graph.lines import Loop, from_point, reversed_loop, to_point
from ..graph.loops import first_independent, simple_loops
from ..laws.loops import loop_count_needed
from .working import LoopSaid

Meaning = Mapping[str, int]  # a sum of branch currents or potentials, of the circuit as drawn or changed
MOST_LOOPS = 6  # independent ones, of a circuit in which any choice of loops is thought of
MOST_BRANCHES = 24


def declared_loops(circuit: Circuit, said: Sequence[LoopSaid]) -> dict[str, tuple[Meaning, ...]]:
    """What the loop currents declared in a working stand for: one meaning where the sense is said, else two,
    one for each sense. Nothing where the loops are not as many independent ones as the circuit has."""
    loops: dict[str, Loop] = {}
    told: dict[str, bool] = {}
    for one in said:
        loop = _loop_through(circuit, one.round)
        if loop is None:
            continue
        sense = _sense(circuit, loop, one)
        loops[one.name] = reversed_loop(loop) if sense < 0 else loop
        told[one.name] = bool(sense)
    if not loops or len(loops) != loop_count_needed(circuit):
        return {}
    sums = _as_sums([dict(loop) for loop in loops.values()])
    if len(sums) < len(loops):
        return {}
    found: dict[str, tuple[Meaning, ...]] = {}
    for at, name in enumerate(loops):
        if name in circuit.elements:  # of a current source, which says itself what it is
            continue
        found[name] = (sums[at],) if told[name] else (sums[at], _turned(sums[at]))
    return found


def round_what_is_left(circuit: Circuit, said: LoopSaid, meanings: Sequence[Meaning]) -> tuple[Meaning, ...]:
    """Those of the meanings that are the current of one branch of the loop said, in the sense said: the
    current that is left where all else is taken out."""
    loop = _loop_through(circuit, said.round)
    if loop is None:
        return ()
    sense, ways = _sense(circuit, loop, said), dict(loop)
    found: list[Meaning] = []
    for meaning in meanings:
        name, sign = next(iter(meaning.items()))
        way = ways.get(name.partition(" ")[0])
        if len(meaning) == 1 and way and sense in (0, way * sign):
            found.append(meaning)
    return tuple(found)


def _loop_through(circuit: Circuit, elements: Sequence[str]) -> Loop | None:
    """The loop that is made of the branches of these elements; None where they make none."""
    left = {name: circuit.branch(name) for name in {circuit.branch_of(e).name for e in elements}}
    first = circuit.branch_of(elements[0])
    walk = [(first.name, 1)]
    del left[first.name]
    here = first.end
    while left:
        ways = [b for b in left.values() if here in (b.start, b.end)]
        if len(ways) != 1:
            return None
        step = ways[0]
        sense = 1 if from_point(step, 1) == here else -1
        walk.append((step.name, sense))
        here = to_point(step, sense)
        del left[step.name]
    return tuple(walk) if here == first.start else None


def _sense(circuit: Circuit, loop: Loop, said: LoopSaid) -> int:
    """+1 where a declared current runs as the loop is written, −1 the other way, 0 where that is not said."""
    if not said.passing:
        return 0
    branch = circuit.branch_of(said.passing)
    points = list(branch.points)
    own = dict(loop).get(branch.name)
    if own is None or said.start not in points or said.end not in points:
        return 0
    forward = points.index(said.start) < len(points) - 1 - points[::-1].index(said.end)
    return own if forward else -own


def _as_sums(loops: Sequence[Mapping[str, int]]) -> dict[int, dict[str, int]]:
    """The currents round loops (branch -> sense) as sums of branch currents, by position; those that cannot
    be read off a branch are left out."""
    known: dict[int, dict[str, int]] = {}
    while True:
        step = next(
            (
                (i, branch)
                for i, loop in enumerate(loops)
                if i not in known
                for branch in sorted(loop, key=lambda n: sum(n in other for other in loops))
                if all(j in known for j, other in enumerate(loops) if j != i and branch in other)
            ),
            None,
        )
        if step is None:
            return known
        i, branch = step
        own = loops[i][branch]
        total = {branch: own}
        for j, sums in known.items():
            for n, m in sums.items():
                total[n] = total.get(n, 0) - own * loops[j].get(branch, 0) * m
        known[i] = {n: m for n, m in total.items() if m}


def independent_loops(circuit: Circuit) -> list[dict[str, int]]:
    """As many independent loops as a circuit has, each as branch -> sense; none of one that has too many for
    any choice of loops to be thought of."""
    needed = loop_count_needed(circuit)
    plain = needed <= MOST_LOOPS and len(circuit.branches) <= MOST_BRANCHES
    loops = first_independent(simple_loops(circuit.branches), needed) if plain else []
    return [dict(loop) for loop in loops]


def any_loop_currents(circuit: Circuit, *, shared: bool) -> Iterator[Meaning]:
    """What a current round a loop may be beside the current of a branch: those of the meshes of the figure
    and, where it is one of several that share branches (`shared`), the sum or difference of two branch
    currents, for any other choice of loops. Each of them once, either way round."""
    basis = circuit.remembered_of_shape(independent_loops) if shared else []
    seen = {_at({name: 1}, basis) for name in circuit.currents}
    for mesh in _mesh_currents(circuit):
        yield from (mesh, _turned(mesh))
        seen.add(_at(mesh, basis))
    if not basis:
        return
    for one, other in combinations(circuit.currents, 2):
        for sign in (1, -1):
            made: Meaning = {one: 1, other: sign}
            at = _at(made, basis)
            if any(at) and at not in seen and tuple(-x for x in at) not in seen:
                seen.add(at)
                yield from (made, _turned(made))


def _mesh_currents(circuit: Circuit) -> Iterator[Meaning]:
    """The currents of meshes that share every branch with others, as sums of branch currents."""
    sums = _as_sums([dict(loop) for loop in meshes(circuit)])
    yield from (one for one in sums.values() if len(one) > 1)


def mesh_left(circuit: Circuit, made: Sequence[Meaning]) -> Meaning | None:
    """The current round the one mesh that none of these goes round, in the same sense; None where they are
    not the currents round all meshes but one, all in one sense."""
    loops = [dict(loop) for loop in meshes(circuit)]
    sums = _as_sums(loops)
    if len(loops) != len(made) + 1 or len(sums) != len(loops):
        return None
    places = {
        _at(one, loops): (at, sign) for at in sums for one, sign in ((sums[at], 1), (_turned(sums[at]), -1))
    }
    met = [places.get(_at(m, loops)) for m in made]
    left = set(sums) - {found[0] for found in met if found}
    senses = {found[1] for found in met if found}
    if None in met or len(left) != 1 or len(senses) != 1:
        return None
    last = sums[left.pop()]
    return last if senses == {1} else _turned(last)


def _at(meaning: Meaning, loops: Sequence[Mapping[str, int]]) -> tuple[int, ...]:
    """What a sum of branch currents comes to for one ampere round each loop in turn."""
    return tuple(sum(m * loop.get(n, 0) for n, m in meaning.items()) for loop in loops)


def _turned(meaning: Meaning) -> Meaning:
    return {n: -m for n, m in meaning.items()}
