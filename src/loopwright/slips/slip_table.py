"""The table of slips: the wrong answers of each, which slips share them, and what would have caught them.

Two slips are in one class when they give the same answers as functions of the symbols: no choice of
numbers can tell them apart. That is decided by exact answers at the given numbers and at two points
near by, drawn once for all: unlike functions agree at all three only by a chance that can be neglected.
Classes that merely come close with the given numbers collide by accident.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import combinations

import numpy as np

from ..circuit.circuit import Circuit
from ..graph.lines import Loop
from .caught_by import AnswerValues, Check, checks_on_slips
from .models import point_of, slip_models
from .settings import Fate, Model, Setting, SettingInNumbers, SlipOutcome
from .slip_classes import SlipClass

SEED = 1847
CLOSE = Fraction(1, 50)  # of the larger of two values: nearer than this they count as the same answer
FLOOR = Fraction(1, 200)  # of the largest right current: what is nearer to zero counts as zero


@dataclass(frozen=True)
class SlipTable:
    """All slips of a circuit with its numbers, in classes of equal answers.

    `right`: the right currents. `classes`: those that give answers; `open_`: those that leave currents
    open; `contradictions`: the slips whose equations contradict one another.
    """

    setting: Setting
    here: SettingInNumbers
    right: AnswerValues
    classes: tuple[SlipClass, ...]
    open_: tuple[SlipClass, ...]
    contradictions: tuple[Model, ...]

    @property
    def circuit(self) -> Circuit:
        """The circuit the slips are made in."""
        return self.setting.circuit

    @property
    def slips(self) -> int:
        """How many slips were looked at, each in each place."""
        answered = sum(len(c.members) for c in (*self.classes, *self.open_))
        return answered + len(self.contradictions)

    @property
    def structural(self) -> tuple[SlipClass, ...]:
        """The classes with more than one kind of slip: no numbers can tell these apart."""
        return tuple(c for c in self.classes if len(c.entries) > 1)

    @property
    def colliding(self) -> tuple[SlipClass, ...]:
        """The classes that other numbers would tell apart, but these do not."""
        return tuple(c for c in self.classes if c.close)

    @property
    def hidden(self) -> tuple[SlipClass, ...]:
        """The classes with right answers from something wrong."""
        return tuple(c for c in self.classes if c.hidden)

    def class_of(self, entry: str, place: str = "") -> SlipClass:
        """The class of the first slip with this key and with this text in its place; KeyError if none."""
        for c in (*self.classes, *self.open_):
            if any(m.entry == entry and place in m.place for m in c.members):
                return c
        raise KeyError(f"{entry} {place}")

    @cached_property
    def checks(self) -> tuple[str, ...]:
        """The checks that are tried on each class, in order."""
        return tuple(name for name, _ in self._judges)

    @cached_property
    def caught(self) -> tuple[tuple[str, ...], ...]:
        """For each class, the checks that catch it."""
        return tuple(tuple(name for name, catches in self._judges if catches(c)) for c in self.classes)

    @cached_property
    def smallest_set(self) -> tuple[str, ...]:
        """The fewest checks that together catch every class that any check catches, the first such set
        in order."""
        held = {name: {i for i, names in enumerate(self.caught) if name in names} for name in self.checks}
        goal = set[int]().union(*held.values())
        for size in range(1, len(self.checks) + 1):
            for chosen in combinations(self.checks, size):
                if set[int]().union(*(held[name] for name in chosen)) == goal:
                    return chosen
        return ()

    @cached_property
    def _judges(self) -> tuple[Check, ...]:
        return tuple(checks_on_slips(self.setting, self.here))

    def meeting(self, *names: str) -> int:
        """How many of the classes that give all currents come within 2 % of another when only the
        currents named are looked at."""
        whole = [c.outcome.values for c in self.classes if set(self.right) <= c.outcome.values.keys()]
        asked = [SlipOutcome(Fate.ANSWER, {n: values[n] for n in names}) for values in whole]
        return sum(bool(others) for others in _collisions(asked, self.right))


def slip_table(
    circuit: Circuit, loops: Sequence[Loop] | None = None, *, every_set: bool = False
) -> SlipTable:
    """The table of a well-posed circuit with numbers for all its symbols.

    `loops`: the usual set of loops (by default that of `laws`). `every_set`: slips in other loops and
    junctions too, not only in the usual set. Raises FaultyMaterial where numbers are missing.
    """
    setting = Setting(circuit, loops)
    here = point_of(setting)
    models = [model for model in slip_models(setting) if every_set or model.usual]
    chance = random.Random(SEED)
    around = [
        here.moved({n: 1 + Fraction(chance.randint(1, 9), 1009) for n in circuit.symbols}) for _ in range(2)
    ]
    classes: dict[object, list[Model]] = {}
    found: dict[object, SlipOutcome] = {}
    for model in models:
        outcomes = [model.at(point) for point in (here, *around)]
        key = tuple(_key(outcome) for outcome in outcomes)
        classes.setdefault(key, []).append(model)
        found[key] = outcomes[0]
    always = tuple(_key(SlipOutcome(Fate.ANSWER, p.right)) for p in (here, *around))
    answered = [key for key in classes if found[key].fate is Fate.ANSWER]
    outcomes = [found[key] for key in answered]
    close = _collisions(outcomes, here.right)
    hidden = [
        "always" if key == always else "here" if _is_right(outcome, here) else ""
        for key, outcome in zip(answered, outcomes, strict=True)
    ]
    return SlipTable(
        setting,
        here,
        here.right,
        tuple(
            SlipClass(tuple(classes[key]), found[key], close[i], hidden[i]) for i, key in enumerate(answered)
        ),
        tuple(SlipClass(tuple(classes[k]), found[k]) for k in classes if found[k].fate is Fate.OPEN),
        tuple(m for k in classes if found[k].fate is Fate.CONTRADICTION for m in classes[k]),
    )


def _key(outcome: SlipOutcome) -> object:
    """What outcomes are told apart by; whole numbers, which are quicker than fractions to look up."""
    return outcome.fate, *(
        tuple((name, v.numerator, v.denominator) for name, v in sorted(values.items()))
        for values in (outcome.values, *outcome.ways)
    )


def _is_right(outcome: SlipOutcome, here: SettingInNumbers) -> bool:
    currents = here.setting.circuit.currents
    return any(n in currents for n in outcome.values) and all(
        n in currents and near(v, here.right[n], here.right) for n, v in outcome.values.items()
    )


def near(one: Fraction, other: Fraction, right: AnswerValues) -> bool:
    """Whether two values count as the same answer: within 2 %, or both near zero."""
    gap = abs(one - other)
    floor = FLOOR * max((abs(v) for v in right.values()), default=Fraction(0))
    return gap <= max(CLOSE * max(abs(one), abs(other)), floor)


def _collisions(outcomes: Sequence[SlipOutcome], right: AnswerValues) -> list[tuple[int, ...]]:
    """For each outcome, the others that speak of the same quantities and come close in all of them.

    Closeness is a matter of per cent, so floating-point values are good enough to find it.
    """
    found: list[tuple[int, ...]] = [()] * len(outcomes)
    floor = float(FLOOR * max((abs(v) for v in right.values()), default=Fraction(0)))
    alike: dict[tuple[str, ...], list[int]] = {}
    for i, outcome in enumerate(outcomes):
        alike.setdefault(tuple(sorted(outcome.values)), []).append(i)
    for names, positions in alike.items():
        rows = np.array([[float(outcomes[i].values[n]) for n in names] for i in positions])
        sizes = np.abs(rows)
        for at, i in enumerate(positions):
            allowed = np.maximum(float(CLOSE) * np.maximum(sizes, sizes[at]), floor)
            close = (np.abs(rows - rows[at]) <= allowed).all(axis=1)
            found[i] = tuple(positions[int(j)] for j in np.flatnonzero(close) if j != at)
    return found
