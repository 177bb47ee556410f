"""Quantities of a circuit in order: which is greater for all positive values of the symbols, and when not.

The sign of a difference of two closed forms is read off its factors. A factor whose terms are all of one sign
has it for all positive values; one that stands squared changes nothing but where it is zero; what is left is
the condition. Currents and voltages are compared by size, since their sign only tells the way they run:
where a sign depends on the values, by their squares.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cmp_to_key
from itertools import combinations, pairwise

from ..algebra.ratios import Ratio
from ..circuit.rankings import BY_SIZE
from ..circuit.targets import Target
from ..errors import BrokenPromise
from ..expressions.nodes import Equation
from ..expressions.tidy import tidy
from .asked import value_of
from .exact import Solution


@dataclass(frozen=True, slots=True)
class RankedPair:
    """What is proved of two quantities. `sign`: +1 where the first is the greater for all positive values, −1
    where the second is, 0 where they are equal for all or it depends; `equal`: they are equal for all.
    `touching`: they may also be equal, where this is zero. `condition`: the first is the greater exactly when
    this holds; None where nothing depends. `here`: the sign with the numbers given; None without them."""

    first: Target
    second: Target
    sign: int
    equal: bool = False
    touching: Ratio | None = None
    condition: Equation | None = None
    here: int | None = None

    @property
    def settled(self) -> bool:
        """Whether the order of the two does not depend on the values."""
        return self.equal or self.sign != 0


@dataclass(frozen=True, slots=True)
class Ranking:
    """Quantities put in order. `order`: the greatest first, those of equal size in one group; empty where it
    depends on values that are not given. `pairs`: what is proved of each two neighbours in the order, or,
    without one, of every two."""

    asked: tuple[Target, ...]
    order: tuple[tuple[Target, ...], ...]
    pairs: tuple[RankedPair, ...]
    in_numbers: bool

    @property
    def by_size(self) -> bool:
        """Whether the signs are left out of account."""
        return self.asked[0].kind in BY_SIZE


def rank(solution: Solution, asked: Sequence[Target]) -> Ranking:
    """Puts quantities in order: with the numbers of the circuit where all are given, else by what holds for
    all positive values of its symbols. Raises FaultyMaterial for a quantity without a value."""
    values = {each: value_of(solution, each) for each in asked}
    known = {
        frozenset(two): _pair(solution, two[0], two[1], values[two[0]], values[two[1]])
        for two in combinations(asked, 2)
    }

    def sign(one: Target, other: Target) -> int | None:
        pair = known[frozenset((one, other))]
        found = pair.here if pair.here is not None else pair.sign if pair.settled else None
        return found if found is None or pair.first == one else -found

    in_numbers = all(pair.here is not None for pair in known.values())
    if any(sign(one, other) is None for one, other in combinations(asked, 2)):
        return Ranking(tuple(asked), (), tuple(known.values()), False)

    def before(one: Target, other: Target) -> int:
        return -(sign(one, other) or 0)

    ordered = sorted(asked, key=cmp_to_key(before))
    groups: list[list[Target]] = []
    for each in ordered:
        if groups and sign(groups[-1][-1], each) == 0:
            groups[-1].append(each)
        else:
            groups.append([each])
    pairs = tuple(_turned(known[frozenset(two)], two[0]) for two in pairwise(ordered))
    return Ranking(tuple(asked), tuple(map(tuple, groups)), pairs, in_numbers)


def _pair(solution: Solution, one: Target, other: Target, first: Ratio, second: Ratio) -> RankedPair:
    difference = first - second
    if one.kind in BY_SIZE:
        signs = sign_for_all(first), sign_for_all(second)
        if all(signs):
            difference = first * signs[0] - second * signs[1]
        elif first and second:
            difference = first * first - second * second
        else:
            difference = first * first if first else -(second * second)
    number = solution.number(difference)
    here = None if number is None else (number > 0) - (number < 0)
    if not difference:
        return RankedPair(one, other, 0, equal=True, here=here)
    sign, odd, even = _parts(difference)
    touching = even if even.constant() is None else None
    if odd.constant() is not None:
        return RankedPair(one, other, sign, touching=touching, here=here)
    condition = _outweighs(odd if sign > 0 else -odd)
    return RankedPair(one, other, 0, touching=touching, condition=condition, here=here)


def sign_for_all(value: Ratio) -> int:
    """+1 or −1 where the value has that sign for all positive values of its symbols, 0 where it is zero or
    that depends on them."""
    if not value:
        return 0
    sign, odd, even = _parts(value)
    return sign if odd.constant() is not None and even.constant() is not None else 0


def _parts(value: Ratio) -> tuple[int, Ratio, Ratio]:
    """The sign of what is plain, and the product of the factors of mixed signs, those that stand to an odd
    power and those to an even one, each once: the value has the sign of the first times the second wherever
    the third is not zero."""
    sign, odd, even = 1, value.field.one, value.field.one
    whole = value.field.one
    for below in (False, True):
        content, factors = value.factors(below=below)
        sign *= 1 if content > 0 else -1
        product = value.field.number(content)
        for factor, power in factors:
            product = product * factor**power
            signs = factor.signs()
            if signs == {False}:
                sign *= (-1) ** power
            elif len(signs) > 1:
                odd, even = (odd * factor, even) if power % 2 else (odd, even * factor)
        whole = whole / product if below else whole * product
    if whole != value:
        raise BrokenPromise("the factors of a difference do not multiply to it")
    return sign, odd, even


def _outweighs(difference: Ratio) -> Equation:
    """That the positive terms of a polynomial outweigh the negative ones."""
    field = difference.field
    more = field.polynomial({e: c for e, c in difference.terms() if c > 0})
    less = field.polynomial({e: -c for e, c in difference.terms() if c < 0})
    return Equation(tidy(more), tidy(less), ">")


def _turned(pair: RankedPair, first: Target) -> RankedPair:
    """The pair told from the other side, where that is asked first."""
    if pair.first == first:
        return pair
    condition = pair.condition
    turned = None if condition is None else Equation(condition.right, condition.left, ">")
    here = None if pair.here is None else -pair.here
    return RankedPair(pair.second, pair.first, -pair.sign, pair.equal, pair.touching, turned, here)
