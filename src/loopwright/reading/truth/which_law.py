"""Which law of the circuit a row is, if it is one: the junction, the loop and its sense, or the path.

Every true linear equation in currents and potentials is one combination of branch relations (potential
at the start minus potential at the end = drop along the branch) and junction equations. A law has
whole multipliers, all of one branch relation's size; a result has not. The multipliers are worked out
at two random points modulo a prime (Schwartz, J. ACM 27, 701, 1980: that two unequal ones agree there
by chance is as likely as one in 10^17); whether the row is true is decided exactly, and elsewhere.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass

from ...algebra.linear import Linear
from ...algebra.modular import PRIME, modular
from ...algebra.number_rows import CONSTANT, solve_residue_rows
from ...algebra.ratios import Ratio
from ...circuit.elements import Branch
from ...graph.connections import reached_from, short_loops
from ...graph.lines import Dart, Loop, from_point, to_point
from ...laws.laws import laws
from .meaning import Meanings, level

LARGEST = 4  # a multiplier larger than this is none that a person writes


_Multipliers = tuple[dict[str, int], dict[str, int], tuple[str, ...]]


@dataclass(frozen=True, slots=True)
class StatedLaw:
    """What a true row says of the circuit.

    `loops`: the loops it goes round (several: it is their sum). `path`: branches it goes along between two
    points, where it is no loop. `points`: the junctions whose equations are in it (several: a cut round
    them together). `fixed`: branches whose fixed current it states. `plainly`: whether a loop or path is
    written without a junction equation put in.
    """

    loops: tuple[Loop, ...] = ()
    path: Loop = ()
    points: tuple[str, ...] = ()
    fixed: tuple[str, ...] = ()
    plainly: bool = True
    by_potentials: tuple[str, ...] = ()


class WhichLaw:
    """Finds which law of the circuit a row in one view is."""

    def __init__(self, meanings: Meanings) -> None:
        self.meanings = meanings
        circuit = meanings.circuit
        self.free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
        self.samples = [Sample(meanings, seed) for seed in (1, 2)]
        self.points = circuit.points
        usual = {e.point for e in laws(circuit).independent_junctions}
        self.left_out = [p for p in circuit.points if p not in usual]

    def is_written_as_law(self, stated: StatedLaw, row: Linear) -> bool:
        """Whether a true row that is a law by its multipliers is written as one: a result for one current is
        none, except where a loop or a junction holds one current only (in several branches, where nothing
        else leads on from between them)."""
        if stated.by_potentials:
            return True
        circuit = self.meanings.circuit
        currents = [n for n in row.coefficients if n in circuit.currents]
        if len(currents) > 1 or stated.path:
            return True
        if not stated.loops:
            return len(stated.points) + len(stated.fixed) == 1
        resistive = [n for n, _ in stated.loops[0] if circuit.resistance(n)]
        return len(stated.loops) == 1 and (not stated.plainly or len(resistive) <= 1)

    def stated(self, row: Linear, spoken: Collection[str] = ()) -> StatedLaw | None:
        """The law that a true row states, or None when it is no single law. `spoken`: of which potentials
        (`φ bus`) a claim speaks; of junctions that all do, one of these is named."""
        by_potentials = self._junction_by_potentials(row, spoken)
        if by_potentials is not None:
            return by_potentials
        found = [self._multipliers(row, sample) for sample in self.samples]
        first = found[0]
        if first is None or any(other != first for other in found):
            return None
        branches, junctions, fixed = first
        flow = {n: m for n, m in branches.items() if m}
        met = tuple(p for p in self.points if junctions[p])
        if not flow:
            return StatedLaw(points=met, fixed=fixed) if met or fixed else None
        ends: dict[str, int] = {}
        for b in self.free:
            if b.name in flow:
                ends[b.start] = ends.get(b.start, 0) + flow[b.name]
                ends[b.end] = ends.get(b.end, 0) - flow[b.name]
        open_ends = [p for p, m in ends.items() if m]
        if open_ends:
            path = tuple((n, 1 if m > 0 else -1) for n, m in flow.items())
            return StatedLaw(path=path, points=met, fixed=fixed, plainly=not met)
        return StatedLaw(loops=self._peeled(flow), points=met, fixed=fixed, plainly=not met)

    def _junction_by_potentials(self, row: Linear, spoken: Collection[str]) -> StatedLaw | None:
        """The junction equation that a row is when currents that it does not hold are put in as what the
        potentials along their branches give: `(E1 − V)/R1 + I2 = V/R3`."""
        given = [{n: sample.of(r) for n, r in row.coefficients.items()} for sample in self.samples]
        for point in sorted(self.points, key=lambda p: (level(p) not in spoken, p in self.left_out)):
            at = [b for b in self.meanings.circuit.branches if (b.start == point) != (b.end == point)]
            put_in = tuple(b.name for b in at if b in self.free and b.name not in row.coefficients)
            if put_in and all(
                self._is_junction_by_potentials(at, point, c, sample.of(row.constant), sample)
                for c, sample in zip(given, self.samples, strict=True)
            ):
                return StatedLaw(points=(point,), plainly=False, by_potentials=put_in)
        return None

    def _is_junction_by_potentials(
        self, at: Sequence[Branch], point: str, row: Mapping[str, int], constant: int, sample: Sample
    ) -> bool:
        """Whether a row (its constant apart) is a multiple of the junction equation at a point where the
        branches `at` meet, with the current that the relation of its branch gives for each that it does not
        hold. What has no resistance gives none: it holds two potentials together, wherever it lies."""
        rule: dict[str, int] = {}
        for b in at:
            into = 1 if b.end == point else -1
            if b.name in sample.fixed and b.name not in row:
                rule[""] = (rule.get("", 0) + into * sample.fixed[b.name]) % PRIME
                continue
            _add(rule, {b.name: 1}, into)
            if b.name in row:
                continue
            along = sample.relations.get(b.name, {})
            if not along.get(b.name, 0):
                return False
            _add(rule, along, -into * pow(along[b.name], -1, PRIME))
        pivot = next((b.name for b in at if b.name in row), level(point))
        if not rule.get(pivot, 0) or not row.get(pivot, 0):
            return False
        off = {**row, "": constant}
        _add(off, rule, -row[pivot] * pow(rule[pivot], -1, PRIME))
        held = [along for name, along in sample.relations.items() if not along.get(name, 0)]
        return _is_made_of(off, held)

    def _peeled(self, flow: dict[str, int]) -> tuple[Loop, ...]:
        """Whole numbers of passages through branches, as many into every point as out of it, taken apart
        into loops that touch no point twice."""
        left = dict(flow)
        loops: list[Loop] = []
        while left:
            name = next(n for n in self.meanings.circuit.currents if n in left)
            walk = [(name, 1 if left[name] > 0 else -1)]
            while True:
                at = self._end(walk[-1])
                back = next((i for i, step in enumerate(walk) if self._start(step) == at), None)
                if back is not None:
                    loop = tuple(walk[back:])
                    break
                walk.append(
                    next(
                        (n, 1 if m > 0 else -1)
                        for n, m in left.items()
                        if self._start((n, 1 if m > 0 else -1)) == at
                    )
                )
            loops.append(loop)
            for n, sense in loop:
                left[n] -= sense
                if not left[n]:
                    del left[n]
        return tuple(loops)

    def _start(self, step: Dart) -> str:
        return from_point(self.meanings.circuit.branch(step[0]), step[1])

    def _end(self, step: Dart) -> str:
        return to_point(self.meanings.circuit.branch(step[0]), step[1])

    def _multipliers(self, row: Linear, sample: Sample) -> _Multipliers | None:
        """By which whole numbers the branch relations and the junction equations must be multiplied to add
        up to this row, and the branches whose fixed currents it states; None where they cannot, or not by
        whole numbers."""
        c = {n: sample.of(r) for n, r in row.coefficients.items()}
        resistance = sample.resistances
        flow = self._potential_flow(c)
        if flow is None:
            return None
        loops = sample.loops
        names = tuple(map(str, range(len(loops))))
        rows: list[dict[str, int]] = []
        for loop in loops:
            drops = {n: s * resistance[n] for n, s in loop}
            off = sum(s * c.get(n, 0) + drops[n] * flow.get(n, 0) for n, s in loop)
            shared = (sum(drops.get(n, 0) * s for n, s in other) for other in loops)
            rows.append({**dict(zip(names, shared, strict=True)), CONSTANT: off})
        sizes = solve_residue_rows(rows, names)
        if sizes.open:
            return None
        for loop, size in zip(loops, sizes.base.values(), strict=True):
            for n, s in loop:
                flow[n] = (flow.get(n, 0) + s * size) % PRIME
        rest = {n: (c.get(n, 0) + flow.get(n, 0) * resistance.get(n, 0)) % PRIME for n in resistance}
        rest.update({n: c.get(n, 0) for n in self.meanings.circuit.currents if n not in resistance})
        unit = next((m for m in flow.values() if m), 0)
        whole = _whole(flow, unit) if unit else {}
        if whole is None:
            return None
        levels = self._junction_levels(rest)
        if levels is None:
            return None
        least = self._fewest(levels)
        free = {b.name for b in self.free}
        fixed = tuple(
            b.name
            for b in self.meanings.circuit.branches
            if b.name not in free and (levels[b.end] - levels[b.start] - rest[b.name]) % PRIME
        )
        if unit:  # multipliers of the junction equations only tell whether one was put in
            return whole, {p: 1 if m else 0 for p, m in least.items()}, fixed
        whole_levels = _whole(least, next((m for m in least.values() if m), 1))
        if whole_levels is None or len({m for m in whole_levels.values() if m}) > 1:
            return None
        return {}, whole_levels, fixed

    def _potential_flow(self, c: Mapping[str, int]) -> dict[str, int] | None:
        """A flow along branches whose sources and sinks are the potentials in the row."""
        circuit = self.meanings.circuit
        wanted = {p: c.get(level(p), 0) % PRIME for p in circuit.named_points}
        if any(m for p, m in wanted.items() if p not in self.points):
            return None
        flow: dict[str, int] = {}
        seen: set[str] = set()
        for origin in self.points:
            if origin in seen:
                continue
            came = reached_from(origin, self.free)
            seen.update(came)
            need = {p: wanted[p] for p in came}
            for point, step in reversed(came.items()):
                amount = need[point]
                if amount and step is None:
                    return None
                if amount and step:  # the relation of the branch holds + at its start and − at its end
                    before, (name, sense) = step
                    flow[name] = (flow.get(name, 0) - sense * amount) % PRIME
                    need[before] = (need[before] + amount) % PRIME
        return flow

    def _junction_levels(self, rest: Mapping[str, int]) -> dict[str, int] | None:
        """A multiplier for each point (modulo the prime) such that the junction equations times these have
        the coefficients `rest` of the currents; None where that cannot be. A current that an element fixes
        may have any coefficient. The multipliers are found up to a number added to all, since all junction
        equations together say nothing."""
        circuit = self.meanings.circuit
        levels = {self.points[0]: 0}
        others = [b for b in circuit.branches if b not in self.free]
        while len(levels) < len(self.points):
            step = next(
                (
                    (to, levels[at] + sense * rest.get(b.name, 0))
                    for b in (*self.free, *others)
                    for at, to, sense in ((b.start, b.end, 1), (b.end, b.start, -1))
                    if at in levels and to not in levels
                ),
                None,
            )
            to, m = step or (next(p for p in self.points if p not in levels), 0)
            levels[to] = m % PRIME
        for b in self.free:
            if (levels[b.end] - levels[b.start] - rest.get(b.name, 0)) % PRIME:
                return None
        return levels

    def _fewest(self, levels: Mapping[str, int]) -> dict[str, int]:
        """The multipliers of the junction equations chosen so that as few equations as possible are used.

        Adding one number to the multipliers of all points changes nothing in the row (all junction
        equations of a circuit add up to 0 = 0). So the multiplier that most points share is subtracted from
        all; of several, that of a point whose junction equation is usually left out.
        """
        values = list(levels.values())
        unwritten = {levels[p] for p in self.left_out}
        most = max(dict.fromkeys(values), key=lambda v: (values.count(v), v in unwritten))
        return {p: (m - most) % PRIME for p, m in levels.items()}


class Sample:
    """Random values modulo a prime for the symbols of a view."""

    def __init__(self, meanings: Meanings, seed: int) -> None:
        chance = random.Random(seed)
        self.values = {name: chance.randrange(1, PRIME) for name in meanings.symbols.symbols}
        circuit = meanings.circuit
        free = [b for b in circuit.branches if circuit.fixed_current(b.name) is None]
        own = {b.name: circuit.resistance(b.name).at(meanings.numbers, meanings.symbols) for b in free}
        self.resistances = {name: self.of(r) for name, r in own.items()}
        currents = {b.name: circuit.fixed_current(b.name) for b in circuit.branches}
        self.fixed = {
            name: self.of(current.at(meanings.numbers, meanings.symbols))
            for name, current in currents.items()
            if current is not None
        }
        self.relations: dict[str, dict[str, int]] = {}
        for name, linear in meanings.relations().items():
            parts = {**linear.coefficients, "": linear.constant}
            self.relations[name] = {n: self.of(r) for n, r in parts.items()}
        self.loops = short_loops(free)

    def of(self, ratio: Ratio) -> int:
        """A ratio of the view's symbols modulo the prime."""
        return modular(ratio, self.values)


def _add(row: dict[str, int], other: Mapping[str, int], times: int) -> None:
    """Adds a multiple of another row modulo the prime."""
    for name, value in other.items():
        row[name] = (row.get(name, 0) + times * value) % PRIME


def _is_made_of(row: Mapping[str, int], others: Sequence[Mapping[str, int]]) -> bool:
    """Whether a row is a sum of multiples of others, modulo the prime (by elimination)."""
    left, rest = dict(row), [dict(other) for other in others]
    while rest:
        first = rest.pop()
        pivots = [name for name, value in first.items() if value and name]
        for other in (left, *rest) if pivots else ():
            _add(other, first, -other.get(pivots[0], 0) * pow(first[pivots[0]], -1, PRIME))
    return not any(left.values())


def _whole(values: Mapping[str, int], unit: int) -> dict[str, int] | None:
    """The values divided by `unit` as small whole numbers; None where they are none."""
    turned = pow(unit, -1, PRIME)
    found: dict[str, int] = {}
    for name, value in values.items():
        m = value * turned % PRIME
        m = m - PRIME if m > PRIME // 2 else m
        if abs(m) > LARGEST:
            return None
        found[name] = m
    return found
