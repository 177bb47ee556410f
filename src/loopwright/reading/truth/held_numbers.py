"""Numbers that a calculator still holds: what stands behind a rounded number when it is gone on with.

People write `I1 = 0.14` and go on with 0.14, with the 0.143 that the line itself comes to, or with the 0.1435
that comes of holding every number from the start. These are few values, and each rounds to what is written;
so a result may be tried with every one of them, and a slip shows however wide the interval is in which all of
them lie. Common practice (no source): half a unit of the last figure.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import product
from math import prod

from ...expressions.fold import by_signs, fold
from ...expressions.nodes import Expr, Number, numbers_in
from .carried import CarriedNumbers

MOST_HELD = 6  # values kept for one number
MOST_WAYS = 256  # of choosing among them that are tried for one result


class HeldNumbers:
    """What the numbers written so far in one working may be held as, their own values apart."""

    def __init__(self, numbers: CarriedNumbers) -> None:
        self.numbers = numbers
        self._held: dict[Fraction, tuple[Fraction, ...]] = {}  # the deepest last

    def note(self, number: Number, sign: int, other: Expr, names: Mapping[str, Sequence[Fraction]]) -> None:
        """Keeps what a result may be held as: what its other side comes to with its numbers as they are
        written, and with each as it was held longest. `names`: what the names in that side may be."""
        for last in (False, True):
            own = {n: values[-1 if last else 0] for n, values in names.items()}
            try:
                found = self._worth(
                    other, own, {n: self._ways(n)[-1] for n in numbers_in(other)} if last else {}
                )
            except (KeyError, ZeroDivisionError):
                return
            self.add(number, sign * found)

    def add(self, number: Number, value: Fraction) -> None:
        """Keeps one value that a number may be held as, if it rounds to that number and that is none of the
        problem."""
        written = self.numbers.written(number)
        held = self._held.get(written, ())
        near = abs(value - written) <= self.numbers.half(number)
        if written in self.numbers.given or written in self.numbers.sums:
            return
        if near and value != written and value not in held and len(held) < MOST_HELD:
            self._held[written] = (*held, value)

    def come_to(self, side: Expr, low: Fraction, high: Fraction) -> bool:
        """Whether numbers come to something within bounds when each is one of the values that it may be held
        as."""
        return any(low <= value <= high for value in self._worths(side))

    def _worths(self, side: Expr) -> Iterator[Fraction]:
        """What numbers come to with some of them held; nothing where none is."""
        leaves = list(dict.fromkeys(numbers_in(side)))
        ways = [self._ways(number) for number in leaves]
        many = prod(map(len, ways))
        if many == 1:
            return
        for values in product(*ways) if many <= MOST_WAYS else _in_step(ways):
            try:
                yield self._worth(side, {}, dict(zip(leaves, values, strict=True)))
            except ZeroDivisionError:
                continue

    def _ways(self, number: Number) -> tuple[Fraction, ...]:
        """What a number may be: as it is written, and as it is held, the deepest last."""
        written = self.numbers.written(number)
        return (written, *self._held.get(written, ()))

    def _worth(self, side: Expr, names: Mapping[str, Fraction], at: Mapping[Number, Fraction]) -> Fraction:
        def of_number(number: Number) -> Fraction:
            return at.get(number, self.numbers.written(number))

        return fold(side, by_signs(of_number, names.__getitem__))


def _in_step(ways: Sequence[tuple[Fraction, ...]]) -> Iterator[tuple[Fraction, ...]]:
    """Ways too many to be mixed: all as written, all held for one step, and so on to all held longest."""
    for step in range(max(map(len, ways))):
        yield tuple(each[min(step, len(each) - 1)] for each in ways)
