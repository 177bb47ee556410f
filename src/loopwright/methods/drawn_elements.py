"""The circuit element by element, as it is drawn while resistors are made one: what the judge holds such
lines to.

Knows nothing of how the parts were found. Resistors are in series when no loop passes one of them without the
others, side by side when they join the same two points. Two drawings are the same circuit when the same
elements stand in the same loops (H. Whitney, Amer. J. Math. 55, 245, 1933; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..algebra.linear import Linear
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..derive.steps import PartsMadeOne
from ..errors import BrokenPromise
from ..graph.blocks import blocks
from ..graph.connections import parts
from ..graph.lines import Link

OUTSIDE = "\0outside"  # the source thought outside, between two points from which a circuit is seen


@dataclass(frozen=True, slots=True)
class DrawnElement:
    """A resistor or a source between two points, read along its branch's arrow. `resistance`: None for a
    source; `current`: its current from start to end as a sum of branch currents."""

    name: str
    start: str
    end: str
    resistance: Ratio | None
    current: Linear


@dataclass(frozen=True, slots=True)
class Beside:
    """Resistors that lay side by side when they were made one, with the one that took their place. `starts`
    and `ends`: the named points that their two ends had become by then, by the arrow of the first."""

    starts: frozenset[str]
    ends: frozenset[str]
    drops: tuple[Linear, ...]

    def drop_from(self, start: str, end: str) -> list[Linear]:
        """The drop of each from one point to another; nothing where these are not its ends."""
        if start in self.starts and end in self.ends:
            return list(self.drops)
        if start in self.ends and end in self.starts:
            return [drop * -1 for drop in self.drops]
        return []


class DrawnElements:
    """A drawing that changes with everything made one. What carries no current, because a gap lies in its
    branch or because it shares no loop with a source, is not in it."""

    def __init__(self, circuit: Circuit, field: Field, seen: tuple[str, ...] = ()) -> None:
        """`seen`: two points between which a source is thought outside, for a circuit with none at work."""
        self.field = field
        self.names: dict[str, str] = {}  # the point that a named point has become
        self.lines: dict[str, DrawnElement] = {}
        self.beside: list[Beside] = []
        wires: list[Link] = []
        points = dict.fromkeys(circuit.named_points)
        for b in circuit.branches:
            if circuit.fixed_current(b.name) == 0:
                continue
            at = b.start
            current = Linear({b.name: field.one}, field.zero)
            for i, item in enumerate((*b.along, b.end)):
                if isinstance(item, str):
                    wires.append(Link(f"{b.name} {i}", at, item))
                    at = item
                    continue
                following = f"{b.name}\0{i}"
                points[following] = None
                element = circuit.elements[item.element]
                if element.kind in (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE):
                    resistance = circuit.value(element.name) if element.kind is Kind.RESISTOR else None
                    self.lines[element.name] = DrawnElement(element.name, at, following, resistance, current)
                else:
                    wires.append(Link(f"{b.name} {i}", at, following))
                at = following
        into = parts(points, wires).part
        self.names = {point: into[point] for point in circuit.named_points}
        if seen:
            start, end = (into[point] for point in seen)
            self.lines[OUTSIDE] = DrawnElement(OUTSIDE, start, end, None, Linear({}, field.zero))
        self.lines = {n: replace(e, start=into[e.start], end=into[e.end]) for n, e in self.lines.items()}
        self.lines = {name: self.lines[name] for name in self._driven()}

    def _driven(self) -> list[str]:
        """The elements that share a loop with a source."""
        found: set[str] = set()
        for group in blocks(list(self.lines.values())):
            is_loop = len(group) > 1 or group[0].start == group[0].end
            if is_loop and any(e.resistance is None for e in group):
                found |= {e.name for e in group}
        return [name for name in self.lines if name in found]

    def make_one(self, made: PartsMadeOne) -> Ratio:
        """Resistors made one: gives their resistance together. Raises BrokenPromise where they do not lie as
        is said in the drawing as it is."""
        shares = [self._resistor(name) for name in made.parts]
        if len(set(made.parts)) < len(made.parts) or len(shares) < 2:
            raise BrokenPromise("one resistor alone is made one with nothing")
        whole = self._in_series(made, shares) if made.in_series else self._side_by_side(made, shares)
        self.lines[made.whole] = whole
        assert whole.resistance is not None
        return whole.resistance

    def _resistor(self, name: str) -> DrawnElement:
        line = self.lines.get(name)
        if line is None or line.resistance is None:
            raise BrokenPromise(f"{name} is no resistor of the circuit as it is drawn by then")
        return line

    def _in_series(self, made: PartsMadeOne, shares: Sequence[DrawnElement]) -> DrawnElement:
        first, *others = shares
        rest = [line for name, line in self.lines.items() if name != first.name]
        alone = {
            group[0].name for group in blocks(rest) if len(group) == 1 and group[0].start != group[0].end
        }
        total = first.resistance or self.field.zero
        for line in others:
            if line.name not in alone:
                raise BrokenPromise(f"a loop passes {line.name} without {first.name}: they are not in series")
            total = total + (line.resistance or self.field.zero)
        for line in others:
            self._draw_together(self.lines.pop(line.name))
        kept = self.lines.pop(first.name)
        return replace(kept, name=made.whole, resistance=total)

    def _draw_together(self, gone: DrawnElement) -> None:
        """The two ends of an element become one point."""
        for name, line in self.lines.items():
            start, end = (gone.start if p == gone.end else p for p in (line.start, line.end))
            self.lines[name] = replace(line, start=start, end=end)
        self.names = {point: gone.start if at == gone.end else at for point, at in self.names.items()}

    def _side_by_side(self, made: PartsMadeOne, shares: Sequence[DrawnElement]) -> DrawnElement:
        first = shares[0]
        conductance, current = self.field.zero, Linear({}, self.field.zero)
        drops: list[Linear] = []
        for line in shares:
            if {line.start, line.end} != {first.start, first.end} or first.start == first.end:
                raise BrokenPromise(f"{line.name} and {first.name} do not join the same two points")
            assert line.resistance is not None
            own = line.current * (1 if line.start == first.start else -1)
            conductance = conductance + 1 / line.resistance
            current = current + own
            drops.append(own * line.resistance)
        whole = DrawnElement(made.whole, first.start, first.end, 1 / conductance, current)
        starts = frozenset(point for point, at in self.names.items() if at == first.start)
        ends = frozenset(point for point, at in self.names.items() if at == first.end)
        self.beside.append(Beside(starts, ends, (*drops, current * (1 / conductance))))
        for line in shares:
            del self.lines[line.name]
        return whole

    def is_drawn_as(self, other: DrawnElements) -> bool:
        """Whether the same elements, with the same resistances, stand in the same loops."""
        mine, theirs = self.lines, other.lines
        if mine.keys() != theirs.keys():
            return False
        if any(line.resistance != theirs[name].resistance for name, line in mine.items()):
            return False
        loops = _loops(list(mine.values()))
        return len(loops) == len(_loops(list(theirs.values()))) and all(
            _is_closed([theirs[name] for name in loop]) for loop in loops
        )


def _loops(lines: Sequence[DrawnElement]) -> list[list[str]]:
    """Independent loops, each by the elements in it: every element that closes one, with the way back through
    those before it."""
    found: list[list[str]] = []
    tree: list[DrawnElement] = []
    for line in lines:
        way = _way(tree, line.start, line.end)
        if way is None:
            tree.append(line)
        else:
            found.append([line.name, *way])
    return found


def _way(tree: Sequence[DrawnElement], start: str, end: str) -> list[str] | None:
    came: dict[str, list[str]] = {start: []}
    waiting = [start]
    for point in waiting:
        for line in tree:
            for one, other in ((line.start, line.end), (line.end, line.start)):
                if one == point and other not in came:
                    came[other] = [*came[point], line.name]
                    waiting.append(other)
    return came.get(end)


def _is_closed(lines: Iterable[DrawnElement]) -> bool:
    """Whether an even number of these elements meet at every point."""
    odd: set[str] = set()
    for line in lines:
        odd ^= {line.start}
        odd ^= {line.end}
    return not odd
