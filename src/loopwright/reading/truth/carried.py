"""Rounded numbers carried on: what each number written may stand for, and what follows from that.

A person rounds what is written and goes on with it, or with what the calculator still holds. So a number
that was rounded stands for anything between what is written and what it was rounded from; what it was
rounded from is looked for among the results above and the true currents, voltages and powers. A number of
which nothing is found stands for all that rounds to it. Intervals are worked with in exact fractions; two
sides agree where they can be equal. Common practice (no source): half a unit of the last figure.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from itertools import product

from ...expressions.fold import Arithmetic, fold
from ...expressions.nodes import Equation, Expr, Negative, Number, Product, Sum, Symbol, numbers_in, parts_of
from ...expressions.values import symbols_of
from .dimensions import thousands
from .rounding import (
    Policy,
    digits_of,
    ends_in_zero,
    figures,
    half_unit,
    is_brought_to_figures,
    is_decimal,
    lone,
    may_be_rounded,
)

Interval = tuple[Fraction, Fraction]
WIDEST = Fraction(1, 100)  # of the terms of a side: an interval wider than this decides nothing
WIDEST_TRACED = Fraction(1, 8)  # the same where it is known what every number was rounded from
ENOUGH_FIGURES = 4  # of a rounded number that may stand for all that rounds to it: that is little
MANY_FIGURES = 4  # of a whole number that may have been rounded in an equation: 12152 for 12151.6
MOST_OPEN = 4  # numbers of one side whose ends are tried together
MANY_PLACES = 3  # of a number with one figure
FEWEST_FIGURES = 3  # of a rounded number of which nothing is known; one with fewer is taken for exact


def hull(*intervals: Interval) -> Interval:
    """The interval from the least to the greatest of several."""
    return min(low for low, _ in intervals), max(high for _, high in intervals)


def meet(one: Interval, other: Interval) -> bool:
    """Whether two intervals have a value in common."""
    return one[0] <= other[1] and other[0] <= one[1]


def overlap(one: Interval, other: Interval) -> bool:
    """Whether two intervals have more than an end in common, or are no wider than what they have: 0.51075
    and more is nothing that rounds to 0.5107."""
    low, high = max(one[0], other[0]), min(one[1], other[1])
    return low < high or (low == high and (one[0] == one[1] or other[0] == other[1]))


@dataclass(frozen=True, slots=True)
class CarriedNumbers:
    """What the numbers of one working may stand for, as they are read in one choice of units (`in_thousands`:
    mA, kΩ and mW).

    `given`: the numbers of the problem, and `sums` those of its resistances and of its emfs, which are exact.
    `quantities`: the sizes of the true currents, voltages and powers, asked for when they are first needed.
    `noted`: the results written so far; `exact`: factors of equations that are exactly true.
    `after_slips`: sizes of quantities as lines that are not true give them.
    """

    policy: Policy
    in_thousands: bool
    given: frozenset[Fraction]
    sums: frozenset[Fraction]
    quantities: Callable[[], Sequence[Fraction]]
    after_slips: set[Fraction] = field(default_factory=set)
    noted: dict[Fraction, Interval] = field(default_factory=dict)
    exact: set[Fraction] = field(default_factory=set)
    shared: set[Fraction] = field(default_factory=set)  # numbers to which more than one result was rounded

    def written(self, number: Number) -> Fraction:
        """A number as it is written, in these units."""
        return number.value * self._factor(number)

    def half(self, number: Number) -> Fraction:
        """Half a unit in its last figure, in these units."""
        return half_unit(number) * self._factor(number)

    def _factor(self, number: Number) -> Fraction:
        return thousands(number.unit) if self.in_thousands and number.unit else Fraction(1)

    # -- what a number stands for ------------------------------------------------------------------

    def span(self, number: Number, freely: bool = False) -> tuple[Interval, bool]:
        """What a number may stand for, and whether it is known what it was rounded from (or is exact).
        `freely`: a number of three figures may stand for all that rounds to it, although some quantity that
        is known rounds to it too; one of two is exact."""
        value = self.written(number)
        noted = self.noted.get(value)
        if noted is not None:
            return noted, True
        exact = (value, value)
        own = (value in self.given or value in self.sums) and not is_brought_to_figures(number)
        if (
            own
            or value in self.exact
            or not (is_decimal(number) or (freely and figures(number) >= MANY_FIGURES))
            or figures(number) < self.policy.figures
        ):
            return exact, True
        half = self.half(number)
        rounds = (value - half, value + half)
        sources = [
            (max(low, rounds[0]), min(high, rounds[1]))
            for low, high in (
                *self.noted.values(),
                *((q, q) for q in (*self.quantities(), *self.after_slips)),
            )
            if meet((low, high), rounds)
        ]
        if figures(number) >= ENOUGH_FIGURES:
            return hull(rounds, *sources), True
        if freely:
            return (hull(rounds, *sources), True) if figures(number) >= FEWEST_FIGURES else (exact, True)
        if sources:
            return hull(exact, *sources), True
        return (rounds, False) if figures(number) >= FEWEST_FIGURES else (exact, False)

    def note(self, claim: Equation, values: Mapping[str, Fraction] | None) -> None:
        """Keeps what a result was rounded from: a side of the claim that is one number, or a name for it.
        `values`: the true numbers of the names in it; None where one has none."""
        for side, other in ((claim.right, claim.left), (claim.left, claim.right)):
            number = lone(side)
            if number is None or not number.value:
                continue
            value = self.written(number)
            found = self._interval(other, values or {})
            if found is None:
                continue
            low, high = found if side is number else (-found[1], -found[0])
            half = self.half(number) if figures(number) >= self.policy.figures else Fraction(0)
            rounds = not low == high == value and meet((low, high), (value - half, value + half))
            if not (may_be_rounded(number, other) or isinstance(other, Symbol) or rounds):
                continue
            near = self.half(number) * 2 + abs(value) * WIDEST_TRACED
            if meet((low, high), (value - near, value + near)):
                before = self.noted.get(value)
                made = hull((low, high), (value, value))
                if before is not None and before != made and low == high:
                    self.shared.add(value)
                self.noted[value] = hull(before or made, made)
            return

    def note_untrue(self, claim: Equation) -> None:
        """Keeps a result that is not true."""
        number = lone(claim.right)
        if number is not None:
            self.note_rounded(number)

    def note_rounded(self, number: Number, *, wrong: bool = False) -> None:
        """Keeps a result of which nothing more is known: it may have been rounded from anything that rounds
        to it. `wrong`: it is a result that is not true, be it of two figures or whole: no true value rounds
        to it, so that nothing becomes true by this, and what is worked with it is only carried."""
        least = self.policy.figures if wrong else FEWEST_FIGURES
        if (is_decimal(number) or wrong) and figures(number) >= least:
            value, half = self.written(number), self.half(number)
            exact = value in self.given or (value in self.sums and not wrong)
            if not exact or ends_in_zero(number):
                self.noted[value] = hull(self.noted.get(value, (value, value)), (value - half, value + half))

    def note_coefficients(self, claim: Equation) -> None:
        """Keeps of the numbers in an equation that were rounded on the way to it that each may have been
        rounded from anything that rounds to it, be it a sum of what is given too."""
        for number in numbers_in(claim):
            value, half = self.written(number), self.half(number)
            if is_decimal(number) and figures(number) >= FEWEST_FIGURES and value not in self.given:
                self.noted[value] = hull(self.noted.get(value, (value, value)), (value - half, value + half))

    # -- what sides come to ------------------------------------------------------------------------

    def agree(
        self, claim: Equation, values: Mapping[str, Fraction], names: Mapping[str, Interval] | None = None
    ) -> bool:
        """Whether the sides of a claim can be equal. `values`: the true numbers of its names; `names`: what
        some of them stand for as they were written above."""
        for side, other in ((claim.right, claim.left), (claim.left, claim.right)):
            number = lone(side)
            if number is None:
                continue
            if (not number.value or _has_coefficients(other)) and self._meets(
                claim, values, names, freely=True
            ):
                return True  # an equation with nothing, or with no more than a number, on one side
            found = self._sides(other, values, names)
            if found is not None and not symbols_of(other):  # worked out from what is on paper or held
                found = self._interval(other, values, narrowly=True)
            if found is None:
                return False
            result = self._result(number, claim, other, values)
            return overlap(found, result if side is number else (-result[1], -result[0]))
        return any(self._meets(claim, values, names, freely=freely) for freely in (False, True))

    def _meets(
        self,
        claim: Equation,
        values: Mapping[str, Fraction],
        names: Mapping[str, Interval] | None,
        *,
        freely: bool,
    ) -> bool:
        left = self._sides(claim.left, values, names, freely)
        right = self._sides(claim.right, values, names, freely)
        return left is not None and right is not None and meet(left, right)

    def may_come_to(self, side: Expr, value: Fraction, values: Mapping[str, Fraction]) -> bool:
        """Whether a side may be this value, however wide the interval is in which it lies: of every number in
        it is known what it was rounded from, and each stands for no more than what rounds to it."""
        if not all(self.span(number)[1] for number in numbers_in(side)):
            return False
        found = self._interval(side, values, narrowly=True)
        return found is not None and found[0] <= value <= found[1]

    def rounds_from(
        self,
        side: Expr,
        value: Fraction,
        values: Mapping[str, Fraction] | None = None,
        exact: Collection[Fraction] = (),
    ) -> bool:
        """Whether a side is this value when each number with decimals may be anything that rounds to it, but
        for those in `exact` and those of the problem; however wide the interval is in which it lies."""
        names = {name: (worth, worth) for name, worth in (values or {}).items()}
        try:
            low, high = _worked(side, _AllThatRounds(self, names, narrowly=True, exact=frozenset(exact)))
        except (ZeroDivisionError, KeyError):
            return False
        return low <= value <= high

    def agree_as_written(
        self,
        claim: Equation,
        values: Mapping[str, Fraction],
        off: Callable[[Equation, Mapping[str, Fraction]], Fraction],
    ) -> bool:
        """Whether a claim is right, as rounded where a side is one number, when every number in it is what
        is written. `off`: left minus right for these numbers of its names."""
        try:
            apart = off(claim, values)
        except ZeroDivisionError:
            return False
        for side, other, way in ((claim.right, claim.left, 1), (claim.left, claim.right, -1)):
            number = lone(side)
            if number is None:
                continue
            low, high = self._result(number, claim, other, values)
            sign = 1 if side is number else -1
            return low <= self.written(number) + sign * way * apart <= high
        return not apart

    def _result(
        self, number: Number, claim: Equation, other: Expr, values: Mapping[str, Fraction]
    ) -> Interval:
        """What a side that is one number may stand for: as a result it is rounded at its end, whatever it
        is."""
        value = self.written(number)
        interval, _ = self.span(number)
        few = figures(number) < self.policy.figures and not (
            self._is_small_rest(number, other, values) or _is_to_many_places(number, other)
        )
        compound = not isinstance(other, Symbol) and bool(symbols_of(other))
        of_names = figures(number) >= FEWEST_FIGURES and not any(numbers_in(other))  # I1 + I2 = 111
        whole = not is_decimal(number) and compound and (not of_names or value in self.given | self.sums)
        if (not few and not whole) or claim.relation == "≈":
            half = self.half(number)
            interval = hull(interval, (value - half, value + half))
        off = self.policy.tolerance * abs(value)
        return interval[0] - off, interval[1] + off

    def _is_small_rest(self, number: Number, other: Expr, values: Mapping[str, Fraction]) -> bool:
        """Whether a number is what is left of terms that nearly cancel, to as many places as these have
        figures: 1.731 - 1.81 = -0.08."""
        if not isinstance(other, Sum) or not is_decimal(number):
            return False
        try:
            size = max(
                abs(fold(t, _Spans(self, {n: (v, v) for n, v in values.items()}))[0]) for t in other.terms
            )
        except (ZeroDivisionError, KeyError):
            return False
        return self.half(number) * 100 <= size

    def _sides(
        self,
        side: Expr,
        values: Mapping[str, Fraction],
        names: Mapping[str, Interval] | None,
        freely: bool = False,
    ) -> Interval | None:
        """From the least to the greatest that a side may come to; where that is too wide to tell, the numbers
        of which nothing is known are taken for exact, and then all for no more than what rounds to them.
        None where it is too wide all the same."""
        known = {name: (value, value) for name, value in values.items()}
        known.update(names or {})
        terms = side.terms if isinstance(side, Sum) else (side,)
        sure = all(self.span(number)[1] for number in numbers_in(side))
        try:
            for strictly, narrowly in ((False, False), (True, False), (True, True)):
                spans = _Spans(self, known, strictly, freely, narrowly)
                low, high = _worked(side, spans)
                size = max(max(abs(end) for end in fold(term, spans)) for term in terms)
                if high - low <= (WIDEST_TRACED if sure or strictly else WIDEST) * size:
                    return low, high
        except (ZeroDivisionError, KeyError):
            return None
        return None

    def _interval(
        self, side: Expr, values: Mapping[str, Fraction], *, narrowly: bool = False
    ) -> Interval | None:
        known = {name: (value, value) for name, value in values.items()}
        try:
            return _worked(side, _Spans(self, known, narrowly=narrowly))
        except (ZeroDivisionError, KeyError):
            return None


def _is_to_many_places(number: Number, other: Expr) -> bool:
    """Whether a number worked out from numbers has but one figure since it is small, and is told to three
    places and more: 0.22·0.111² = 0.003 W among powers of some watts."""
    places = len(digits_of(number).partition(".")[2])
    return bool(number.unit) and not symbols_of(other) and places >= MANY_PLACES


@dataclass(frozen=True, slots=True)
class _Spans(Arithmetic[Interval]):
    """From the least to the greatest that a value may be. `strictly`: a number of which nothing is known is
    exact; `freely`: see `span`; `narrowly`: a number stands for no more than what rounds to it."""

    carried: CarriedNumbers
    names: Mapping[str, Interval]
    strictly: bool = False
    freely: bool = False
    narrowly: bool = False

    def number(self, number: Number) -> Interval:
        found, known = self.carried.span(number, self.freely)
        value = self.carried.written(number)
        if self.strictly and not known:
            return value, value
        if self.narrowly:
            half = self.carried.half(number)
            found = min(max(found[0], value - half), value), max(min(found[1], value + half), value)
        return found

    def symbol(self, symbol: Symbol) -> Interval:
        return self.names[symbol.name]

    def add(self, one: Interval, other: Interval) -> Interval:
        return one[0] + other[0], one[1] + other[1]

    def negate(self, value: Interval) -> Interval:
        return -value[1], -value[0]

    def multiply(self, one: Interval, other: Interval) -> Interval:
        corners = [a * b for a in one for b in other]
        return min(corners), max(corners)

    def invert(self, value: Interval) -> Interval:
        low, high = value
        if low <= 0 <= high:
            raise ZeroDivisionError
        return 1 / high, 1 / low


@dataclass(frozen=True, slots=True)
class _AllThatRounds(_Spans):
    """The same with each number that has decimals as anything that rounds to it."""

    exact: frozenset[Fraction] = frozenset()

    def number(self, number: Number) -> Interval:
        carried, value = self.carried, self.carried.written(number)
        if value in self.exact:
            return value, value
        rounded = is_decimal(number) or figures(number) >= MANY_FIGURES
        if value in carried.given or value in carried.sums or not rounded:
            return _Spans.number(self, number)
        half = carried.half(number)
        return value - half, value + half


def _worked(side: Expr, spans: _Spans) -> Interval:
    """From the least to the greatest that a side may come to. A number that stands in it more than once is
    the same each time: the ends are tried together, 5·21.47/(5 + 21.47) at both ends of 21.47. Not so where
    it may be two: one of the problem and a result, as in 16/16, or two results."""
    leaves = list(_leaves(side))
    spread = {leaf: span for leaf in leaves if (span := _span(leaf, spans))[0] != span[1]}
    open_ones = {leaf: span for leaf, span in spread.items() if not _may_be_two(leaf, spans)}
    if len(open_ones) > MOST_OPEN or all(leaves.count(leaf) == 1 for leaf in open_ones):
        return fold(side, spans)
    found: list[Interval] = []
    for chosen in product(*open_ones.values()):
        at = {leaf: (value, value) for leaf, value in zip(open_ones, chosen, strict=True)}
        found.append(fold(side, _AtEnds(spans, at)))
    return hull(*found)


def _has_coefficients(side: Expr) -> bool:
    """Whether a side is that of an equation between names with numbers before them, and no formula for a
    result: 1.03 VY - 0.209 VZ."""
    terms = side.terms if isinstance(side, Sum) else (side,)
    terms = tuple(term.body if isinstance(term, Negative) else term for term in terms)
    return all(
        isinstance(term, Symbol) or (isinstance(term, Product) and bool(symbols_of(term))) for term in terms
    ) and any(numbers_in(term) for term in terms)


def _may_be_two(leaf: Number | Symbol, spans: _Spans) -> bool:
    carried = spans.carried
    return isinstance(leaf, Number) and carried.written(leaf) in carried.given | carried.shared


def _leaves(side: Expr) -> Iterator[Number | Symbol]:
    if isinstance(side, Number | Symbol):
        yield side
    for part in parts_of(side):
        yield from _leaves(part)


def _span(leaf: Number | Symbol, spans: _Spans) -> Interval:
    return spans.number(leaf) if isinstance(leaf, Number) else spans.symbol(leaf)


@dataclass(frozen=True, slots=True)
class _AtEnds(Arithmetic[Interval]):
    """The same with some numbers and names at one end of what they may be."""

    spans: _Spans
    at: Mapping[Number | Symbol, Interval]

    def number(self, number: Number) -> Interval:
        return self.at.get(number) or self.spans.number(number)

    def symbol(self, symbol: Symbol) -> Interval:
        return self.at.get(symbol) or self.spans.symbol(symbol)

    def add(self, one: Interval, other: Interval) -> Interval:
        return self.spans.add(one, other)

    def negate(self, value: Interval) -> Interval:
        return self.spans.negate(value)

    def multiply(self, one: Interval, other: Interval) -> Interval:
        return self.spans.multiply(one, other)

    def invert(self, value: Interval) -> Interval:
        return self.spans.invert(value)
