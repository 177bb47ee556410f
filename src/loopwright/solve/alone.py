"""What some of the sources make of a circuit while the others are at rest, exactly.

The parts of a superposition. That currents and voltages of the parts add up to those of the whole is proved
here before the parts are given away.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from ..algebra.ratios import Ratio
from ..circuit.changed import at_rest, sources_in
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..errors import BrokenPromise, FaultyMaterial
from .exact import Solution, solve_posed


@dataclass(frozen=True)
class SourcesAlone:
    """`sources` at work and all others at rest. `whole`: the circuit with all at work; `solution`: that of
    the changed circuit, in the field of the whole."""

    sources: tuple[str, ...]
    whole: Circuit
    solution: Solution

    @property
    def circuit(self) -> Circuit:
        """The circuit with the other sources at rest."""
        return self.solution.circuit

    @property
    def currents(self) -> Mapping[str, Ratio]:
        """The part of every branch current that these sources make, along the branch's arrow."""
        return self.solution.currents

    def current(self, branch: str) -> Ratio:
        """The part of one branch current."""
        return self.solution.currents[branch]

    def voltage(self, branch: str) -> Ratio:
        """The part of the drop along a branch, from its start to its end. Raises FaultyMaterial where nothing
        fixes it."""
        b = self.whole.branch(branch)
        return self.solution.difference(b.start, b.end)

    def across(self, element: str) -> Ratio:
        """The part of the drop across an element along its branch's arrow; across a battery at rest that is
        what its internal resistance drops. Raises FaultyMaterial where nothing fixes it."""
        if element in self._met:
            return self.solution.across(element)
        inside = self.whole.internal_resistance(element).at({}, self.circuit.field)
        return self.current(self.whole.branch_of(element).name) * inside

    @cached_property
    def _met(self) -> frozenset[str]:
        return frozenset(p.element for b in self.circuit.branches for p in b.passes)


def alone(circuit: Circuit, sources: Sequence[str]) -> SourcesAlone:
    """These sources at work, all others at rest. Raises ValueError for what is no source of the circuit."""
    every = sources_in(circuit)
    strange = [name for name in sources if name not in every]
    if strange:
        raise ValueError(f"{', '.join(strange)}: no source of this circuit, which has {', '.join(every)}")
    working = tuple(name for name in every if name in sources)
    changed = at_rest(circuit, [name for name in every if name not in working])
    return SourcesAlone(working, circuit, solve_posed(changed.worked_in(circuit.field)))


def each_alone(solution: Solution, groups: Sequence[Sequence[str]] | None = None) -> tuple[SourcesAlone, ...]:
    """Each source alone (or each of the `groups`, that hold every source once), in order. The currents and
    the voltages of all branches and elements are proved to add up to those of the whole: BrokenPromise
    otherwise. Raises ValueError where the groups leave a source out or have one twice."""
    circuit = solution.circuit
    every = sources_in(circuit)
    groups = [(name,) for name in every] if groups is None else groups
    if sorted(name for group in groups for name in group) != sorted(every):
        raise ValueError(f"the groups must hold each of {', '.join(every)} once")
    parts = tuple(alone(circuit, group) for group in groups)
    for name in circuit.currents:
        if sum((part.current(name) for part in parts), circuit.field.zero) != solution.currents[name]:
            raise BrokenPromise(f"the parts of {name} do not add up to it")
    for element in _with_a_voltage(circuit):
        try:
            whole = solution.across(element)
        except FaultyMaterial:  # nothing fixes it, in the whole as in the parts
            continue
        if sum((part.across(element) for part in parts), circuit.field.zero) != whole:
            raise BrokenPromise(f"the parts of the voltage across {element} do not add up to it")
    return parts


def _with_a_voltage(circuit: Circuit) -> list[str]:
    kinds = (Kind.RESISTOR, Kind.BATTERY, Kind.CURRENT_SOURCE)
    met = [p.element for b in circuit.branches for p in b.passes]
    return [name for name in met if circuit.elements[name].kind in kinds]
