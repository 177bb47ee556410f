"""A new resistance put together from numbers of which one is none of the circuit's: `Rs = 11 + 4.5`.

The other numbers say with which resistors it is put together; how these lie in the circuit says what should
stand in the place of the odd one.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import combinations, product

from ...algebra.ratios import Ratio
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...circuit.made_one import collapse
from ...errors import BrokenPromise, FaultyMaterial
from ...expressions.nodes import ONE, Expr, Number, Parallel, Quotient, Sum, alike, numbers_in, parts_of
from ...expressions.tidy import tidy
from ...expressions.values import symbols_of
from ..working import CircuitChange
from .combined import contexts
from .rounding import digits_of, half_unit, is_decimal, lone, value_of

SCALES = (1, 1000)  # bare numbers may be ohms or kilohms
MOST_PARTS = 6  # of one step that are looked at in every choice
_DIGITS = re.compile(r"\d+(?:[.,]\d+)?")


@dataclass(frozen=True, slots=True)
class Odd:
    """The number that is none of the circuit's. `meant`: what the resistance should be in symbols, and
    `instead`: what should stand for the number; both None where nothing lies in the circuit as the rest of
    it says. `totals`: the numbers that are the sum of the others."""

    number: Number
    meant: Expr | None = None
    instead: Fraction | None = None
    totals: tuple[Number, ...] = ()


@dataclass(frozen=True, slots=True)
class _Part:
    """A resistor, or several made one: which, and what they come to, in symbols and in ohms."""

    resistors: frozenset[str]
    ratio: Ratio
    ohms: Fraction


@dataclass(frozen=True, slots=True)
class _Step:
    """What is made one in a step: its parts, and whether they lie in series."""

    parts: tuple[_Part, ...]
    in_series: bool

    def together(self, parts: Collection[_Part]) -> Ratio:
        """What some of the parts come to."""
        zero = next(iter(parts)).ratio.field.zero
        if self.in_series:
            return sum((p.ratio for p in parts), zero)
        return zero.field.one / sum((zero.field.one / p.ratio for p in parts), zero)


class OddNumbers:
    """Looks for odd numbers in the combinations of one circuit."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.steps: dict[CircuitChange, tuple[_Step, ...]] = {}
        self.things: dict[CircuitChange, dict[frozenset[str], Fraction]] = {}

    def found(
        self, given: Expr, setting: CircuitChange, made_of: Mapping[Fraction, Collection[frozenset[str]]],
        above: str,
    ) -> Odd | None:  # fmt: skip
        """The odd number of a combination written in numbers; None where each of them is known, or more than
        one is not. `made_of`: the resistors of what was named above, by its size in the units of bare
        numbers; `above`: the text of the lines above, from which a number may have been taken."""
        numbers = list(dict.fromkeys(n for n in numbers_in(given) if n.unit or n.value not in (0, 1)))
        if symbols_of(given) or not self.circuit.has_all_numbers or not _is_combination(given):
            return None
        totals = [n for n in numbers if n.value == sum((m.value for m in numbers if m is not n), Fraction(0))]
        leaves = [n for n in numbers if n not in totals]
        if not 1 < len(leaves) <= MOST_PARTS:
            return None
        by_scale = {s: {n: self._resistors_worth(n, s, made_of) for n in leaves} for s in SCALES}
        if any(all(known.values()) for known in by_scale.values()):
            return None  # in ohms or in kilohms each of them is known
        for scale, known in by_scale.items():
            odd = [n for n in leaves if not known[n]]
            if len(odd) == 1:
                rest = [of for n, of in known.items() if n is not odd[0]]
                return self._odd(given, odd[0], rest, totals, scale, setting, above)
        return None

    def counted_twice(self, given: Expr, setting: CircuitChange) -> Number | None:
        """The number that stands more often in a sum, or side by side, than anything in the circuit has that
        resistance; None where there is none, or no resistor of that size."""
        terms = _terms(given)
        if not self.circuit.has_all_numbers or any(lone(term) is None for term in terms):
            return None
        numbers = [number for term in terms if (number := lone(term)) is not None]
        for number in dict.fromkeys(numbers):
            often = sum(n.value == number.value for n in numbers)
            fits = self.things_worth(number, setting) if often > 1 else []
            if any(len(of) == 1 for of in fits) and len(fits) < often:
                return number
        return None

    def things_worth(self, number: Number, setting: CircuitChange) -> list[frozenset[str]]:
        """The resistors, alone or made one, that come to a number."""
        worth = (number.value,) if number.unit else tuple(number.value * scale for scale in SCALES)
        near = half_unit(number) / number.value if is_decimal(number) and number.value else Fraction(0)
        things = self._things(setting).items()
        return [of for of, ohms in things if any(abs(ohms - w) <= near * w for w in worth)]

    def lie_so(self, given: Expr, setting: CircuitChange) -> bool:
        """Whether numbers are put together as what has these lies, each a resistor or several made one."""
        if symbols_of(given) or not self.circuit.has_all_numbers:
            return False
        numbers = [n for n in numbers_in(given) if n.value]
        try:
            worth = value_of(given, {})
        except ZeroDivisionError:
            return False
        for step in self.steps.setdefault(setting, tuple(self._steps(setting))):
            parts = step.parts[:MOST_PARTS]
            for size in range(2, len(parts) + 1):
                for chosen in combinations(parts, size):
                    whole = step.together(chosen).value(self.circuit.numbers)
                    for scale in SCALES:
                        sizes = {p.ohms / scale for p in chosen}
                        if whole == worth * scale and sizes <= {n.value for n in numbers}:
                            return True
        return False

    def _things(self, setting: CircuitChange) -> dict[frozenset[str], Fraction]:
        """What each resistor and anything made one in a circuit comes to."""
        if not self.circuit.has_all_numbers:
            return {}
        if setting not in self.things:
            steps = self.steps.setdefault(setting, tuple(self._steps(setting)))
            made = {frozenset((n,)): v for n, v in self._ohms().items()}
            for step in steps:
                parts = step.parts[:MOST_PARTS]
                for size in range(1, len(parts) + 1):
                    for chosen in combinations(parts, size):
                        whole = frozenset[str]().union(*(p.resistors for p in chosen))
                        made[whole] = step.together(chosen).value(self.circuit.numbers)
            self.things[setting] = made
        return self.things[setting]

    def _resistors_worth(
        self, number: Number, scale: int, made_of: Mapping[Fraction, Collection[frozenset[str]]]
    ) -> list[frozenset[str]]:
        worth = number.value if number.unit else number.value * scale
        own = [frozenset((n,)) for n, v in self._ohms().items() if v == worth]
        return [*made_of.get(number.value, ()), *own]

    def _ohms(self) -> dict[str, Fraction]:
        met = {p.element for b in self.circuit.branches for p in b.passes}
        own = [n for n, e in self.circuit.elements.items() if n in met and e.kind is Kind.RESISTOR]
        inside = [n for n in self.circuit.symbols if self.circuit.role(n) is Kind.RESISTOR]
        found = {n: self.circuit.numbers[n] for n in inside}
        return found | {n: self.circuit.value(n).value(self.circuit.numbers) for n in own}

    def _odd(
        self, given: Expr, number: Number, rest: Sequence[Collection[frozenset[str]]],
        totals: Sequence[Number], scale: int, setting: CircuitChange, above: str,
    ) -> Odd | None:  # fmt: skip
        if digits_of(number) in _DIGITS.findall(above):
            return None
        worth = number.value if number.unit else number.value * scale
        near = half_unit(number) * (1 if number.unit else scale) if is_decimal(number) else Fraction(0)
        steps = self.steps.setdefault(setting, tuple(self._steps(setting)))
        if any(abs(size - worth) <= near for size in (*self._sizes(steps), *self._ohms().values())):
            return None
        found: list[tuple[Fraction, Expr, Fraction]] = []
        for step, parts, others in _chosen(steps, rest):
            instead = step.together(others).value(self.circuit.numbers)
            bare = instead / (1 if number.unit else scale)
            whole = step.together((*parts, *others))
            given_ = _with(given, number, bare, totals)
            if given_ * (1 if number.unit else scale) == whole.value(self.circuit.numbers):
                found.append((abs(bare - number.value), tidy(whole), bare))
        if found:
            _, meant, instead = min(found, key=lambda each: each[0])
            return Odd(number, meant, instead, tuple(totals))
        return Odd(number) if isinstance(given, Sum) and is_decimal(number) else None

    def _steps(self, setting: CircuitChange) -> Iterator[_Step]:
        """What is made one, step by step, in each circuit that can be meant."""
        field = self.circuit.field
        for changed, keep in contexts(self.circuit, setting):
            try:
                found = collapse(changed, keep=keep)
                values = {n: r.at({}, field) for n, r in found.values.items()}
            except (BrokenPromise, FaultyMaterial, KeyError, StopIteration):
                continue
            base: dict[str, frozenset[str]] = {}
            for step in found.steps:
                base[step.whole] = frozenset(step.base)
                parts = []
                for name in step.parts:
                    ratio = values[name] if name in values else self._ratio(name)
                    ohms = ratio.value(self.circuit.numbers)
                    parts.append(_Part(base.get(name, frozenset((name,))), ratio, ohms))
                yield _Step(tuple(parts), step.in_series)

    def _ratio(self, name: str) -> Ratio:
        """The resistance of a resistor, or the one inside a battery by its symbol."""
        circuit = self.circuit
        return circuit.value(name) if name in circuit.elements else circuit.field.symbol(name)

    def _sizes(self, steps: Sequence[_Step]) -> Iterator[Fraction]:
        """What anything made one in these steps comes to, and any two resistors: no such number is odd."""
        for step in steps:
            for size in range(1, min(len(step.parts), MOST_PARTS) + 1):
                for parts in combinations(step.parts[:MOST_PARTS], size):
                    yield step.together(parts).value(self.circuit.numbers)
        for one, other in combinations(self._ohms().values(), 2):
            yield one + other
            if one + other:
                yield one * other / (one + other)
        three = list(self._ohms().values())
        for a, b, c in combinations(three, 3):
            if a + b + c:
                yield from (a * b / (a + b + c), b * c / (a + b + c), a * c / (a + b + c))


