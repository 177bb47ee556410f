"""The table of slips: the wrong answers of each, which slips share them, and what would have caught them.

Two slips are in one class when they give the same answers as functions of the symbols: no choice of
numbers can tell them apart. That is decided by exact answers at the given numbers and at two points
near by, drawn once for all: unlike functions agree at all three only by a chance that can be neglected.
Classes that merely come close with the given numbers collide by accident.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property

import numpy as np

from ..checks.slips import Row, junction_row, loop_row
from ..checks.symmetry import Symmetry, symmetries
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..laws.loops import Loop
from .slip_catalogue import CATALOGUE, Group
from .slip_models import point_of, slip_models
from .slip_settings import Fate, Model, Outcome, Point, Setting, sum_of

SEED = 1847
CLOSE = Fraction(1, 50)  # of the larger of two values: nearer than this they count as the same answer
FLOOR = Fraction(1, 200)  # of the largest right current: what is nearer to zero counts as zero
FAR = Fraction(10) ** 40  # stands for a resistance without bound, and its inverse for none
SETTLED = Fraction(1, 10**15)  # of the largest right current: a limit reached
REPORTING = ("moved-sign", "double-flip", "minus-dropped", "negative-impossible")  # signs after the set-up

Values = Mapping[str, Fraction]


@dataclass(frozen=True, slots=True)
class SlipClass:
    """Slips with the same answers, whatever the numbers.

    `outcome`: what they give with the given numbers. `close`: positions of the classes that come within
    `CLOSE` of it by accident. `hidden`: the answers are right all the same: `always`, or `here` by
    these numbers alone; else empty.
    """

    members: tuple[Model, ...]
    outcome: Outcome
    close: tuple[int, ...] = ()
    hidden: str = ""

    @property
    def usual(self) -> bool:
        """Whether a member is a slip in the usual set of equations."""
        return any(model.usual for model in self.members)

    @property
    def entries(self) -> tuple[str, ...]:
        """The catalogue keys of the members, each once, the most usual slips first."""
        keys = list(dict.fromkeys(model.entry for model in self.members))
        return tuple(sorted(keys, key=lambda key: CATALOGUE[key].usual))

    @property
    def lines(self) -> tuple[str, ...]:
        """The written lines that tell the members apart (one: they are all in the same line)."""
        return tuple(dict.fromkeys(model.line for model in self.members))


@dataclass(frozen=True)
class SlipTable:
    """All slips of a circuit with its numbers, in classes of equal answers.

    `right`: the right currents. `classes`: those that give answers; `open_`: those that leave currents
    open; `contradictions`: the slips whose equations contradict one another.
    """

    setting: Setting
    here: Point
    right: Values
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
    def _judges(self) -> tuple[tuple[str, Callable[[SlipClass], bool]], ...]:
        return tuple(_judges(self.setting, self.here))


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
    found: dict[object, Outcome] = {}
    for model in models:
        outcomes = [model.at(point) for point in (here, *around)]
        key = tuple(_key(outcome) for outcome in outcomes)
        classes.setdefault(key, []).append(model)
        found[key] = outcomes[0]
    always = tuple(_key(Outcome(Fate.ANSWER, p.right)) for p in (here, *around))
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


def _key(outcome: Outcome) -> object:
    """What outcomes are told apart by; whole numbers, which are quicker than fractions to look up."""
    return outcome.fate, *(
        tuple((name, v.numerator, v.denominator) for name, v in sorted(values.items()))
        for values in (outcome.values, *outcome.ways)
    )


def _is_right(outcome: Outcome, here: Point) -> bool:
    currents = here.setting.circuit.currents
    return any(n in currents for n in outcome.values) and all(
        n in currents and near(v, here.right[n], here.right) for n, v in outcome.values.items()
    )


def near(one: Fraction, other: Fraction, right: Values) -> bool:
    """Whether two values count as the same answer: within 2 %, or both near zero."""
    gap = abs(one - other)
    floor = FLOOR * max((abs(v) for v in right.values()), default=Fraction(0))
    return gap <= max(CLOSE * max(abs(one), abs(other)), floor)


def _collisions(outcomes: Sequence[Outcome], right: Values) -> list[tuple[int, ...]]:
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


# -- which check would have caught it --------------------------------------------------------------


def _judges(setting: Setting, here: Point) -> list[tuple[str, Callable[[SlipClass], bool]]]:
    """The checks a person makes on closed forms and numbers, with true laws: the quick ones that catch
    most come first."""
    circuit = setting.circuit
    found: list[tuple[str, Callable[[SlipClass], bool]]] = []
    for symbol in circuit.symbols:
        if circuit.role(symbol) is Kind.RESISTOR and _is_shared(setting, symbol):
            found.append((f"{symbol} to 0 and to infinity", _limit_judge(here, symbol)))
    driven = not any(e.kind is Kind.CURRENT_SOURCE for e in circuit.elements.values())
    if driven:
        found.append(("power balance", lambda c: _power_off(c, here)))
    spare = [loop_row(circuit, loop) for loop in setting.spare_loops]
    if spare:
        found.append(("spare loops", lambda c: _off(c, here, spare)))
    every = [row for row in (junction_row(circuit, p) for p in circuit.points) if row.terms]
    if every:
        found.append(("every junction", lambda c: _off(c, here, every)))
    found.append(("put back into the equations used", lambda c: _put_back(c, here)))
    found.append(("the same voltage along another branch", lambda c: _elsewhere(c, here)))
    found.append(("dimensions and scaling", _scaling_judge(setting, here)))
    found += [("symmetry", _symmetry_judge(setting, here, s)) for s in symmetries(circuit)[:1]]
    if driven:
        found.append(("no voltage above all emfs", lambda c: _too_high(c, here)))
    return found


def _is_shared(setting: Setting, symbol: str) -> bool:
    names = [b.name for b in setting.circuit.branches if symbol in setting.circuit.resistance(b.name).held()]
    return any(sum(name in dict(loop) for loop in setting.loops) > 1 for name in names)


def _whole(values: Values, here: Point) -> bool:
    return all(name in values for name in here.setting.circuit.currents)


def _off(c: SlipClass, here: Point, rows: Sequence[Row]) -> bool:
    values = c.outcome.values
    return _whole(values, here) and any(here.off(row, values) for row in rows)


def _put_back(c: SlipClass, here: Point) -> bool:
    """A slip made after the set-up shows there; one in the set-up satisfies its own equations."""
    return all(_is_after_set_up(model) for model in c.members) and _off(c, here, here.setting.rows)


def _is_after_set_up(model: Model) -> bool:
    later = (Group.ALGEBRA, Group.NUMBERS, Group.LINES)
    return model.entry in REPORTING or CATALOGUE[model.entry].group in later


def _elsewhere(c: SlipClass, here: Point) -> bool:
    """A wrong voltage between two points, found once more along another branch."""
    if c.entries == ("voltage-order",):
        return False  # whoever takes the points in the wrong order does so along any branch
    voltages = {n: v for n, v in c.outcome.values.items() if n.startswith("V(")}
    return any(here.voltage(*name[2:-1].split(", ")) != value for name, value in voltages.items())


def _power_off(c: SlipClass, here: Point) -> bool:
    values, circuit = c.outcome.values, here.setting.circuit
    if any(name.startswith("P(") for name in values):
        met = [*here.setting.resistors, *here.setting.batteries]
        return sum_of(values.get(f"P({n})", here.power(n)) for n in met) != 0
    if not _whole(values, here):
        return False
    return sum_of(values[n] * (here.resistance(n) * values[n] - here.rise(n)) for n in circuit.currents) != 0


def _too_high(c: SlipClass, here: Point) -> bool:
    """A voltage on a resistance, or between two points, above the sum of all emfs."""
    ceiling = sum_of(abs(here.values[b, False]) for b in here.setting.batteries)
    for name, value in c.outcome.values.items():
        if name.startswith("V(") and abs(value) > ceiling:
            return True
        if name in here.right and abs(value) * here.resistance(name) > ceiling:
            return True
    return False


def _limit_judge(here: Point, symbol: str) -> Callable[[SlipClass], bool]:
    """Both ends of one resistance, against the circuit with it all but gone and all but cut."""
    size = max((abs(v) for v in here.right.values()), default=Fraction(0)) or Fraction(1)
    ends = [here.moved({symbol: factor}) for factor in (1 / FAR, FAR)]
    ends = [end for end in ends if all(abs(v) < size * 10**20 for v in end.right.values())]

    def catches(c: SlipClass) -> bool:
        return any(_differs(c.members[0].at(end), end, size * SETTLED) for end in ends)

    return catches


def _differs(outcome: Outcome, end: Point, allowed: Fraction) -> bool:
    if outcome.fate is not Fate.ANSWER:
        return True
    return any(abs(v - end.right[n]) > allowed for n, v in outcome.values.items() if n in end.right)


def _scaling_judge(setting: Setting, here: Point) -> Callable[[SlipClass], bool]:
    """All sources three times as strong; all resistances three times as large."""
    circuit = setting.circuit
    kinds = {name: circuit.role(name) for name in circuit.symbols}
    strong = here.moved({n: Fraction(3) for n, kind in kinds.items() if kind is not Kind.RESISTOR})
    heavy = here.moved(
        {
            n: Fraction(3) if kind is Kind.RESISTOR else Fraction(1, 3)
            for n, kind in kinds.items()
            if kind is not Kind.BATTERY
        }
    )
    powers = {"P": (9, Fraction(1, 3)), "V": (3, Fraction(1)), "I": (3, Fraction(1, 3))}

    def catches(c: SlipClass) -> bool:
        more, less = (c.members[0].at(point) for point in (strong, heavy))
        if more.fate is not Fate.ANSWER or less.fate is not Fate.ANSWER:
            return True
        for name, value in c.outcome.values.items():
            by_sources, by_resistances = powers[name[0] if "(" in name else "I"]
            if more.values[name] != value * by_sources or less.values[name] != value * by_resistances:
                return True
        return False

    return catches


def _symmetry_judge(setting: Setting, here: Point, s: Symmetry) -> Callable[[SlipClass], bool]:
    """Whether the wrong currents fail to change places when the values do."""
    moved = dict(here.symbols)
    for name, (other, sign) in s.symbols.items():
        if name in moved:
            moved[name] = here.symbols[other] * sign
    there = Point(setting, moved)

    def catches(c: SlipClass) -> bool:
        if not _whole(c.outcome.values, here):
            return False
        swapped = c.members[0].at(there)
        if swapped.fate is not Fate.ANSWER:
            return True
        return any(
            c.outcome.values[other] * sense != swapped.values[name]
            for name, (other, sense) in s.branches.items()
        )

    return catches
