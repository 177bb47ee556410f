"""Looks for the short way: which current to get rid of next, from which line, or which lines to combine.

A plan is a list of actions on the lines of the system; `narrate` turns it into written lines. The
search keeps the few cheapest partial plans at each depth (a beam) and measures a plan by what a
person has to write: the symbols of the lines it makes them write, not by arithmetic done. What each
move costs, and why, stands in `weights`.

Lines are lazy, as on paper: what is put into a line is written out only when that line is used
next, so that two currents put into a junction equation at once cost one line.

The search works on a shadow of the algebra: every coefficient is its value at three fixed sets of
positive numbers (so that terms that cancel are seen to cancel, and a coefficient that may vanish is
seen to change its sign), with an estimate of how many symbols it takes to write. A plan is only
advice; the exact algebra is done by `narrate` and judged by `verify`. Stands on exact lines and the
table of weights; knows no circuit.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from functools import partial
from typing import NamedTuple

from ..algebra.linear import Linear
from ..algebra.ratios import Exponents, Ratio
from .weights import EXTENT, WEIGHTS

TINY = 1e-9  # a difference smaller than this share of what it is taken from is rounding: the terms cancel
Shadow = tuple[float, float, float, float]  # the values at three sets of numbers, the estimated symbols
NOTHING: Shadow = (0.0, 0.0, 0.0, 0.0)
CONSTANT = ""  # the key under which a line keeps its constant term


class LineShadow:
    """One line of the system in plain numbers: for each current (and the constant term) the values of
    its coefficient and about how many symbols it takes to write. Not changed once made.

    Given: `origin`, its place among the lines given or made since; `shadows`, its coefficients by
    current; `pending`, how many currents were put into it since it was last written out; `raw`, how
    many symbols it has with these written in and nothing collected; `fraction`, whether one of them was
    a fraction; `brought`, the currents that came in with what was put in, and how often each then
    stands in the line before collecting.

    Found: `held`, how many currents it holds; `is_bare`, whether each stands in it with +1 or −1, as in
    a junction equation; `symbols`, about how many it takes to write the line collected; `outlook`, what
    it will at least cost until the end, in symbols.
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
        self.symbols = WEIGHTS.result if self.held == 1 else total + self.held
        self.raw = total + self.held if raw is None else raw
        if pending:
            self.outlook = WEIGHTS.left_collected_share * self.symbols + WEIGHTS.left_raw_share * self.raw
        else:
            self.outlook = WEIGHTS.left_share * self.symbols


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
    """What to do, in order, and what it costs in written symbols.

    `rows`: the lines still in play after these actions; `made`: how many lines there were in all, given
    or made by combining; `solved`: the currents that a line has been solved for.
    """

    actions: tuple[Action, ...] = ()
    cost: float = 0.0
    rows: tuple[LineShadow, ...] = ()
    made: int = 0
    solved: frozenset[str] = field(default_factory=frozenset)


_Left = tuple[frozenset[str], tuple[int, ...]]  # what is left to do: currents solved for, lines in play


class _Way(NamedTuple):
    """A plan with one action more, priced before it is worked out, because most are not worth it.

    `cost`: what the plan would cost so far. `floor`: the least that it can promise to cost in the end.
    `left`: what it would leave to do; of two ways that leave the same, the cheaper is kept.
    `grown(limit)`: works the plan out; None as soon as it is seen to promise more than the limit.
    """

    cost: float
    floor: float
    left: _Left
    grown: Callable[[float], DerivationPlan | None]


def find_plan(
    lines: Sequence[Linear],
    beam_width: int | None = None,
    shade: Shade | None = None,
    below: float = float("inf"),
) -> DerivationPlan | None:
    """The cheapest plan found that leads from these lines to the currents, or None when there is none.

    `lines`: independent, and as many as the unknowns. `beam_width`: how many partial plans are kept
    (`EXTENT.beam` where it is not said). `shade`: one for several searches among lines of one circuit,
    so that each line is turned into numbers once. `below`: in symbols; the search is given up once
    every plan kept costs as much.
    """
    shade = shade or Shade(lines[0].field.symbols if lines else ())
    width = EXTENT.beam if beam_width is None else beam_width
    beam = [DerivationPlan(rows=tuple(shade.row(line, i) for i, line in enumerate(lines)), made=len(lines))]
    finished: DerivationPlan | None = None
    while beam and any(plan.cost < below for plan in beam):
        limit = finished.cost if finished else float("inf")
        beam = [plan for plan in beam if plan.cost + EXTENT.hope * sum(r.outlook for r in plan.rows) < limit]
        following: dict[_Left, _Way] = {}
        for plan in beam:
            for way in _ways_on(plan, shade.numeric):
                if way.cost >= limit:
                    continue
                if not way.left[1]:
                    finished, limit = way.grown(float("inf")), way.cost
                elif way.left not in following or way.cost < following[way.left].cost:
                    following[way.left] = way
        beam = _most_promising(following.values(), width)
    return finished


