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

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations

from ..algebra.linear import Linear
from ..algebra.ratios import Exponents, Ratio
from .weights import EXTENT, WEIGHTS, Extent, Weights

TINY = 1e-9  # a difference smaller than this share of what it is taken from is rounding: the terms cancel
Shadow = tuple[float, float, float, float]  # the values at three sets of numbers, the estimated symbols
NOTHING: Shadow = (0.0, 0.0, 0.0, 0.0)
CONSTANT = ""  # the key under which a line keeps its constant term


class LineShadow:
    """One line of the system in plain numbers: for each current (and the constant term) the values of
    its coefficient and about how many symbols it takes to write. Not changed once made.

    Given: `shadows`, its coefficients by current; `pending`, how many currents were put into it since it
    was last written out; `raw`, how many symbols it has with these written in and nothing collected;
    `fraction`, whether one of them was a fraction; `brought`, the currents that came in with what was put
    in, and how often each then stands in the line before collecting.

    Found: `held`, how many currents it holds; `is_bare`, whether each stands in it with +1 or −1, as in
    a junction equation; `symbols`, about how many it takes to write the line collected; `outlook`, what
    it will at least cost until the end, in symbols; `writing`, what it costs to write it out with everything
    that was put into it.
    """

    __slots__ = (
        "_clean",
        "_solvings",
        "brought",
        "fraction",
        "held",
        "is_bare",
        "outlook",
        "pending",
        "raw",
        "shadows",
        "symbols",
        "writing",
    )

    def __init__(
        self,
        shadows: Mapping[str, Shadow],
        raw: float | None = None,
        pending: int = 0,
        fraction: bool = False,
        brought: Mapping[str, int] | None = None,
    ) -> None:
        self.shadows = shadows
        self.pending, self.fraction, self.brought = pending, fraction, brought or {}
        self.held = len(shadows) - (CONSTANT in shadows)
        total = sum([shadow[3] for shadow in shadows.values()])
        self.is_bare = total == shadows.get(CONSTANT, NOTHING)[3]
        self.symbols = WEIGHTS.result if self.held == 1 else total + self.held
        self.raw = total + self.held if raw is None else raw
        self.writing = 0.0
        self._clean: LineShadow | None = None
        self._solvings: list[_Solving] | None = None
        if not pending:
            self.outlook = WEIGHTS.left_share * self.symbols
            return
        self.outlook = WEIGHTS.left_collected_share * self.symbols + WEIGHTS.left_raw_share * self.raw
        reading = self.raw + WEIGHTS.read_hard_share * max(0.0, self.raw - WEIGHTS.read_easily)
        self.writing = WEIGHTS.raw_share * reading
        if fraction:
            self.writing = WEIGHTS.clear_fractions + self.symbols + min(reading, WEIGHTS.longest_raw)

    @property
    def clean(self) -> LineShadow:
        """The line once it has been written out."""
        if not self.pending:
            return self
        if self._clean is None:
            self._clean = LineShadow(self.shadows)
        return self._clean

    @property
    def solvings(self) -> list[_Solving]:
        """What it takes to solve it for each of its currents."""
        if self._solvings is None:
            self._solvings = [self._solving(unknown) for unknown in self.shadows if unknown != CONSTANT]
        return self._solvings

    def _solving(self, unknown: str) -> _Solving:
        *signs, pivot = self.shadows[unknown]
        if self.pending:
            line = WEIGHTS.solve_at_once + self.symbols
        elif self.is_bare:
            line = WEIGHTS.read_off if self._stands_alone(unknown) else WEIGHTS.turn_round
        else:
            line = WEIGHTS.solve + WEIGHTS.solve_share * self.symbols
        factor = nought = 0.0
        if self.held > 1:
            factor = WEIGHTS.factor_share * pivot
            nought = WEIGHTS.may_be_nought if max(signs) > 0 > min(signs) else 0.0
        brings = self.symbols - 1.0 + (1.0 if pivot else 0.0)
        return unknown, line, factor, nought, pivot > 0, brings

    def _stands_alone(self, unknown: str) -> bool:
        """Whether a junction equation has this current alone on one side, so that it can be read off as it
        is written."""
        own = self.shadows[unknown][0]
        return all(shadow[0] == -own for name, shadow in self.shadows.items() if name != unknown)


