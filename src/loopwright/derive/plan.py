"""Looks for the short way: which current to get rid of next, from which line, or which lines to combine.

A plan is a list of actions on the lines of the system; `narrate` turns it into written lines. The
search keeps the few cheapest partial plans at each depth (a beam) and measures a plan by what a
person has to write: the symbols of the lines it makes them write, not by arithmetic done.

Lines are lazy, as on paper: what is put into a line is written out only when that line is used
next, so that two currents put into a junction equation at once cost one line.

The search works on a shadow of the algebra: every coefficient is its value at three fixed sets of
positive numbers (so that terms that cancel are seen to cancel, and a coefficient that may vanish is
seen to change its sign), with an estimate of how many symbols it takes to write. A plan is only
advice; the exact algebra is done by `narrate` and judged by `verify`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import NamedTuple

from ..algebra.linear import Linear
from ..algebra.ratios import Exponents, Ratio

BEAM = 6  # partial plans kept at each depth
HOPE = 0.8  # the share of its outlook that a plan may hope to save, when another is known already
TINY = 1e-9  # a difference smaller than this share of what it is taken from is nothing
SHORT = 26  # symbols: the longest line that is shown before its fractions are cleared
LAST = 10.0  # what a line for one single current counts
Shadow = tuple[float, float, float, float]  # the values at three sets of numbers, the estimated symbols
NOTHING: Shadow = (0.0, 0.0, 0.0, 0.0)
CONSTANT = ""  # the key under which a row keeps its constant term


class LineShadow:
    """The shadow of one line: that of its every coefficient, by unknown.

    `origin`: its index among the lines given or made. `pending`: how many currents were put into it
    since it was last written out; `raw`: the symbols it has with these written in; `fraction`:
    whether one of them is a fraction; `brought`: currents that came in with what was put in, and
    how often each then stands in the raw line.
    `held`: how many unknowns it holds. `is_bare`: whether every current stands in it with +1 or −1
    (a junction equation). `symbols`: about how many symbols it takes to write it collected; a line
    for a single current leads to the same closed form whatever the way and weighs the same always.
    Not changed once made.
    """

    __slots__ = (
        "brought",
        "fraction",
        "held",
        "is_bare",
        "origin",
        "outlook",
        "pending",
        "raw",
        "shadows",
        "symbols",
    )

    def __init__(
        self,
        origin: int,
        shadows: Mapping[str, Shadow],
        raw: float | None = None,
        pending: int = 0,
        fraction: bool = False,
        brought: Mapping[str, int] | None = None,
    ) -> None:
        self.origin, self.shadows = origin, shadows
        self.pending, self.fraction, self.brought = pending, fraction, brought or {}
        self.held = len(shadows) - (CONSTANT in shadows)
        total = sum([shadow[3] for shadow in shadows.values()])
        self.is_bare = total == shadows.get(CONSTANT, NOTHING)[3]
        self.symbols = LAST if self.held == 1 else total + self.held
        self.raw = total + self.held if raw is None else raw
        self.outlook = 0.9 * self.symbols + 0.5 * self.raw if pending else 0.6 * self.symbols


@dataclass(frozen=True, slots=True)
class Eliminate:
    """Solve line `row` for `unknown` and put it into every other line that holds it."""

    row: int
    unknown: str


@dataclass(frozen=True, slots=True)
class Combine:
    """Replace line `row` by line number `made`: itself plus `sign` times line `other`."""

    row: int
    other: int
    sign: int
    made: int


Action = Eliminate | Combine


@dataclass(frozen=True, slots=True)
class DerivationPlan:
    """What to do, and what it costs in written symbols."""

    actions: tuple[Action, ...] = ()
    cost: float = 0.0
    rows: tuple[LineShadow, ...] = ()
    made: int = 0
    solved: frozenset[str] = field(default_factory=frozenset)


_Left = tuple[frozenset[str], tuple[int, ...]]  # what is left to do: currents solved for, lines in play


class _Way(NamedTuple):
    """A plan with one action more, before it is made: its cost, a floor under its promise, what it leaves.
    `grown` makes it, or None once its promise is seen to be above a limit."""

    cost: float
    floor: float
    left: _Left
    grown: Callable[[float], DerivationPlan | None]


def find_plan(
    lines: Sequence[Linear],
    beam_width: int = BEAM,
    shade: Shade | None = None,
    below: float = float("inf"),
) -> DerivationPlan | None:
    """The cheapest plan found that leads from these lines to the currents, or None when there is none;
    given up once every plan kept costs as much as `below`.
    The lines must be independent and as many as the unknowns. `shade`: one for several searches among
    lines of one circuit."""
    shade = shade or Shade(lines[0].field.symbols if lines else ())
    beam = [DerivationPlan(rows=tuple(shade.row(line, i) for i, line in enumerate(lines)), made=len(lines))]
    finished: DerivationPlan | None = None
    while beam and any(plan.cost < below for plan in beam):
        limit = finished.cost if finished else float("inf")
        beam = [plan for plan in beam if plan.cost + HOPE * sum(r.outlook for r in plan.rows) < limit]
        following: dict[_Left, _Way] = {}
        for plan in beam:
            for way in _ways_on(plan, shade.numeric):
                if way.cost >= limit:
                    continue
                if not way.left[1]:
                    finished, limit = way.grown(float("inf")), way.cost
                elif way.left not in following or way.cost < following[way.left].cost:
                    following[way.left] = way
        beam = _most_promising(following.values(), beam_width)
    return finished


def _most_promising(ways: Iterable[_Way], count: int) -> list[DerivationPlan]:
    """The plans with the best promise, the first of equals first; a way is gone only while what it is
    known to promise at least does not rule it out."""
    ranked: list[tuple[float, int, DerivationPlan]] = []
    for floor, index, way in sorted((way.floor, index, way) for index, way in enumerate(ways)):
        limit = ranked[-1][0] + TINY if len(ranked) == count else float("inf")
        if floor > limit:
            break
        plan = way.grown(limit)
        if plan is not None:
            ranked = sorted([*ranked, (_promise(plan), index, plan)])[:count]
    return [plan for _, _, plan in ranked]


class Shade:
    """Turns lines with exact coefficients in `symbols` into their shadows; remembers those it has turned."""

    def __init__(self, symbols: Sequence[str]) -> None:
        self.known: dict[int, tuple[Linear, LineShadow]] = {}
        self.numeric = not symbols
        self.points: tuple[list[float], ...] = ([], [], [])
        state = 1
        for _ in symbols:  # a linear congruence: positive numbers over four powers of ten
            for point in self.points:
                state = (state * 6364136223846793005 + 1442695040888963407) % (1 << 64)
                point.append(10.0 ** ((state >> 40) / (1 << 22) - 2.0))

    def row(self, line: Linear, origin: int) -> LineShadow:
        """The shadow of a line."""
        if id(line) in self.known:
            return LineShadow(origin, self.known[id(line)][1].shadows)
        shadows: dict[str, Shadow] = {}
        for name, c in (*line.coefficients.items(), (CONSTANT, line.constant)):
            if c:
                above, below = c.terms(), c.terms(below=True)
                first, second, third = (_real(above, p) / _real(below, p) for p in self.points)
                shadows[name] = (first, second, third, _symbols(c, above, constant=name == CONSTANT))
        self.known[id(line)] = line, LineShadow(origin, shadows)
        return self.known[id(line)][1]


def _real(terms: list[tuple[Exponents, int]], point: Sequence[float]) -> float:
    total = 0.0
    for exponents, coefficient in terms:
        product = float(coefficient)
        for number, exponent in zip(point, exponents, strict=False):
            if exponent:
                product *= number**exponent
        total += product
    return total


def _symbols(c: Ratio, above: list[tuple[Exponents, int]], *, constant: bool) -> float:
    """About how many symbols a person writes for a coefficient (0 for a current's own ±1)."""
    plain = c.constant()
    if plain is not None:
        if abs(plain) == 1 and not constant:
            return 0.0
        return 0.6 + 0.4 * (len(str(abs(plain.numerator))) + (plain.denominator > 1))
    return float(sum(max(sum(exponents), 1) for exponents, _ in above))


def _promise(plan: DerivationPlan) -> float:
    """The cost so far and what the lines left will at least cost: each must be written once more."""
    return plan.cost + sum(r.outlook for r in plan.rows)


def _ways_on(plan: DerivationPlan, numeric: bool) -> Iterator[_Way]:
    """One action more, in every way there is."""
    for row in plan.rows:
        left = tuple([r.origin for r in plan.rows if r is not row])
        others = [r for r in plan.rows if r is not row]
        base = plan.cost + writing_out(row)
        for unknown in row.shadows:
            if unknown != CONSTANT:
                cost, floor = _cost_of(base, row, unknown, others)
                grown = partial(_eliminated, plan, row, unknown, cost, floor, numeric)
                yield _Way(cost, floor, (plan.solved | {unknown}, left), grown)
    if len(plan.actions) < 2 * plan.made:
        for longer in _combined(plan):
            left = tuple(r.origin for r in longer.rows)
            yield _Way(longer.cost, _promise(longer), (longer.solved, left), partial(_itself, longer))


def writing_out(row: LineShadow) -> float:
    """What it costs to write out a line with everything that was put into it."""
    if not row.pending:
        return 0.0
    reading = row.raw + 0.8 * max(0.0, row.raw - 14.0)
    if row.fraction:
        return 4.0 + row.symbols + min(reading, 40.0)
    return 0.5 * reading


def _itself(plan: DerivationPlan, limit: float) -> DerivationPlan:
    return plan


def _cost_of(cost: float, row: LineShadow, unknown: str, others: Sequence[LineShadow]) -> tuple[float, float]:
    """What the plan costs, from `cost` on, once line `row` is solved for `unknown` and put into the
    others, and a floor under its promise."""
    if row.pending:
        cost += 2.0 + row.symbols
    elif row.is_bare:
        cost += 0.5 if _stands_alone(row, unknown) else 2.0
    else:
        cost += 1.0 + 0.7 * row.symbols
    *signs, pivot = row.shadows[unknown]
    if row.held > 1:
        cost += 1.5 * pivot  # the factor that must cancel when results are put back
        if max(signs) > 0 > min(signs):
            cost += 25.0  # a line must not be divided by what may be zero
    outlook, brings = 0.0, _brings(row, unknown)
    for other in others:
        if unknown not in other.shadows:
            outlook += other.outlook
            continue
        if unknown in other.brought:
            cost += (16.0 if other.fraction else 8.0) if pivot else 1.5
        cost += 0.8
        outlook += 0.5 * (other.raw + other.brought.get(unknown, 1) * brings)
    return cost, cost + outlook


def _brings(row: LineShadow, unknown: str) -> float:
    """How many symbols more a line has wherever what `row` gives for `unknown` is written in."""
    fraction = 1.0 if row.shadows[unknown][3] else 0.0
    return row.symbols - 1.0 + fraction


def _eliminated(
    plan: DerivationPlan,
    row: LineShadow,
    unknown: str,
    cost: float,
    floor: float,
    numeric: bool,
    limit: float,
) -> DerivationPlan | None:
    """The plan with line `row` solved for `unknown` and put into the others; None above the limit."""
    rows: list[LineShadow] = []
    for other in plan.rows:
        if other is row:
            continue
        if unknown in other.shadows:
            other = _put(other, row, unknown, numeric)
            floor += 0.9 * other.symbols
            if floor > limit:
                return None
        rows.append(other)
    action = Eliminate(row.origin, unknown)
    return DerivationPlan((*plan.actions, action), cost, tuple(rows), plan.made, plan.solved | {unknown})


def _stands_alone(row: LineShadow, unknown: str) -> bool:
    """Whether a junction equation has this current alone on one side, as it is written."""
    own = row.shadows[unknown][0]
    return all(shadow[0] == -own for name, shadow in row.shadows.items() if name != unknown)


def _put(other: LineShadow, row: LineShadow, unknown: str, numeric: bool) -> LineShadow:
    """The shadow of `other` with `unknown` replaced by what `row` gives for it."""
    shadows = dict(other.shadows)
    brought = dict(other.brought)
    times = brought.pop(unknown, 1)
    (p1, p2, p3, pivot), (q1, q2, q3, taken) = row.shadows[unknown], shadows.pop(unknown)
    f1, f2, f3 = q1 / p1, q2 / p2, q3 / p3
    if pivot:
        shadows = {n: (a, b, c, weight + pivot) for n, (a, b, c, weight) in shadows.items()}
    for name, (r1, r2, r3, added) in row.shadows.items():
        if name == unknown:
            continue
        standing = name in shadows
        o1, o2, o3, weight = shadows[name] if standing else NOTHING
        if name != CONSTANT:
            brought[name] = brought.get(name, standing) + times
        left1, left2, left3 = o1 - r1 * f1, o2 - r2 * f2, o3 - r3 * f3
        if abs(left1) <= TINY * abs(o1) and abs(left2) <= TINY * abs(o2) and abs(left3) <= TINY * abs(o3):
            shadows.pop(name, None)
            continue
        weight += taken + added
        if numeric:
            weight = min(weight, 2.2)
        elif standing:
            weight = max(weight, 1.0)
        shadows[name] = (left1, left2, left3, weight)
    return LineShadow(
        other.origin,
        shadows,
        other.raw + times * _brings(row, unknown),
        other.pending + 1,
        other.fraction or pivot > 0,
        brought,
    )


def _combined(plan: DerivationPlan) -> list[DerivationPlan]:
    """Sums and differences of two lines that get rid of a current because its terms cancel."""
    found: list[DerivationPlan] = []
    for row in plan.rows:
        if row.is_bare:
            continue
        for other in plan.rows:
            if other is row or other.is_bare:
                continue
            for sign in _cancelling(row, other):
                total = _sum(row, other, sign, plan.made)
                if not 0 < total.held < row.held:
                    continue
                cost = plan.cost + writing_out(row) + writing_out(other) + 2.0 + total.symbols
                cost += 2.0 * (row.pending > 0) + 2.0 * (other.pending > 0)
                clean = LineShadow(other.origin, other.shadows)
                rows = tuple(total if r is row else clean if r is other else r for r in plan.rows)
                action = Combine(row.origin, other.origin, sign, plan.made)
                found.append(DerivationPlan((*plan.actions, action), cost, rows, plan.made + 1, plan.solved))
    return found


def _cancelling(row: LineShadow, other: LineShadow) -> list[int]:
    """The signs, of 1 and −1, with which some current drops out when the other line is added."""
    plus = minus = False
    for name, (a1, a2, a3, _) in row.shadows.items():
        if name == CONSTANT or name not in other.shadows:
            continue
        b1, b2, b3, _ = other.shadows[name]
        w1, w2, w3 = TINY * abs(a1), TINY * abs(a2), TINY * abs(a3)
        plus = plus or (abs(a1 + b1) <= w1 and abs(a2 + b2) <= w2 and abs(a3 + b3) <= w3)
        minus = minus or (abs(a1 - b1) <= w1 and abs(a2 - b2) <= w2 and abs(a3 - b3) <= w3)
    return [sign for sign, cancels in ((1, plus), (-1, minus)) if cancels]


def _is_nothing(one: Shadow, other: Shadow, sign: int) -> bool:
    return (
        abs(one[0] + sign * other[0]) <= TINY * abs(one[0])
        and abs(one[1] + sign * other[1]) <= TINY * abs(one[1])
        and abs(one[2] + sign * other[2]) <= TINY * abs(one[2])
    )


def _sum(row: LineShadow, other: LineShadow, sign: int, origin: int) -> LineShadow:
    shadows: dict[str, Shadow] = {}
    for name in dict.fromkeys((*row.shadows, *other.shadows)):
        one, two = row.shadows.get(name, NOTHING), other.shadows.get(name, NOTHING)
        if any(one[:3]) and _is_nothing(one, two, sign):
            continue
        shadows[name] = (
            one[0] + sign * two[0],
            one[1] + sign * two[1],
            one[2] + sign * two[2],
            one[3] + two[3],
        )
    return LineShadow(origin, shadows)