def _most_promising(ways: Iterable[_Way], count: int) -> list[DerivationPlan]:
    """The `count` plans with the best promise, the first of equals first. A way is worked out only as
    long as its floor leaves it a chance to be among them."""
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
    """Turns lines with exact coefficients in `symbols` into their shadows at three fixed sets of positive
    numbers; remembers those it has turned."""

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
        """The shadow of a line; `origin`: its place among the lines given or made."""
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
        digits = len(str(abs(plain.numerator))) + (plain.denominator > 1)
        return WEIGHTS.number + WEIGHTS.digit * digits
    return float(sum(max(sum(exponents), 1) for exponents, _ in above))


def _promise(plan: DerivationPlan) -> float:
    """The cost so far and what the lines left will at least cost: each must be written once more."""
    return plan.cost + sum(r.outlook for r in plan.rows)


def _ways_on(plan: DerivationPlan, numeric: bool) -> Iterator[_Way]:
    """Every way to go on by one action: a line solved for a current of its own, or two lines combined.
    `numeric`: whether the coefficients are numbers."""
    for row in plan.rows:
        left = tuple([r.origin for r in plan.rows if r is not row])
        others = [r for r in plan.rows if r is not row]
        base = plan.cost + _writing_out(row)
        for unknown in row.shadows:
            if unknown != CONSTANT:
                cost, floor = _cost_of(base, row, unknown, others)
                grown = partial(_eliminated, plan, row, unknown, cost, floor, numeric)
                yield _Way(cost, floor, (plan.solved | {unknown}, left), grown)
    if len(plan.actions) < EXTENT.actions * plan.made:
        for longer in _combined(plan):
            left = tuple(r.origin for r in longer.rows)
            yield _Way(longer.cost, _promise(longer), (longer.solved, left), partial(_itself, longer))


def _writing_out(row: LineShadow) -> float:
    """What it costs to write out a line with everything that was put into it, in symbols."""
    if not row.pending:
        return 0.0
    reading = row.raw + WEIGHTS.read_hard_share * max(0.0, row.raw - WEIGHTS.read_easily)
    if row.fraction:
        return WEIGHTS.clear_fractions + row.symbols + min(reading, WEIGHTS.longest_raw)
    return WEIGHTS.raw_share * reading


def _itself(plan: DerivationPlan, limit: float) -> DerivationPlan:
    """A way that needed no working out: the plan has been made already."""
    return plan


def _cost_of(cost: float, row: LineShadow, unknown: str, others: Sequence[LineShadow]) -> tuple[float, float]:
    """What the plan costs, in symbols, once line `row` is solved for `unknown` and this is put into the
    lines `others`; and the least that the plan can then promise to cost in the end. `cost`: what it has
    cost so far."""
    if row.pending:
        cost += WEIGHTS.solve_at_once + row.symbols
    elif row.is_bare:
        cost += WEIGHTS.read_off if _stands_alone(row, unknown) else WEIGHTS.turn_round
    else:
        cost += WEIGHTS.solve + WEIGHTS.solve_share * row.symbols
    *signs, pivot = row.shadows[unknown]
    if row.held > 1:
        cost += WEIGHTS.factor_share * pivot
        if max(signs) > 0 > min(signs):
            cost += WEIGHTS.may_be_nought
    outlook, brings = 0.0, _brings(row, unknown)
    for other in others:
        if unknown not in other.shadows:
            outlook += other.outlook
            continue
        if unknown in other.brought:
            cost += _coming_back(other) if pivot else WEIGHTS.comes_back_plain
        cost += WEIGHTS.put_in
        outlook += WEIGHTS.left_raw_share * (other.raw + other.brought.get(unknown, 1) * brings)
    return cost, cost + outlook


