"""Wrong answers as slips make them: what each slip gives for a quantity, and what is said of it.

Stands on `slips`: the values are those of the slipped equations, exactly.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from typing import Protocol

from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..circuit.targets import Asked, Target
from ..slips.catalogue import CATALOGUE
from ..slips.settings import Model, SettingInNumbers, voltage_name
from ..slips.slip_classes import SlipClass
from ..slips.slip_table import SlipTable, near, slip_table

TOLD = 2  # slips told of one wrong answer; more are only in its list
ON_THE_WAY = ("moved-sign", "meter-sign", "arrow-otherwise")  # told last: another slip says the same better


class SlipMade(Protocol):
    """A slip of whatever kind: its key in the catalogue, and where it is made, or what was done."""

    @property
    def entry(self) -> str:
        """The key."""

    @property
    def place(self) -> str:
        """The place."""


@dataclass(frozen=True, slots=True)
class SlipAnswer:
    """A wrong value of one quantity (SI units) and the slips, with their places, that lead to it."""

    value: Fraction
    models: tuple[SlipMade, ...]

    @property
    def slips(self) -> tuple[str, ...]:
        """The keys of the slips, the most usual first."""
        keys = dict.fromkeys(model.entry for model in self.models)
        return tuple(sorted(keys, key=lambda key: (key in ON_THE_WAY, CATALOGUE[key].usual)))

    @property
    def usual(self) -> int:
        """How usual the most usual of the slips is: 1 in every class, 5 seldom."""
        return min(CATALOGUE[key].usual for key in self.slips)

    @property
    def feedback(self) -> str:
        """What is said to whoever gives this answer: what was done, and where."""
        return slips_told([next(m for m in self.models if m.entry == key) for key in self.slips[:TOLD]])


def kinds_mixed(
    answers: Sequence[SlipAnswer], *, last: Callable[[SlipAnswer], bool] = lambda _: False
) -> list[SlipAnswer]:
    """Wrong values with those of the most usual slips first, kinds of slip mixed. `last`: which come after
    all others."""
    met: dict[str, int] = {}
    turns: list[tuple[bool, int, int, SlipAnswer]] = []
    for at, one in enumerate(answers):
        again = met[one.slips[0]] = met.get(one.slips[0], -1) + 1
        turns.append((last(one), one.usual + again, at, one))
    return [one for *_, one in sorted(turns, key=lambda turn: turn[:3])]


def slips_told(models: Sequence[SlipMade]) -> str:
    """The slips in sentences: what is done wrong, and where; "or" between those that give the same."""
    told = [f"{CATALOGUE[m.entry].said[:-1]} ({m.place})." for m in models]
    return " Or: ".join(told)


class SlipAnswers:
    """The wrong answers to questions about one circuit with numbers. Raises FaultyMaterial where numbers are
    missing or the circuit has no single answer."""

    def __init__(self, circuit: Circuit) -> None:
        self.circuit = circuit
        self.table: SlipTable = slip_table(circuit)
        self._wrong: dict[Target, tuple[SlipAnswer, ...]] = {}

    @property
    def here(self) -> SettingInNumbers:
        """The circuit in its numbers, with the right currents."""
        return self.table.here

    @cached_property
    def classes(self) -> tuple[SlipClass, ...]:
        """The classes of slips with wrong answers, the most usual first."""
        wrong = [c for c in self.table.classes if not c.hidden]
        return tuple(sorted(wrong, key=lambda c: min(CATALOGUE[key].usual for key in c.entries)))

    def near(self, one: Fraction, other: Fraction, asked: Target) -> bool:
        """Whether two values of a quantity count as the same answer."""
        if asked.kind is Asked.CURRENT:
            return near(one, other, self.here.right)
        size = self.right(asked)
        return near(one, other, {"": size if size is not None else Fraction(0)})

    def right(self, asked: Target) -> Fraction | None:
        """The right value; None for a quantity that slips are not followed to."""
        match asked.kind:
            case Asked.CURRENT:
                return self.here.right[asked.names[0]]
            case Asked.POWER if self._is_resistor(asked):
                return self.here.power(asked.names[0])
            case Asked.POTENTIAL if not asked.without:
                return self.here.voltage(*asked.names)
        return None

    def wrong(self, asked: Target) -> tuple[SlipAnswer, ...]:
        """The wrong values of a quantity, each once with all slips that give it, the most usual first."""
        if asked not in self._wrong:
            self._wrong[asked] = self._all_wrong(asked)
        return self._wrong[asked]

    def _all_wrong(self, asked: Target) -> tuple[SlipAnswer, ...]:
        right = self.right(asked)
        if right is None:
            return ()
        found: dict[Fraction, list[Model]] = {}
        for c in self.classes:
            value = self._value(c, asked)
            if value is not None and not self.near(value, right, asked):
                found.setdefault(value, []).extend(c.members)
        return tuple(SlipAnswer(value, tuple(models)) for value, models in found.items())

    def _value(self, c: SlipClass, asked: Target) -> Fraction | None:
        """What the slips of a class give for a quantity: named by them, or worked out of a wrong current."""
        values = c.outcome.values
        if (named := values.get(asked.as_text())) is not None:
            return named
        match asked.kind:
            case Asked.POTENTIAL if (turned := values.get(voltage_name(*asked.names[::-1]))) is not None:
                return -turned
            case Asked.POWER if self._is_resistor(asked):
                current = values.get(self.circuit.branch_of(asked.names[0]).name)
                return None if current is None else current**2 * self.here.values[asked.names[0], False]
            case Asked.POTENTIAL:
                return self._across(c, asked.names[0], asked.names[1])
        return None

    def _across(self, c: SlipClass, a: str, b: str) -> Fraction | None:
        """A voltage as the drop along the first branch without a source that joins the two points."""
        for branch in self.circuit.branches:
            if {branch.start, branch.end} != {a, b} or self.here.rise(branch.name):
                continue
            current = c.outcome.values.get(branch.name)
            if current is not None and self.circuit.fixed_current(branch.name) is None:
                drop = current * self.here.resistance(branch.name)
                return drop if branch.start == a else -drop
        return None

    def _is_resistor(self, asked: Target) -> bool:
        element = self.circuit.elements.get(asked.names[0])
        return element is not None and element.kind is Kind.RESISTOR and len(asked.names) == 1
