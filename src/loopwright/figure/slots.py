"""What stands along the wires: for each branch, its elements and its current arrow on the straight parts
of its route, and on which side their labels go."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind, Pass
from .drawing import Label, Run, Whose
from .lettering import MOVES, name_label, value_runs, width_of
from .placement import Cell, GridPath, Placement, StraightPart
from .symbols import (
    ARROW_ASIDE,
    ARROW_LENGTH,
    REAL_BATTERY_SHIFT,
    REAL_COIL_SHIFT,
    DrawnSymbol,
    gap_symbol,
    symbol_of,
)

LETTERS = 2.7  # height of the capitals in mm
SMALL = 2.1  # and of the names of points
LINE = 4.5  # from one line of a label to the next
GAP = 1.3  # between a symbol and its label
APART = 2.6  # between one thing on a wire and the next

Lines = tuple[Label, ...]  # the lines of a label, one below the other; `at` is filled in later


@dataclass(frozen=True, slots=True)
class WireSlot:
    """One thing on a wire: an element with its symbol, a point on the way, or the current arrow.

    `labels`: groups of lines of text, each with how far along the arrow (mm) it stands from the middle of
    the slot. All lengths are in mm.
    """

    name: str
    symbol: DrawnSymbol | None = None
    labels: tuple[tuple[float, Lines], ...] = ()
    is_arrow: bool = False

    @property
    def key(self) -> str:
        """What tells it from every other thing of a figure: arrows are called as their branches are."""
        return f"{self.name} arrow" if self.is_arrow else self.name

    @property
    def whose(self) -> Whose:
        """What its marks belong to."""
        if self.symbol is None:
            return ("arrow" if self.is_arrow else "point"), self.name
        return "element", self.name

    @property
    def half(self) -> float:
        """Half the length the thing itself takes on the wire."""
        if self.symbol is not None:
            return self.symbol.half
        return ARROW_LENGTH / 2 if self.is_arrow else 0.6

    @property
    def label_side(self) -> float:
        """How far it reaches to its label's side, the label not counted."""
        if self.symbol is not None:
            return self.symbol.label_side
        return ARROW_ASIDE + 0.4 if self.is_arrow else 0.6

    @property
    def far_side(self) -> float:
        """How far it reaches to the other side."""
        return self.symbol.far_side if self.symbol is not None else 0.6

    def length(self, upright: bool) -> float:
        """How much of the wire it needs, its labels counted, on an upright or a level wire."""
        half = self.half
        for shift, lines in self.labels:
            span = LINE * len(lines) - 1.0 if upright else max(map(width_of, lines))
            half = max(half, abs(shift) + span / 2)
        return 2 * half

    def reach(self, upright: bool) -> float:
        """How far it reaches to its label's side, the label counted."""
        if not self.labels:
            return self.label_side
        if upright:
            return self.label_side + GAP + max(width_of(label) for _, lines in self.labels for label in lines)
        return self.label_side + GAP + max(LINE * len(lines) - 0.7 for _, lines in self.labels)


