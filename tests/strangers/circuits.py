"""Circuits of the stranger's own, as data: arms between points, each with a resistor and perhaps a battery;
their exact currents, and the text of a problem file by the documented format."""

from __future__ import annotations

import random
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from tests.strangers.figures import Row, decimal, solved


@dataclass(frozen=True, slots=True)
class Arm:
    """One branch read along its arrow. `rise`: +1 where the arrow passes the battery from minus to plus,
    -1 the other way, 0 without a battery. `source_first`: the order in which the arrow meets the two."""

    current: str
    start: str
    end: str
    resistor: str
    emf: str = ""
    rise: int = 0
    source_first: bool = True
    more: tuple[str, ...] = ()

    @property
    def resistors(self) -> tuple[str, ...]:
        """Every resistor of the branch, in series."""
        return (self.resistor, *self.more)

    def ohms(self, values: dict[str, Fraction]) -> Fraction:
        """All its resistance."""
        return sum((values[r] for r in self.resistors), Fraction(0))

    def path(self) -> str:
        """The branch as a problem file has it."""
        source = [f"{'+' if self.rise > 0 else '-'}{self.emf}"] if self.emf else []
        inner = [*source, *self.resistors] if self.source_first else [*self.resistors, *source]
        return ", ".join([self.start, *inner, self.end])


@dataclass(frozen=True, slots=True)
class Net:
    """A circuit: arms, values (V with A and ohm, or with mA and kohm where `milli`), points with the one
    taken as zero last, and loops as (place of the arm, sense)."""

    arms: tuple[Arm, ...]
    values: dict[str, Fraction]
    milli: bool
    points: tuple[str, ...]
    loops: tuple[tuple[tuple[int, int], ...], ...]

    def potentials(self, values: dict[str, Fraction] | None = None) -> dict[str, Fraction]:
        """Every point's potential against the last one."""
        given = self.values if values is None else values
        free = self.points[:-1]
        rows: list[Row] = []
        for p in free:
            left, right = [Fraction(0)] * len(free), Fraction(0)
            for arm in self.arms:
                for here, there, sense in ((arm.start, arm.end, 1), (arm.end, arm.start, -1)):
                    if here != p:
                        continue
                    left[free.index(p)] += 1 / arm.ohms(given)
                    if there in free:
                        left[free.index(there)] -= 1 / arm.ohms(given)
                    if arm.emf:
                        right -= sense * arm.rise * given[arm.emf] / arm.ohms(given)
            rows.append((left, right))
        return {**dict(zip(free, solved(rows), strict=True)), self.points[-1]: Fraction(0)}

    def currents(self, values: dict[str, Fraction] | None = None) -> dict[str, Fraction]:
        """Every current along its arrow."""
        given = self.values if values is None else values
        at = self.potentials(given)
        return {
            a.current: (at[a.start] - at[a.end] + (a.rise * given[a.emf] if a.emf else 0)) / a.ohms(given)
            for a in self.arms
        }

    def problem(self, find: list[str], title: str, numbers: bool) -> str:
        """The problem file, with or without its numbers."""
        lines = [f'title = "{title}"', "find = [" + ", ".join(f'"{f}"' for f in find) + "]", "", "[branches]"]
        lines += [f'{a.current} = "{a.path()}"' for a in self.arms]
        lines += ["", "[numbers]"] if numbers else []
        lines += [f'{n} = "{decimal(v)} {self.unit_of(n)}"' for n, v in self.values.items() if numbers]
        return "\n".join(lines) + "\n"

    def unit_of(self, name: str) -> str:
        """The unit in which the problem file gives a value."""
        if name.startswith("R"):
            return "kohm" if self.milli else "ohm"
        return "V"


EMFS = [Fraction(n, 2) for n in (6, 9, 10, 12, 15, 18, 20, 24, 25, 30, 36, 40, 48)]
OHMS = [Fraction(n, 10) for n in (15, 20, 22, 25, 30, 33, 40, 47, 50, 60, 68, 75, 80, 90, 100, 120, 150, 180)]
WHOLE_OHMS = [Fraction(n) for n in (2, 3, 4, 5, 6, 8, 9, 10, 12, 15, 18, 20, 24, 30)]
POINTS = [
    ("a", "b", "c", "d", "g"),
    ("P", "Q", "S", "T", "N"),
    ("x", "y", "z", "u", "o"),
    ("top", "mid", "side", "tip", "foot"),
    ("K", "L", "M", "H", "G"),
]
LABELS = ["1234567", "1234567", "1234567", "abcdefg", "2345678"]