def _coming_back(other: LineShadow) -> float:
    return WEIGHTS.comes_back_in_fraction if other.fraction else WEIGHTS.comes_back


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
            floor += WEIGHTS.left_collected_share * other.symbols
            if floor > limit:
                return None
        rows.append(other)
    action = Eliminate(row.origin, unknown)
    return DerivationPlan((*plan.actions, action), cost, tuple(rows), plan.made, plan.solved | {unknown})


def _stands_alone(row: LineShadow, unknown: str) -> bool:
    """Whether a junction equation has this current alone on one side, so that it can be read off as it is
    written."""
    own = row.shadows[unknown][0]
    return all(shadow[0] == -own for name, shadow in row.shadows.items() if name != unknown)


def _put(other: LineShadow, row: LineShadow, unknown: str, numeric: bool) -> LineShadow:
    """The shadow of `other` with `unknown` replaced by what `row` gives for it. `numeric`: whether the
    coefficients are numbers, which do not grow when they are multiplied. Where `row` must be divided by
    a factor, every other term of `other` is multiplied by it, as when fractions are cleared."""
    shadows = dict(other.shadows)
    brought = dict(other.brought)
    times = brought.pop(unknown, 1)
    *divisors, factor = row.shadows[unknown]
    *multiples, multiple = shadows.pop(unknown)
    by1, by2, by3 = [m / d for m, d in zip(multiples, divisors, strict=True)]
    if factor:
        shadows = {n: (a, b, c, symbols + factor) for n, (a, b, c, symbols) in shadows.items()}
    for name, (new1, new2, new3, new_symbols) in row.shadows.items():
        if name == unknown:
            continue
        standing = name in shadows
        old1, old2, old3, symbols = shadows[name] if standing else NOTHING
        if name != CONSTANT:
            brought[name] = brought.get(name, standing) + times
        left1, left2, left3 = old1 - new1 * by1, old2 - new2 * by2, old3 - new3 * by3
        if (
            abs(left1) <= TINY * abs(old1)
            and abs(left2) <= TINY * abs(old2)
            and abs(left3) <= TINY * abs(old3)
        ):
            shadows.pop(name, None)
            continue
        symbols += multiple + new_symbols
        if numeric:
            symbols = min(symbols, WEIGHTS.longest_number)
        elif standing:
            symbols = max(symbols, WEIGHTS.sum_of_two)
        shadows[name] = (left1, left2, left3, symbols)
    return LineShadow(
        other.origin,
        shadows,
        other.raw + times * _brings(row, unknown),
        other.pending + 1,
        other.fraction or factor > 0,
        brought,
    )


def _combined(plan: DerivationPlan) -> list[DerivationPlan]:
    """The plan with one action more, for every sum or difference of two lines in which a current
    cancels."""
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
                cost = plan.cost + _writing_out(row) + _writing_out(other) + WEIGHTS.combine + total.symbols
                cost += WEIGHTS.combine_collected * ((row.pending > 0) + (other.pending > 0))
                clean = LineShadow(other.origin, other.shadows)
                rows = tuple(total if r is row else clean if r is other else r for r in plan.rows)
                action = Combine(row.origin, other.origin, sign, plan.made)
                found.append(DerivationPlan((*plan.actions, action), cost, rows, plan.made + 1, plan.solved))
    return found


def _cancelling(row: LineShadow, other: LineShadow) -> list[int]:
    """The signs, of 1 and −1, with which some current drops out when the other line is added."""
    plus = minus = False
    for name, shadow in row.shadows.items():
        if name != CONSTANT and name in other.shadows:
            plus = plus or _is_nothing(shadow, other.shadows[name], 1)
            minus = minus or _is_nothing(shadow, other.shadows[name], -1)
    return [sign for sign, cancels in ((1, plus), (-1, minus)) if cancels]


def _is_nothing(one: Shadow, other: Shadow, sign: int) -> bool:
    """Whether `one` + `sign` times `other` is nothing at all three sets of numbers."""
    return (
        abs(one[0] + sign * other[0]) <= TINY * abs(one[0])
        and abs(one[1] + sign * other[1]) <= TINY * abs(one[1])
        and abs(one[2] + sign * other[2]) <= TINY * abs(one[2])
    )


def _sum(row: LineShadow, other: LineShadow, sign: int, origin: int) -> LineShadow:
    """The shadow of a new line, number `origin`: `row` + `sign` times `other`."""
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
