"""The circuit as it is redrawn while parts are made one: what the judge holds such lines to.

Knows nothing of how the parts were found. Every claim is looked up in the drawing as it is by then: parts
said to be in series must meet where nothing else does, parts said to be side by side must join the same
two points, and what is said to be a loop must close. From the drawing come the equations that a line may
rest on; every resistance and current is exact.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..algebra.linear import Linear
from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..errors import BrokenPromise
from ..laws.equations import junction_equation
from .steps import SideBySide


@dataclass(frozen=True, slots=True)
class _Line:
    """What is drawn between two points: its resistance, its rise, and its current from start to end as a
    linear form in the branch currents. `is_driven`: a source or a gap in it fixes the current or adds a
    rise, so that it is never made one with others."""

    start: str
    end: str
    resistance: Ratio
    rise: Ratio
    current: Linear
    is_driven: bool

    def other(self, point: str) -> str:
        return self.end if point == self.start else self.start


class DrawnByThen:
    """A drawing of the circuit that changes with every parts made one. `gone`: the branches said to carry no
    current, which are left out of it."""

    def __init__(self, circuit: Circuit, field: Field) -> None:
        self.circuit, self.field = circuit, field
        self.lines: dict[str, _Line] = {}
        for b in circuit.branches:
            fixed = circuit.fixed_current(b.name)
            current = Linear({b.name: field.one}, field.zero)
            rise = circuit.rise(b.name)
            driven = fixed is not None or circuit.has_source(b)
            self.lines[b.name] = _Line(b.start, b.end, circuit.resistance(b.name), rise, current, driven)
        self.without: list[Linear] = []
        self.shared: dict[SideBySide, list[Linear]] = {}

    def leave_out(self, branch: str) -> None:
        """A branch without current is left out of the drawing."""
        line = self.lines.pop(branch, None)
        if line is not None:
            self.without.append(line.current)

    def make_one(self, together: SideBySide) -> Ratio:
        """Parts side by side made one: gives their resistance together. Raises BrokenPromise where they do
        not lie side by side in the drawing as it is."""
        whole, equal = self._beside(together)
        if not together.whole or together.whole in self.lines:
            raise BrokenPromise(f"{together.whole or 'no name'} cannot stand for parts made one")
        for name in (name for chain in together.chains for name in chain):
            del self.lines[name]
        self.lines[together.whole] = whole
        self.shared[together] = equal
        return whole.resistance

    def shares(self, together: SideBySide) -> list[Linear]:
        """That the parts have one voltage, and those in series one current; the junction rule besides, by
        which their currents add up."""
        equal = self.shared.get(together)
        if equal is None:
            _, equal = self._beside(together)
        return [*equal, *self.junctions()]

    def round(self, ring: Sequence[str]) -> list[Linear]:
        """The loop rule round a loop of the drawing, and that its parts in series carry one current. Raises
        BrokenPromise where it does not close or is not in the drawing."""
        drawn = [self._line(name) for name in ring]
        if len(drawn) < 2 or len(set(ring)) < len(ring):
            raise BrokenPromise("what is called a loop is none")
        at = start = self._first_point(drawn[0], drawn[1])
        total = Linear({}, self.field.zero)
        for line in drawn:
            if at not in (line.start, line.end):
                raise BrokenPromise("what is called a loop does not hang together")
            sense = 1 if line.start == at else -1
            total = total + line.current * (line.resistance * -sense)
            total = total + Linear({}, line.rise * sense)
            at = line.other(at)
        if at != start:
            raise BrokenPromise("what is called a loop does not close")
        return [total, *self._in_series()]

    def junctions(self) -> list[Linear]:
        """The junction rule at every point of the circuit, and that nothing flows in a gap."""
        circuit = self.circuit
        met = [
            p
            for p in circuit.points
            if any(p in (b.start, b.end) and b.start != b.end for b in circuit.branches)
        ]
        return [*(junction_equation(circuit, p).linear for p in met), *self.without]

    def _in_series(self) -> list[Linear]:
        """One current wherever just two lines of the drawing meet."""
        found: list[Linear] = []
        for point in dict.fromkeys(p for line in self.lines.values() for p in (line.start, line.end)):
            met = [line for line in self.lines.values() if point in (line.start, line.end)]
            if len(met) == 2:
                one, other = (m.current * (1 if m.end == point else -1) for m in met)
                found.append(one + other)
        return [line for line in found if line]

    def _line(self, name: str) -> _Line:
        if name not in self.lines:
            raise BrokenPromise(f"{name} is not in the circuit as it is drawn by then")
        return self.lines[name]

    def _first_point(self, first: _Line, second: _Line) -> str:
        return first.start if first.end in (second.start, second.end) else first.end

    def _beside(self, together: SideBySide) -> tuple[_Line, list[Linear]]:
        """The parts as one line, and what they have in common."""
        chains = [self._chain(names) for names in together.chains]
        if len(chains) < 2 or len({n for c in together.chains for n in c}) < sum(map(len, together.chains)):
            raise BrokenPromise("one part alone lies beside nothing")
        first, equal = chains[0][0], [line for _, lines in chains for line in lines]
        conductance = self.field.zero
        current = Linear({}, self.field.zero)
        for chain, _ in chains:
            if {chain.start, chain.end} != {first.start, first.end} or not chain.resistance:
                raise BrokenPromise("parts said to lie side by side do not join the same two points")
            own = chain.current * (1 if chain.start == first.start else -1)
            conductance = conductance + 1 / chain.resistance
            current = current + own
            if chain is not first:
                equal.append(first.current * first.resistance - own * chain.resistance)
        whole = _Line(first.start, first.end, 1 / conductance, self.field.zero, current, False)
        return whole, equal

    def _chain(self, names: Iterable[str]) -> tuple[_Line, list[Linear]]:
        """Lines said to be in series as one line, and that they carry one current."""
        drawn = [self._line(name) for name in names]
        if not drawn or any(line.is_driven for line in drawn):
            raise BrokenPromise("a source is no resistance to be made one with others")
        if len(drawn) == 1:
            return drawn[0], []
        at = start = self._first_point(drawn[0], drawn[1])
        total, equal = self.field.zero, []
        lead = drawn[0].current * (1 if drawn[0].start == at else -1)
        for index, line in enumerate(drawn):
            if at not in (line.start, line.end):
                raise BrokenPromise("parts said to be in series do not meet")
            if index and sum(at in (m.start, m.end) for m in self.lines.values()) != 2:
                raise BrokenPromise("parts said to be in series meet where something else does")
            own = line.current * (1 if line.start == at else -1)
            if index:
                equal.append(lead - own)
            total = total + line.resistance
            at = line.other(at)
        return _Line(start, at, total, self.field.zero, lead, False), equal
