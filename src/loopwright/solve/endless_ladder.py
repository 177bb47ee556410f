"""The resistance of a ladder without end, in closed form, by its self-similarity.

One section taken off leaves the same ladder, so the resistance R at its beginning is what a section shows
whose end is closed by R: R = f(R), where f is linear over linear. That is a quadratic in R; its one
positive root is the answer. A textbook argument (for instance Feynman, Lectures on Physics II, 22-6, for
the ladder of equal sections; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import count

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd, without_squares
from ..circuit.circuit import Circuit, resistor
from ..circuit.elements import Branch, Ladder, Pass
from ..circuit.ladders import laid_out
from ..errors import FaultyMaterial
from ..expressions.nodes import Symbol
from ..findings import Finding
from .by_numbers import resistance_in_numbers
from .exact import Solution

_NAMES = ("R", "X")  # of the resistance of the rest of the ladder, the first that is free


@dataclass(frozen=True)
class EndlessLadder:
    """What the ladder of a circuit shows between the points at which it begins.

    `rest`: the symbol for its resistance in `seen` = f(`rest`) = (a rest + b)/(c rest + d), the resistance of
    one section closed by the rest; `coefficients` are a, b, c, d. `resistance` is the positive root of
    c R² + (d − a) R − b, in ohms as p + q √n of the circuit's symbols.
    """

    circuit: Circuit
    ladder: Ladder
    rest: str
    seen: Ratio
    coefficients: tuple[Ratio, Ratio, Ratio, Ratio]
    resistance: Surd

    @property
    def equation(self) -> tuple[Ratio, Ratio, Ratio]:
        """The factors of R², of R and the constant term of the quadratic c R² + (d − a) R − b = 0."""
        a, b, c, d = self.coefficients
        return c, d - a, -b

    def residue(self, root: Surd) -> Surd:
        """What the quadratic leaves when `root` is put for R: zero for a root."""
        square, linear, constant = self.equation
        return root * root * square + root * linear + constant

    def gap_factor(self, numbers: Mapping[str, Fraction]) -> Fraction:
        """By how much one section more brings a long finite ladder nearer: the slope of f at the root,
        (a d − b c)/(c R + d)², for these numbers."""
        a, b, c, d = (ratio.value(numbers) for ratio in self.coefficients)
        return (a * d - b * c) / (c * self.resistance.value(numbers) + d) ** 2


def endless_ladder(circuit: Circuit) -> EndlessLadder:
    """Works the ladder without end that a circuit is a section of.

    Raises FaultyMaterial when the circuit is none, and when its resistance grows without limit or falls to
    zero as sections are added.
    """
    ladder = circuit.ladder
    if ladder is None:
        raise FaultyMaterial(
            Finding(
                "ladder/has-an-end",
                "The circuit is no ladder without end.",
                'Say how its section is repeated under [ladder], with repeated = "without end".',
            )
        )
    name = next(n for n in _rest_names() if n not in circuit.symbols and n not in circuit.elements)
    seen = Solution(closed_by(circuit, name), {}, circuit.field.one).resistance(*ladder.start)
    above, below = (seen.coefficients_in(name, below=under) for under in (False, True))
    zero, field = seen.field.zero, circuit.field
    a, b, c, d = (
        ratio.at({}, field)
        for ratio in (above.get(1, zero), above.get(0, zero), below.get(1, zero), below.get(0, zero))
    )
    if not c and not a:
        found = Surd(b / d, field.zero, field.one)  # nothing of the rest is seen
    elif not c:
        raise FaultyMaterial(
            Finding(
                "ladder/grows-without-limit",
                "No branch leads across the section: with every one more the resistance grows without limit.",
                "Join the rails by a branch.",
            )
        )
    elif not b:
        raise FaultyMaterial(
            Finding(
                "ladder/falls-to-zero",
                "Wires lead through the section: with every one more the resistance falls, to zero.",
                "Put a resistor into one of the rails.",
            )
        )
    else:
        square, under = without_squares((d - a) ** 2 + b * c * 4)
        twice = c * 2
        plain, factor = (a - d) / twice, square / twice
        if under == field.one:
            plain, factor = plain + factor, field.zero
        found = Surd(plain, factor, under)
    return EndlessLadder(circuit, ladder, name, seen, (a, b, c, d), found)


def closed_by(circuit: Circuit, name: str) -> Circuit:
    """One section of the ladder with a resistor of this symbol joined to its end: an ordinary circuit."""
    if circuit.ladder is None:
        raise ValueError("the circuit is no ladder")
    taken = (*circuit.currents, *circuit.elements, *circuit.symbols, name)
    current = next(f"I{n}" for n in count(1) if f"I{n}" not in taken)
    rest = Branch(current, *circuit.ladder.end, (Pass(name),))
    return replace(
        circuit,
        branches=(*circuit.branches, rest),
        elements={**circuit.elements, name: resistor(name, Symbol(name))},
        ladder=None,
    )


def finite_resistance(circuit: Circuit, sections: int, numbers: Mapping[str, Fraction]) -> Fraction | None:
    """The exact resistance of so many sections laid out branch by branch, the end left open; None where
    no path leads through. Solved from scratch, with no use of self-similarity."""
    if circuit.ladder is None:
        raise ValueError("the circuit is no ladder")
    ladder = replace(circuit.ladder, count=sections)
    whole = laid_out(replace(circuit, numbers=numbers, ladder=None), ladder)
    return resistance_in_numbers(whole, *ladder.start)


def _rest_names() -> Iterator[str]:
    yield from _NAMES
    yield from (f"X{n}" for n in count(1))
