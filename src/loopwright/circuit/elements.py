"""The parts a circuit is made of: elements, and the passes of a branch through them.

Values are expressions of `expressions.nodes` in the circuit's symbols; a value written as a number
with a unit stands in the circuit's `numbers` under the element's own name.
Knows no file format and no laws.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from enum import StrEnum

from ..expressions.dimensions import OF_UNIT
from ..expressions.nodes import ZERO, Expr


class Kind(StrEnum):
    """What an element is; the words of the trade."""

    RESISTOR = "resistor"
    BATTERY = "battery"
    CURRENT_SOURCE = "current source"
    SWITCH = "switch"
    AMMETER = "ammeter"
    VOLTMETER = "voltmeter"
    CAPACITOR = "capacitor"
    COIL = "coil"


STORAGES = (Kind.CAPACITOR, Kind.COIL)  # what holds energy, and so makes currents change in time
UNIT_OF = {
    Kind.RESISTOR: "Ω",
    Kind.BATTERY: "V",
    Kind.CURRENT_SOURCE: "A",
    Kind.CAPACITOR: "F",
    Kind.COIL: "H",
}  # unit of an element's value
UNIT_HELD = {Kind.CAPACITOR: "V", Kind.COIL: "A"}  # of what a storage holds: its voltage, its current
DIMENSION_OF = {kind: OF_UNIT[unit] for kind, unit in UNIT_OF.items()}


@dataclass(frozen=True, slots=True)
class Element:
    """One element by its designator.

    `value`: the resistance of a resistor, the emf of a battery (zero or more in the usual case, its
    + terminal given by how branches pass it), the current of a current source, the capacitance of a
    capacitor, the inductance of a coil. Switches and ideal meters have none (zero). `internal`: the
    internal resistance of a battery or a coil, or None for an ideal one. `closed`: for a switch.
    """

    name: str
    kind: Kind
    value: Expr = ZERO
    internal: Expr | None = None
    closed: bool = True

    @property
    def is_gap(self) -> bool:
        """Whether no steady current can pass: an open switch, an ideal voltmeter or a capacitor."""
        return self.kind in (Kind.VOLTMETER, Kind.CAPACITOR) or (self.kind is Kind.SWITCH and not self.closed)

    @property
    def fixes_current(self) -> bool:
        """Whether the element itself fixes the current of its branch: a gap (0) or a current source."""
        return self.is_gap or self.kind is Kind.CURRENT_SOURCE

    @property
    def has_sign(self) -> bool:
        """Whether a branch must say which way it passes the element."""
        return self.kind in (Kind.BATTERY, Kind.CURRENT_SOURCE)


@dataclass(frozen=True, slots=True)
class Pass:
    """One element as a branch meets it, going along the arrow.

    `sign` is +1 when the arrow passes a battery from its − to its + terminal (a rise) or runs with
    the current of a current source; −1 when the other way round; 0 for elements without a sense.
    (An ideal voltmeter reads the drop along the arrow.)
    """

    element: str
    sign: int = 0


@dataclass(frozen=True, slots=True)
class SwitchMove:
    """One move of a switch: what it was before and is after, closed or not. `at`: the symbol of the time at
    which it moves, counted from the first move; empty for a move at the time 0."""

    switch: str
    before: bool
    after: bool
    at: str = ""


@dataclass(frozen=True, slots=True)
class Branch:
    """A chain of elements from point `start` to point `end`, read along its current arrow.

    `name` is the name of its current. `start == end` makes a closed chain: a circuit of one loop.
    `along` lists what the arrow meets in order: passes, and names (plain strings) of points on the way;
    `passes` are the elements met, in order, without the points on the way.
    """

    name: str
    start: str
    end: str
    along: tuple[Pass | str, ...]
    passes: tuple[Pass, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        met = tuple(item for item in self.along if isinstance(item, Pass))
        object.__setattr__(self, "passes", met)

    @property
    def points(self) -> tuple[str, ...]:
        """Every point touched in order: start, points on the way, end."""
        return (self.start, *(item for item in self.along if isinstance(item, str)), self.end)

    @property
    def stretches(self) -> Iterator[tuple[str, str, tuple[Pass, ...]]]:
        """The pieces between points that follow each other: where each begins and ends, and what it meets."""
        at, met = self.start, list[Pass]()
        for item in (*self.along, self.end):
            if isinstance(item, Pass):
                met.append(item)
            else:
                yield at, item, tuple(met)
                at, met = item, []


@dataclass(frozen=True, slots=True)
class Ladder:
    """A section of a circuit that is repeated: the next one begins where this one ends.

    `section`: its branches. `start`: the two points at which it begins; `end`: those at which the next
    one does, in the same order (a rail that runs through is named in both). `count`: how many sections
    there are, or None for a ladder without end. `last`: what the points are called at which the last of a
    number of sections ends, if other branches are to meet them.
    """

    section: tuple[str, ...]
    start: tuple[str, str]
    end: tuple[str, str]
    count: int | None = None
    last: tuple[str, str] | None = None

    @property
    def joints(self) -> tuple[str, ...]:
        """The points at which more than one section's branches meet."""
        return (*self.start, *self.end, *(self.last or ()))