@dataclass(frozen=True)
class Leg:
    """One straight part of a route with what stands on it, in the order of the arrow.

    `label_way`: the unit step to the side of the labels, e.g. (1, 0) for the right.
    """

    branch: str
    start: Cell
    end: Cell
    slots: tuple[WireSlot, ...]
    label_way: tuple[int, int]

    @cached_property
    def upright(self) -> bool:
        """Whether it runs along a column."""
        return self.start[0] == self.end[0]

    @cached_property
    def span(self) -> tuple[int, int]:
        """The rows (of an upright leg) or columns it runs between, the lesser first."""
        a, b = (self.start[1], self.end[1]) if self.upright else (self.start[0], self.end[0])
        return min(a, b), max(a, b)

    @cached_property
    def line(self) -> int:
        """Its column (of an upright leg) or row."""
        return self.start[0] if self.upright else self.start[1]

    @cached_property
    def content(self) -> float:
        """The length in mm that what stands on it needs."""
        if not self.slots:
            return 0.0
        return sum(self.lengths) + APART * (len(self.slots) - 1)

    @cached_property
    def lengths(self) -> tuple[float, ...]:
        """How much of the leg each thing needs, its labels counted, in mm."""
        return tuple(slot.length(self.upright) for slot in self.slots)

    def labels_towards(self, way: tuple[int, int]) -> float:
        """How far things with their labels reach to one side: (1, 0) is the right."""
        return self.reaches[1] if way[0] + way[1] > 0 else self.reaches[0]

    @cached_property
    def reaches(self) -> tuple[float, float]:
        """How far things with their labels reach to the left and to the right (of a level leg: above and
        below), in mm."""
        near = max((s.reach(self.upright) for s in self.slots), default=0.0)
        far = max((s.far_side for s in self.slots), default=0.0)
        towards_less = self.label_way[0] + self.label_way[1] < 0
        return (near, far) if towards_less else (far, near)


def legs_of(circuit: Circuit, placement: Placement, *, resistors: str, values: bool) -> tuple[Leg, ...]:
    """Every straight part of every branch and bar, with the things that stand on it. `resistors`: "iec" or
    "ieee"; `values`: whether values stand beside names."""
    found: list[Leg] = []
    lines = [(a, b) for path in placement.paths() for a, b in pairwise(path)]
    for branch in circuit.branches:
        path = _cut_at(placement.routes[branch.name], {cell for _, cell in placement.hops})
        pieces = list(pairwise(path))
        shares = _shared_out(branch, circuit, path, placement)
        host = _part_of(pieces, placement.arrows.get(branch.name))
        if host is None:
            host = _host(path, shares)
        for i, (a, b) in enumerate(pieces):
            upright = a[0] == b[0]
            slots = [
                WireSlot(item.element, gap_symbol())
                if isinstance(item, Pass) and item.element in placement.emptied
                else slot_of(circuit, item, upright, resistors, values)
                for item in shares[i]
            ]
            if i == host:
                arrow = WireSlot(
                    branch.name, None, ((0.0, (name_label(branch.name, LETTERS),)),), is_arrow=True
                )
                upward_or_left = (b[1] < a[1]) if upright else (b[0] < a[0])
                slots = [*slots, arrow] if upward_or_left else [arrow, *slots]
            found.append(Leg(branch.name, a, b, tuple(slots), _label_way(a, b, lines)))
    for _, path in placement.bars:
        found.extend(Leg("", a, b, (), (1, 0)) for a, b in pairwise(path))
    for name, path in placement.gaps:
        pieces = list(pairwise(_cut_at(path, {cell for _, cell in placement.hops})))
        host = _part_of(pieces, placement.stands.get(name))
        if host is None:
            host = _host(path, [()] * len(pieces))
        for i, (a, b) in enumerate(pieces):
            ends = (WireSlot(name, gap_symbol()),) if i == host else ()
            found.append(Leg("", a, b, ends, _label_way(a, b, lines)))
    return tuple(found)


def _part_of(pieces: Sequence[StraightPart], wanted: StraightPart | None) -> int | None:
    """Which of the straight parts runs along one that is wanted; None where none does."""
    if wanted is None:
        return None
    for i, (a, b) in enumerate(pieces):
        if all(cell in (a, b) or _on(cell, a, b) for cell in wanted):
            return i
    return None


def _cut_at(path: GridPath, cells: set[Cell]) -> GridPath:
    """The path with a corner more wherever it passes one of these cells."""
    whole: list[Cell] = []
    for a, b in pairwise(path):
        inner = [c for c in cells if _on(c, a, b)]
        whole.extend([a, *sorted(inner, key=lambda c: abs(c[0] - a[0]) + abs(c[1] - a[1]))])
    return (*whole, path[-1])


