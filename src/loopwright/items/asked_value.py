"""A quantity that an item asks the value of: what it is, what is right, and what slips give for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

from ..circuit.circuit import Circuit
from ..expressions.said import Said
from ..slips.slip_table import near
from .number_forms import CommonUnit
from .slip_answers import SlipAnswer


@dataclass(frozen=True, slots=True)
class AskedValue:
    """One quantity. `name`: `Ib`, `V(C1) at 20 ms`; `question`: what it is, in words; `unit`: that of all its
    values; `right`: the right one (SI units); `wrong`: those that slips give, the most usual first;
    `beside`: what tells when two values are near zero, as all currents do of one; `turns`: whether the other
    sign is a wrong answer to be foreseen; `runs`: whether a minus says that it runs against its arrow;
    `hint`: what is said to whoever gives what was not foreseen."""

    name: str
    question: Said
    unit: CommonUnit
    right: Fraction
    wrong: tuple[SlipAnswer, ...]
    beside: Mapping[str, Fraction]
    turns: bool
    runs: bool
    hint: str

    def near(self, one: Fraction, other: Fraction) -> bool:
        """Whether two values count as the same answer."""
        return near(one, other, self.beside)

    @property
    def size(self) -> Fraction:
        """What a wrong answer is measured by: the right one, or the greatest wrong one where that is 0."""
        return self.right or size_of(self.wrong)


def along_its_arrow(circuit: Circuit, current: str) -> str:
    """How a current is to be read, after its name."""
    branch = circuit.branch(current)
    ways = "" if branch.start == branch.end else f" from {branch.start} to {branch.end}"
    return f", read along its arrow{ways}"


def of_points(a: str, b: str) -> str:
    """What a voltage between points is, after its name."""
    return f", the potential of {a} less that of {b}"


def size_of(wrong: tuple[SlipAnswer, ...]) -> Fraction:
    """The size of a quantity that is zero, by that of its wrong values."""
    return max((abs(w.value) for w in wrong), default=Fraction(1))
