"""Which way each current really flows, and under which condition on the symbols it would reverse.

For positive values of all symbols the sign of a closed form is read off its terms: all of one sign
above and below the line decide it; otherwise the current reverses when its negative terms outweigh the
positive ones. Stands on the values of `solve` and the tidy forms of `expressions`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from functools import cached_property

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import UNIT_OF, Kind
from ...expressions.amounts import amount
from ...expressions.nodes import Equation, Symbol
from ...expressions.said import Said, in_a_row, names
from ...expressions.tidy import tidy
from ...solve.exact import Solution
from ..limits.limit_of_ratio import sign_of


class WhichWay(StrEnum):
    """What can be said of a current's direction for positive values of all symbols."""

    ALONG = "along its arrow"
    AGAINST = "against its arrow"
    NONE = "no current"
    DEPENDS = "depends on the values"


_ALWAYS = {WhichWay.ALONG: "along their arrows", WhichWay.AGAINST: "against their arrows"}


@dataclass(frozen=True, slots=True)
class Reversal:
    """A value of one symbol at which the current is zero, all other numbers kept (SI unit)."""

    symbol: str
    value: Fraction
    unit: str


@dataclass(frozen=True)
class Direction:
    """The direction of one current.

    `against`, `along`: when the way depends on the values, the current runs against its arrow exactly
    when `against` > `along` (both positive sums). `number`: its value in amperes with the circuit's
    numbers. `reversals`: where it would reverse.
    """

    current: str
    way: WhichWay
    against: Ratio | None
    along: Ratio | None
    number: Fraction | None
    reversals: tuple[Reversal, ...]
    figures: int = 3

    @cached_property
    def condition(self) -> Equation | None:
        """When it runs against its arrow, as an inequality of tidy sums; None when that is settled."""
        if self.against is None or self.along is None:
            return None
        return Equation(tidy(self.against), tidy(self.along), ">")

    @cached_property
    def sentence(self) -> Said:
        """The direction in words."""
        name = Symbol(self.current)
        match self.way:
            case WhichWay.NONE:
                return (name, " is zero whatever the values.")
            case WhichWay.DEPENDS if self.condition is None:
                told: Said = (name, " runs along or against its arrow, by the values")
            case WhichWay.DEPENDS:
                told = (name, " runs against its arrow when ", self.condition or "")
            case _:
                told = (name, f" always runs {self.way}")
        if self.number is None:
            return (*told, ".")
        if not self.number:
            return (*told, "; with these numbers it is zero.")
        told = (*told, "; with these numbers it is ", amount(self.number, "A", self.figures))
        if self.way is WhichWay.DEPENDS:
            told = (*told, f", so it runs {'along' if self.number > 0 else 'against'} the arrow")
        if not self.reversals:
            return (*told, ".")
        at = [(Equation(Symbol(r.symbol), amount(r.value, r.unit, self.figures)),) for r in self.reversals]
        return (*told, ", and would reverse at ", *in_a_row(at, " or "), ".")


def told_together(found: Sequence[Direction]) -> tuple[Said, ...]:
    """The sentences on these directions; currents of which no more is known than that they always run along
    their arrows, or against them, share one."""
    alike = {way: [d.current for d in found if d.way is way and d.number is None] for way in _ALWAYS}
    told: list[Said] = []
    for one in found:
        others = alike.get(one.way, []) if one.number is None else []
        if len(others) < 2:
            told.append(one.sentence)
        elif one.current == others[0]:
            told.append((*names(others), f" always run {_ALWAYS[one.way]}."))
    return tuple(told)


def directions(circuit: Circuit, solution: Solution) -> tuple[Direction, ...]:
    """The direction of every branch current, in the circuit's order."""
    return tuple(_direction(circuit, solution, name) for name in circuit.currents)


def _direction(circuit: Circuit, solution: Solution, name: str) -> Direction:
    current = solution.currents[name]
    number = solution.number(current)
    if not current:
        return Direction(name, WhichWay.NONE, None, None, number, (), circuit.figures)
    sign = sign_of(current)
    if sign:
        way = WhichWay.ALONG if sign > 0 else WhichWay.AGAINST
        return Direction(name, way, None, None, number, (), circuit.figures)
    against, along = _outweighing(current)
    reversals = () if number is None else _reversals(circuit, current)
    return Direction(name, WhichWay.DEPENDS, against, along, number, reversals, circuit.figures)


def _outweighing(current: Ratio) -> tuple[Ratio, Ratio] | tuple[None, None]:
    """The sum of the negative terms (with their signs turned) and that of the positive ones, factors that
    are always positive cancelled; None, None where the denominator has terms of both signs, so that nothing
    can be read off."""
    if len(current.signs(below=True)) > 1:
        return None, None
    field = current.field
    flip = 1 if current.terms(below=True)[0][1] > 0 else -1
    above = [(e, c * flip) for e, c in current.terms()]
    against = field.polynomial({e: -c for e, c in above if c < 0})
    along = field.polynomial({e: c for e, c in above if c > 0})
    common = against.above.gcd(along.above)
    if all(int(c) > 0 for c in common.coeffs()):
        shared = Ratio(field, common, field.one.below)
        against, along = against / shared, along / shared
    return against, along


def _reversals(circuit: Circuit, current: Ratio) -> tuple[Reversal, ...]:
    """For each symbol in which the numerator is linear: the positive value that makes it zero."""
    found: list[Reversal] = []
    for symbol in current.held():
        if current.degree(symbol) != 1:
            continue
        parts = current.coefficients_in(symbol)
        values = {n: circuit.numbers[n] for n in current.held() if n != symbol}
        level = parts[0].value(values) if 0 in parts else Fraction(0)
        slope = parts[1].value(values)
        if slope and -level / slope > 0:
            kind = circuit.role(symbol) or Kind.RESISTOR
            found.append(Reversal(symbol, -level / slope, UNIT_OF.get(kind, "")))
    return tuple(found)