def _on(cell: Cell, a: Cell, b: Cell) -> bool:
    in_line = a[0] == b[0] == cell[0] or a[1] == b[1] == cell[1]
    return in_line and cell not in (a, b) and min(a, b) < cell < max(a, b)


def slot_of(circuit: Circuit, item: Pass | str, upright: bool, resistors: str, values: bool) -> WireSlot:
    """An element, or a point on the way, as it stands on an upright or level wire."""
    if isinstance(item, str):
        return WireSlot(item, None, ((0.0, (Label(item, (0.0, 0.0), italic=False, size=SMALL),)),))
    element = circuit.elements[item.element]
    symbol = symbol_of(element, item.sign, resistors)
    runs = value_runs(circuit, element.value, element.name) if values and _has_value(element.kind) else ()
    own = _lines(
        name_label(element.name, LETTERS, emf=element.kind is Kind.BATTERY),
        runs,
        stacked=upright or element.internal is None,
    )
    if element.internal is None:
        return WireSlot(element.name, symbol, ((0.0, own),))
    internal_name = written_internal(circuit, element.name)
    internal_runs = value_runs(circuit, element.internal, internal_name) if values else ()
    inner = _lines(name_label(internal_name, LETTERS), internal_runs, stacked=upright)
    shift = -REAL_COIL_SHIFT if element.kind is Kind.COIL else REAL_BATTERY_SHIFT * item.sign
    if upright:
        return WireSlot(element.name, symbol, ((shift, own), (-shift, inner)))
    return WireSlot(element.name, symbol, ((0.0, (*own, *inner)),))


def written_internal(circuit: Circuit, battery: str) -> str:
    """The name of a battery's internal resistance: its symbol where it is one, else r with the same index."""
    internal = circuit.elements[battery].internal
    name = getattr(internal, "name", "")
    return str(name) if name else f"r{battery[1:]}"


def _has_value(kind: Kind) -> bool:
    return kind not in (Kind.AMMETER, Kind.VOLTMETER)


def _lines(name: Label, runs: tuple[Run, ...], stacked: bool) -> Lines:
    if not runs:
        return (name,)
    if stacked:
        alone = runs[0].text.startswith(MOVES) or (len(runs) == 1 and runs[0].text[:1].isdigit())
        equals = () if alone else (Run("= "),)
        return (name, Label("", (0.0, 0.0), size=LETTERS, tail=(*equals, *runs)))
    joint = " " if runs[0].text.startswith(MOVES) else " = "
    return (Label(name.base, name.at, name.sub, joint, name.italic, name.size, tail=runs),)


# -- sharing out ---------------------------------------------------------------------------------


def _shared_out(
    branch: Branch, circuit: Circuit, path: GridPath, placement: Placement
) -> list[tuple[Pass | str, ...]]:
    """What stands on each straight part: all on one where it fits well, else spread, in order."""
    items = [item for item in branch.along if not (isinstance(item, str) and _drawn_point(item, placement))]
    pieces = list(pairwise(path))
    if len(pieces) == 1 or not items:
        best: list[tuple[Pass | str, ...]] = [()] * len(pieces)
        at = _host(path, best)
        best[at] = tuple(items)
        return best
    closed = branch.start == branch.end
    names = [item if isinstance(item, str) else item.element for item in items]
    kept = [_part_of(pieces, placement.stands.get(name)) for name in names]
    if [at for at in kept if at is not None] != sorted(at for at in kept if at is not None):
        kept = [None] * len(items)
    scored: list[tuple[float, list[tuple[Pass | str, ...]]]] = []
    for cuts in _cuts(kept, len(pieces)):
        shares = [tuple(items[a:b]) for a, b in zip((0, *cuts), (*cuts, len(items)), strict=True)]
        scored.append((_strain(circuit, pieces, shares, closed), shares))
    return min(scored, key=lambda pair: pair[0])[1]