_Solving = tuple[str, float, float, float, bool, float]
"""A line solved for a current: the current, what that costs, what its factor costs besides, and that it may
be nought; whether there is a factor; how many symbols more a line has wherever the result is written in."""


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

    `rows`: the lines still in play after these actions; `origins`: the place of each among the lines given
    or made since; `made`: how many there were in all; `solved`: the currents that a line has been solved
    for, a bit each.
    """

    actions: tuple[Action, ...] = ()
    cost: float = 0.0
    rows: tuple[LineShadow, ...] = ()
    origins: tuple[int, ...] = ()
    made: int = 0
    solved: int = 0


_Left = tuple[int, tuple[int, ...]]  # what is left to do: currents solved for, lines in play
_Way = tuple[float, float, _Left, DerivationPlan, int, str, int, int, LineShadow | None]
"""A plan with one action more, priced before it is worked out, because most are not worth it. What it would
cost so far, and the least that it can promise to cost in the end; what it would leave to do (of two ways that
leave the same, the cheaper is kept); the plan that it goes on from; the place of the line that is solved for
the current named, or, where none is named, becomes the sum with another line, of this place and this sign."""


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
    rows = tuple(map(shade.row, lines))
    beam = [DerivationPlan(rows=rows, origins=tuple(range(len(rows))), made=len(rows))]
    finished: DerivationPlan | None = None
    while beam and any(plan.cost < below for plan in beam):
        limit = finished.cost if finished else float("inf")
        beam = [plan for plan in beam if plan.cost + EXTENT.hope * _outlook(plan.rows) < limit]
        following: dict[_Left, _Way] = {}
        for plan in beam:
            for way in _ways_on(plan, shade):
                cost, left = way[0], way[2]
                if cost >= limit:
                    continue
                if not left[1]:
                    finished, limit = _grown(way, float("inf"), shade), cost
                elif left not in following or cost < following[left][0]:
                    following[left] = way
        beam = _most_promising(following.values(), width, shade)
    return finished


def _most_promising(ways: Iterable[_Way], count: int, shade: Shade) -> list[DerivationPlan]:
    """The `count` plans with the best promise, the first of equals first. A way is worked out only as
    long as its floor leaves it a chance to be among them."""
    ranked: list[tuple[float, int, DerivationPlan]] = []
    for floor, index, way in sorted([(way[1], index, way) for index, way in enumerate(ways)]):
        limit = ranked[-1][0] + TINY if len(ranked) == count else float("inf")
        if floor > limit:
            break
        plan = _grown(way, limit, shade)
        if plan is not None:
            ranked = sorted([*ranked, (plan.cost + _outlook(plan.rows), index, plan)])[:count]
    return [plan for _, _, plan in ranked]


class Shade:
    """Turns lines with exact coefficients in `symbols` into their shadows at three fixed sets of positive
    numbers; remembers those it has turned, and what was worked of them: two lines each, the current put in
    (none where they were added), and what came of it, with the sign of the second."""

    def __init__(self, symbols: Sequence[str]) -> None:
        self.known: dict[int, tuple[Linear, LineShadow]] = {}
        self.puts: dict[tuple[LineShadow, LineShadow, str], LineShadow] = {}
        self.added: dict[tuple[LineShadow, LineShadow], list[tuple[int, LineShadow]]] = {}
        self.worked: list[tuple[LineShadow, LineShadow, str, tuple[tuple[int, LineShadow], ...]]] = []
        self.bits: dict[str, int] = {}
        self.numeric = not symbols
        self.points: tuple[list[float], ...] = ([], [], [])
        state = 1
        for _ in symbols:  # a linear congruence: positive numbers over four powers of ten
            for point in self.points:
                state = (state * 6364136223846793005 + 1442695040888963407) % (1 << 64)
                point.append(10.0 ** ((state >> 40) / (1 << 22) - 2.0))

    def row(self, line: Linear) -> LineShadow:
        """The shadow of a line."""
        if id(line) not in self.known:
            parts = (*line.coefficients.items(), (CONSTANT, line.constant))
            shadows = {name: self._shadow(c, constant=name == CONSTANT) for name, c in parts if c}
            for name in shadows:
                self.bits.setdefault(name, 1 << len(self.bits))
            self.known[id(line)] = line, LineShadow(shadows)
        return self.known[id(line)][1]

    def _shadow(self, c: Ratio, *, constant: bool) -> Shadow:
        plain = c.constant()
        if plain is None:
            above, below = c.terms(), c.terms(below=True)
            first, second, third = (_real(above, p) / _real(below, p) for p in self.points)
            return first, second, third, float(sum(max(sum(exponents), 1) for exponents, _ in above))
        value = float(plain.numerator) / float(plain.denominator)
        if abs(plain) == 1 and not constant:
            return value, value, value, 0.0
        digits = len(str(abs(plain.numerator))) + (plain.denominator > 1)
        return value, value, value, WEIGHTS.number + WEIGHTS.digit * digits

    def put(self, other: LineShadow, row: LineShadow, unknown: str) -> LineShadow:
        """The shadow of `other` with `unknown` replaced by what `row` gives for it."""
        key = other, row, unknown
        if key not in self.puts:
            self.puts[key] = made = _put(other, row, unknown, self.numeric)
            self.worked.append((other, row, unknown, ((0, made),)))
        return self.puts[key]

    def sums(self, row: LineShadow, other: LineShadow) -> list[tuple[int, LineShadow]]:
        """The sum and the difference of two lines, with the sign of the second, where fewer currents stand
        in it than in the first."""
        key = row, other
        if key not in self.added:
            found = [(sign, _sum(row, other, sign)) for sign in _cancelling(row, other)]
            self.worked.append((row, other, "", tuple(found)))
            self.added[key] = [(sign, total) for sign, total in found if 0 < total.held < row.held]
        return self.added[key]


def prices() -> tuple[Weights, Extent]:
    """By what plans are priced, and how far the search looks."""
    return WEIGHTS, EXTENT


def _real(terms: list[tuple[Exponents, int]], point: Sequence[float]) -> float:
    total = 0.0
    for exponents, coefficient in terms:
        product = float(coefficient)
        for number, exponent in zip(point, exponents, strict=False):
            if exponent:
                product *= number**exponent
        total += product
    return total


def _outlook(rows: Sequence[LineShadow]) -> float:
    """What the lines left will at least cost: each must be written once more."""
    return sum([row.outlook for row in rows])


def _ways_on(plan: DerivationPlan, shade: Shade) -> list[_Way]:
    """Every way to go on by one action: a line solved for a current of its own, or two lines combined."""
    put_in, share = WEIGHTS.put_in, WEIGHTS.left_raw_share
    back, in_fraction, plain = WEIGHTS.comes_back, WEIGHTS.comes_back_in_fraction, WEIGHTS.comes_back_plain
    ways: list[_Way] = []
    rows, origins, solved, whole = plan.rows, plan.origins, plan.solved, _outlook(plan.rows)
    holding: dict[str, list[LineShadow]] = {}
    for row in rows:
        for unknown in row.shadows:
            holding.setdefault(unknown, []).append(row)
    for at, row in enumerate(rows):
        left = origins[:at] + origins[at + 1 :]
        base, rest = plan.cost + row.writing, whole - row.outlook
        for unknown, line, factor, nought, by_factor, brings in row.solvings:
            cost, outlook = base + line + factor + nought, rest
            for other in holding[unknown]:
                if other is row:
                    continue
                times = other.brought.get(unknown, 0)
                if times:
                    cost += (in_fraction if other.fraction else back) if by_factor else plain
                cost += put_in
                outlook += share * (other.raw + (times or 1) * brings) - other.outlook
            after = solved | shade.bits[unknown], left
            ways.append((cost, cost + outlook, after, plan, at, unknown, 0, 0, None))
    return ways + _combined(plan, shade) if len(plan.actions) < EXTENT.actions * plan.made else ways


def _combined(plan: DerivationPlan, shade: Shade) -> list[_Way]:
    """Every way to go on by the sum or difference of two lines in which a current cancels."""
    ways: list[_Way] = []
    places = [(at, row) for at, row in enumerate(plan.rows) if not row.is_bare]
    for (at, row), (other_at, other) in permutations(places, 2):
        for sign, total in shade.sums(row, other):
            cost = plan.cost + row.writing + other.writing + WEIGHTS.combine + total.symbols
            cost += WEIGHTS.combine_collected * ((row.pending > 0) + (other.pending > 0))
            rows, origins = _with_sum(plan, at, other_at, total)
            ways.append(
                (cost, cost + _outlook(rows), (plan.solved, origins), plan, at, "", other_at, sign, total)
            )
    return ways


def _with_sum(
    plan: DerivationPlan, at: int, other_at: int, total: LineShadow
) -> tuple[tuple[LineShadow, ...], tuple[int, ...]]:
    """The lines in play, and their places, once the line `at` has become a sum with another."""
    rows, origins = list(plan.rows), list(plan.origins)
    rows[at], origins[at] = total, plan.made
    rows[other_at] = rows[other_at].clean
    return tuple(rows), tuple(origins)


def _grown(way: _Way, limit: float, shade: Shade) -> DerivationPlan | None:
    """A way worked out; None as soon as it is seen to promise more than the limit."""
    cost, floor, (solved, left), plan, at, unknown, other_at, sign, total = way
    if total is not None:
        rows, origins = _with_sum(plan, at, other_at, total)
        combine = Combine(plan.origins[at], plan.origins[other_at], sign, plan.made)
        return DerivationPlan((*plan.actions, combine), cost, rows, origins, plan.made + 1, solved)
    row, share = plan.rows[at], WEIGHTS.left_collected_share
    kept: list[LineShadow] = []
    for other in plan.rows[:at] + plan.rows[at + 1 :]:
        if unknown in other.shadows:
            other = shade.put(other, row, unknown)
            floor += share * other.symbols
            if floor > limit:
                return None
        kept.append(other)
    action = Eliminate(plan.origins[at], unknown)
    return DerivationPlan((*plan.actions, action), cost, tuple(kept), left, plan.made, solved)


def _put(other: LineShadow, row: LineShadow, unknown: str, numeric: bool) -> LineShadow:
    """The shadow of `other` with `unknown` replaced by what `row` gives for it. `numeric`: whether the
    coefficients are numbers, which do not grow when they are multiplied. Where `row` must be divided by
    a factor, every other term of `other` is multiplied by it, as when fractions are cleared."""
    shadows = dict(other.shadows)
    brought = dict(other.brought)
    times = brought.pop(unknown, 1)
    divisor1, divisor2, divisor3, factor = row.shadows[unknown]
    multiple1, multiple2, multiple3, multiple = shadows.pop(unknown)
    by1, by2, by3 = multiple1 / divisor1, multiple2 / divisor2, multiple3 / divisor3
    if factor:
        shadows = {n: (a, b, c, symbols + factor) for n, (a, b, c, symbols) in shadows.items()}
    for name, (new1, new2, new3, new_symbols) in row.shadows.items():
        if name == unknown:
            continue
        standing = name in shadows
        old1, old2, old3, symbols = shadows[name] if standing else NOTHING
        if name != CONSTANT:
            brought[name] = brought.get(name, standing) + times
        left1 = left2 = left3 = old1 - new1 * by1
        gone = abs(left1) <= TINY * abs(old1)
        if not numeric:
            left2, left3 = old2 - new2 * by2, old3 - new3 * by3
            gone = gone and abs(left2) <= TINY * abs(old2) and abs(left3) <= TINY * abs(old3)
        if gone:
            shadows.pop(name, None)
            continue
        symbols += multiple + new_symbols
        if numeric:
            longest = WEIGHTS.longest_number
            symbols = symbols if symbols < longest else longest
        elif standing:
            symbols = max(symbols, WEIGHTS.sum_of_two)
        shadows[name] = (left1, left2, left3, symbols)
    return LineShadow(
        shadows,
        other.raw + times * (row.symbols - 1.0 + (1.0 if factor else 0.0)),
        other.pending + 1,
        other.fraction or factor > 0,
        brought,
    )


def _cancelling(row: LineShadow, other: LineShadow) -> list[int]:
    """The signs, of 1 and −1, with which some current drops out when the other line is added."""
    plus = minus = False
    for name, shadow in row.shadows.items():
        if name != CONSTANT and name in other.shadows:
            plus = plus or _is_nothing(shadow, other.shadows[name], 1)
            minus = minus or _is_nothing(shadow, other.shadows[name], -1)
            if plus and minus:
                break
    return [sign for sign, cancels in ((1, plus), (-1, minus)) if cancels]


def _is_nothing(one: Shadow, other: Shadow, sign: int) -> bool:
    """Whether `one` + `sign` times `other` is nothing at all three sets of numbers."""
    return (
        abs(one[0] + sign * other[0]) <= TINY * abs(one[0])
        and abs(one[1] + sign * other[1]) <= TINY * abs(one[1])
        and abs(one[2] + sign * other[2]) <= TINY * abs(one[2])
    )


def _sum(row: LineShadow, other: LineShadow, sign: int) -> LineShadow:
    """The shadow of a new line: `row` + `sign` times `other`."""
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
    return LineShadow(shadows)