def _chosen(
    steps: Sequence[_Step], rest: Sequence[Collection[frozenset[str]]]
) -> Iterator[tuple[_Step, tuple[_Part, ...], tuple[_Part, ...]]]:
    """Each step in which the known numbers are parts, those parts, and others of it that the odd number may
    stand for."""
    for step in steps:
        parts = step.parts[:MOST_PARTS]
        for chosen in product(*rest):
            own = tuple(p for p in parts if p.resistors in chosen)
            left = [p for p in parts if p not in own]
            if len(own) != len(chosen) or len({*chosen}) != len(chosen):
                continue
            for size in range(1, len(left) + 1):
                for others in combinations(left, size):
                    yield step, own, others


def _terms(given: Expr) -> tuple[Expr, ...]:
    """What is added in a sum, or stands side by side."""
    if isinstance(given, Parallel):
        return given.parts
    if isinstance(given, Sum):
        return given.terms
    below = given.below if isinstance(given, Quotient) and given.above == ONE else None
    if not isinstance(below, Sum):
        return ()
    inverse = [t.below for t in below.terms if isinstance(t, Quotient) and t.above == ONE]
    return tuple(inverse) if len(inverse) == len(below.terms) else ()


def _is_combination(given: Expr) -> bool:
    """Whether an expression is a sum of numbers, side by side, or one over a sum, as resistances are put
    together."""
    if isinstance(given, Sum):
        return all(lone(term) is term for term in given.terms)
    if isinstance(given, Quotient) and given.above == ONE and lone(given.below) is not None:
        return False
    return bool(parts_of(given)) and lone(given) is None


def _with(given: Expr, number: Number, value: Fraction, totals: Sequence[Number]) -> Fraction:
    """What a combination comes to with another value for one of its numbers; sums of all of them that are
    written as one number go along."""
    put = {number: Number(value), **{n: Number(n.value + value - number.value) for n in totals}}
    try:
        return value_of(with_numbers(given, put), {})
    except ZeroDivisionError:
        return Fraction(0)


def with_numbers(expr: Expr, put: Mapping[Number, Expr]) -> Expr:
    """An expression with other numbers for some, wherever they stand."""
    if isinstance(expr, Number):
        return put.get(expr, expr)
    parts = parts_of(expr)
    return alike(expr, [with_numbers(part, put) for part in parts]) if parts else expr
