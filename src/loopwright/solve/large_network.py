"""A network of numbers as arrays: what large networks are told in. SI units, no names, no symbols.

From a circuit whose values are numbers, or a lattice of equal resistors with any number of sides.
Knows no solver.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit

Floats = NDArray[np.float64]
Whole = NDArray[np.int32]


@dataclass(frozen=True, eq=False)
class LargeNetwork:
    """Branches between points 0, 1, ..., `points` - 1; branch k runs from `starts[k]` to `ends[k]`.

    `resistances`: ohms; 0 is a plain wire, infinity an open branch. `emfs`: the rise in volts along the
    arrow of each branch (none when left out). `injected`: amperes sent in from outside at each point
    (none when left out). Raises ValueError for arrays that do not fit together, points that are not there,
    and values that are no such quantity.
    """

    points: int
    starts: Whole
    ends: Whole
    resistances: Floats
    emfs: Floats = field(default_factory=lambda: np.zeros(0))
    injected: Floats = field(default_factory=lambda: np.zeros(0))

    def __post_init__(self) -> None:
        count = len(self.starts)
        for name, kind, length in (
            ("starts", np.int32, count),
            ("ends", np.int32, count),
            ("resistances", np.float64, count),
            ("emfs", np.float64, count),
            ("injected", np.float64, self.points),
        ):
            given = np.asarray(getattr(self, name), kind)
            whole = given if given.size or name in ("starts", "ends", "resistances") else np.zeros(length)
            if whole.shape != (length,):
                raise ValueError(f"{name} has {whole.size} entries where {length} are wanted")
            object.__setattr__(self, name, whole)
        touched = np.concatenate([self.starts, self.ends])
        if count and (touched.min() < 0 or touched.max() >= self.points):
            raise ValueError(f"a branch ends at a point that is not among 0 to {self.points - 1}")
        if not (self.resistances >= 0).all():
            raise ValueError("a resistance is negative or no number")
        if not (np.isfinite(self.emfs).all() and np.isfinite(self.injected).all()):
            raise ValueError("an emf or an injected current is no finite number")


def network_of(circuit: Circuit) -> LargeNetwork:
    """The circuit in its numbers, as arrays: branches in the order of `circuit.currents`, points in that
    of `circuit.points`. A current source becomes an open branch and what it injects at its ends.

    Raises KeyError (the symbol) where a number is missing.
    """
    place = {point: i for i, point in enumerate(circuit.points)}
    resistances, emfs = [], []
    injected = np.zeros(len(place))
    for b in circuit.branches:
        fixed = circuit.fixed_current(b.name)
        if fixed is not None:
            amount = float(fixed.value(circuit.numbers))
            injected[place[b.start]] -= amount
            injected[place[b.end]] += amount
        resistances.append(np.inf if fixed is not None else _number(circuit, circuit.resistance(b.name)))
        emfs.append(0.0 if fixed is not None else _number(circuit, circuit.rise(b.name)))
    return LargeNetwork(
        len(place),
        np.array([place[b.start] for b in circuit.branches], np.int32),
        np.array([place[b.end] for b in circuit.branches], np.int32),
        np.array(resistances),
        np.array(emfs),
        injected,
    )


def lattice(*sides: int, resistance: float = 1.0) -> LargeNetwork:
    """The lattice of equal resistors with so many points along each side: `lattice(3, 4)` is a grid of
    12 points, `lattice(n)` a chain. Points are numbered row by row, the last side running fastest
    (`numpy.ravel_multi_index` tells the number of a place)."""
    number = np.arange(np.prod(sides), dtype=np.int32).reshape(sides)
    along = [
        (np.delete(number, -1, axis).ravel(), np.delete(number, 0, axis).ravel())
        for axis in range(len(sides))
    ]
    starts, ends = (np.concatenate(part) for part in zip(*along, strict=True))
    return LargeNetwork(number.size, starts, ends, np.full(len(starts), resistance))


def _number(circuit: Circuit, ratio: Ratio) -> float:
    return float(ratio.value(circuit.numbers)) if ratio else 0.0