def _drawn_point(item: str, placement: Placement) -> bool:
    return item in placement.dots


def _cuts(kept: Sequence[int | None], pieces: int) -> Iterator[tuple[int, ...]]:
    """Where a row of things is cut to be shared out among straight parts. `kept`: for each thing the part on
    which it is to stand, if it is given, in order."""

    def rest(piece: int, start: int) -> Iterator[tuple[int, ...]]:
        if piece == pieces - 1:
            if all(at in (None, piece) for at in kept[start:]):
                yield ()
            return
        for at in range(start, len(kept) + 1):
            if at > start and kept[at - 1] not in (None, piece):
                return
            for tail in rest(piece + 1, at):
                yield (at, *tail)

    return rest(0, 0)


def _strain(
    circuit: Circuit,
    pieces: Sequence[tuple[Cell, Cell]],
    shares: Sequence[tuple[Pass | str, ...]],
    closed: bool,
) -> float:
    """How badly things would stand, as a number without unit: crowded legs, batteries lying on their side,
    things off the main leg."""
    total = 0.0
    used = 0
    longest = max(abs(a[0] - b[0]) + abs(a[1] - b[1]) for a, b in pieces)
    for i, ((a, b), share) in enumerate(zip(pieces, shares, strict=True)):
        upright = a[0] == b[0]
        length = abs(a[0] - b[0]) + abs(a[1] - b[1])
        load = sum(_weight(circuit, item) for item in share)
        total += load * load * (1.0 if upright else 1.15)
        if share:
            used += 1
            total += 0.25 * (longest - length) + (0.0 if 0 < i < len(pieces) - 1 else 0.4)
        for item in share:
            lying = isinstance(item, Pass) and circuit.elements[item.element].has_sign and not upright
            falling = upright and isinstance(item, Pass) and item.sign * (a[1] - b[1]) < 0
            total += 0.5 * lying + 0.3 * falling
            total += 0.2 * (upright and isinstance(item, Pass) and item.sign != 0 and a[0] > 0)
    return total if closed else total + 4.0 * max(0, used - 1)


def _weight(circuit: Circuit, item: Pass | str) -> float:
    if isinstance(item, str):
        return 0.4
    return 2.0 if circuit.elements[item.element].internal is not None else 1.0


def _host(path: GridPath, shares: Sequence[tuple[Pass | str, ...]]) -> int:
    """The straight part for the arrow: a loaded one, upright, long, in the middle."""
    pieces = list(pairwise(path))

    def rank(i: int) -> tuple[float, int]:
        (a, b), share = pieces[i], shares[i]
        length = abs(a[0] - b[0]) + abs(a[1] - b[1])
        loaded = 4 if 0 < len(share) <= 3 else 2 if share else 0
        middle = 0.5 if 0 < i < len(pieces) - 1 else 0
        return -(loaded + length + middle + (0.6 if a[0] == b[0] else 0)), i

    return min(range(len(pieces)), key=rank)


def _label_way(a: Cell, b: Cell, lines: Sequence[tuple[Cell, Cell]]) -> tuple[int, int]:
    """Labels go outwards on the rim; elsewhere to the right of upright lines and above level ones."""
    axis = 0 if a[0] == b[0] else 1
    low, high = sorted((a[1 - axis], b[1 - axis]))
    free = {-1: True, +1: True}
    for one in lines:
        for c, d in (one,):
            lo, hi = sorted((c[1 - axis], d[1 - axis]))
            touches = (lo < high and hi > low) or (lo == hi and low < lo < high)
            if not touches:
                continue
            for way in (-1, +1):
                if max(way * (c[axis] - a[axis]), way * (d[axis] - a[axis])) > 0:
                    free[way] = False
    if axis == 0:
        return (-1, 0) if free[-1] and not free[+1] else (1, 0)
    return (0, 1) if free[+1] and not free[-1] else (0, -1)