def _arm(chance: random.Random, label: str, start: str, end: str, powered: bool) -> Arm:
    """An arm with its arrow and its battery either way round."""
    if chance.random() < 0.4:
        start, end = end, start
    emf = f"E{label}" if powered else ""
    rise = chance.choice([1, 1, -1]) if powered else 0
    return Arm(f"I{label}", start, end, f"R{label}", emf, rise, chance.random() < 0.6)


def _valued(chance: random.Random, arms: list[Arm]) -> tuple[dict[str, Fraction], bool]:
    """Values, unlike one another, and the system of units they are in."""
    milli = chance.random() < 0.35
    pool = WHOLE_OHMS if chance.random() < 0.6 else OHMS
    ohms = chance.sample(pool, len(arms))
    emfs = chance.sample(EMFS, len(arms))
    values = {a.emf: e for a, e in zip(arms, emfs, strict=True) if a.emf}
    values |= {a.resistor: r for a, r in zip(arms, ohms, strict=True)}
    return values, milli


def natural(net: Net) -> Net:
    """The same circuit with every arrow the way its current runs."""
    now = net.currents()
    arms = tuple(
        a if now[a.current] > 0 else replace(a, start=a.end, end=a.start, rise=-a.rise) for a in net.arms
    )
    loops = tuple(
        tuple((k, s if now[net.arms[k].current] > 0 else -s) for k, s in loop) for loop in net.loops
    )
    return replace(net, arms=arms, loops=loops)


def lengthened(chance: random.Random, net: Net) -> Net:
    """The same circuit with a second resistor in one of its branches."""
    k = chance.choice([0, len(net.arms) - 1])
    label = chance.choice(["8", "9"]) if net.arms[0].resistor[1:].isdigit() else "h"
    value = chance.choice([r for r in WHOLE_OHMS if r not in net.values.values()])
    arms = [replace(a, more=(f"R{label}",)) if i == k else a for i, a in enumerate(net.arms)]
    return replace(net, arms=tuple(arms), values={**net.values, f"R{label}": value})


def _telling(net: Net) -> bool:
    """Whether no current is nothing and no two are alike, so that every slip can show."""
    sizes = sorted(abs(i) for i in net.currents().values())
    largest = sizes[-1]
    apart = all(b - a > largest / 50 for a, b in pairwise(sizes))
    return sizes[0] > largest / 25 and apart


# Shapes: the ends of each arm, which arms hold batteries (any of those named, two at least), and loops.
Shape = tuple[tuple[tuple[int, int], ...], tuple[int, ...], tuple[tuple[int, ...], ...]]
# Arms join points by place; 4 is the zero. A loop lists arms by 1-based place, minus: against start -> end.
PAIR3: Shape = (((4, 0), (4, 0), (0, 4)), (0, 1), ((1, 3), (2, 3)))
PAIR4: Shape = (((4, 0), (4, 0), (0, 4), (0, 4)), (0, 1, 3), ((1, 3), (2, 3), (2, 4)))
LADDER: Shape = (((4, 0), (0, 4), (0, 1), (1, 4), (1, 4)), (0, 3, 4), ((1, 2), (-2, 3, 4), (-4, 5)))
BRIDGE: Shape = (
    ((4, 0), (0, 1), (0, 2), (1, 2), (1, 4), (2, 4)),
    (0, 3, 5),
    ((1, 2, 5), (-2, 3, -4), (4, 6, -5)),
)
WINDOW: Shape = (
    ((4, 0), (0, 4), (0, 1), (1, 4), (1, 2), (2, 4), (2, 4)),
    (0, 3, 6),
    ((1, 2), (-2, 3, 4), (-4, 5, 6), (-6, 7)),
)


def drawn(chance: random.Random, shape: Shape, batteries: int) -> Net:
    """A circuit of a shape, with so many batteries."""
    ends, may, loops = shape
    names = chance.choice(POINTS)
    used = sorted({p for pair in ends for p in pair})
    while True:
        labels = chance.choice(LABELS)
        with_battery = set(chance.sample(may, min(batteries, len(may)))) if batteries > 1 else {0}
        arms = [
            _arm(chance, labels[i], names[s], names[e], i in with_battery) for i, (s, e) in enumerate(ends)
        ]
        along = [1 if arm.start == names[s] else -1 for arm, (s, _) in zip(arms, ends, strict=True)]
        senses = tuple(
            tuple((abs(k) - 1, (1 if k > 0 else -1) * along[abs(k) - 1]) for k in loop) for loop in loops
        )
        values, milli = _valued(chance, arms)
        net = Net(tuple(arms), values, milli, tuple(names[p] for p in used), senses)
        if _telling(net):
            return net
