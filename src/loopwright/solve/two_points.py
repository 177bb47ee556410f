"""A circuit seen from two points as one source with one resistance, exactly; a load put back there.

The emf of such a source is the voltage between the open points, its resistance that seen with all sources at
rest (H. von Helmholtz, 1853; L. Thévenin, 1883); the current of the like current source is that through a
wire between the points (E. L. Norton and H. F. Mayer, 1926; all from memory). The three are worked from three
changed circuits and held against each other.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ..algebra.ratios import Ratio
from ..circuit.changed import split_at, with_ends_named
from ..circuit.circuit import Circuit
from ..circuit.elements import Branch, Kind
from ..errors import BrokenPromise, FaultyMaterial
from ..findings import Finding
from .asked import solved_without
from .currents import NoUniqueSolution
from .exact import Solution, solve_posed

WIRE = "\0wire"  # the name of a wire laid between two points, which no file can give


@dataclass(frozen=True, slots=True)
class EquivalentSource:
    """The circuit seen from two points, elements `without` taken out. `opened`: the circuit with them out.

    `voltage`: V(a, b) there, the emf of the one source, its + terminal at a. `resistance`: R(a, b) there.
    `short_current`: the current through a wire from a to b, worked from the circuit with the wire; None where
    no resistance limits it.
    """

    points: tuple[str, str]
    without: tuple[str, ...]
    opened: Circuit
    voltage: Ratio
    resistance: Ratio
    short_current: Ratio | None

    def current_into(self, load: Ratio, rise: Ratio | int = 0) -> Ratio:
        """The current from a through a load to b: a resistance, perhaps with an emf that is a `rise` on that
        way. Raises ZeroDivisionError where no resistance is in the loop."""
        return (self.voltage + rise) / (self.resistance + load)

    @property
    def greatest_power(self) -> Ratio:
        """The greatest power that a resistance between the points can take, which it takes when it equals the
        resistance seen. Raises ZeroDivisionError where no resistance is seen."""
        return self.voltage * self.voltage / (self.resistance * 4)


def equivalent_source(solution: Solution, a: str, b: str, without: Sequence[str] = ()) -> EquivalentSource:
    """The circuit of a solution seen from a and b, elements taken out. Raises FaultyMaterial where nothing
    fixes the voltage between the points or no path of resistances joins them, BrokenPromise where voltage,
    resistance and short-circuit current are not one another's quotient."""
    circuit, out = solution.circuit, tuple(without)
    left = solved_without(circuit, out) if out else solution
    voltage = left.difference(a, b).at({}, circuit.field)
    resistance = solution.resistance(a, b, out)
    current = short_current(left.circuit, a, b) if resistance else None
    if current is not None:
        current = current.at({}, circuit.field)
        if current * resistance != voltage:
            raise BrokenPromise(f"open voltage, resistance and short-circuit current at {a} and {b} differ")
    return EquivalentSource((a, b), out, left.circuit, voltage, resistance, current)


def short_current(circuit: Circuit, a: str, b: str) -> Ratio | None:
    """The current from a to b through a wire laid between them; None where nothing limits it."""
    try:
        return solve_posed(shorted_between(circuit, a, b)).currents[WIRE].at({}, circuit.field)
    except (NoUniqueSolution, FaultyMaterial):
        return None


def shorted_between(circuit: Circuit, a: str, b: str) -> Circuit:
    """The circuit with a wire laid from a to b, two of its named points; branches are cut there."""
    cut = split_at(circuit, (a, b))
    return replace(cut, branches=(*cut.branches, Branch(WIRE, a, b, ())))


@dataclass(frozen=True, slots=True)
class LoadPutBack:
    """A resistor as the load of all the rest. `source`: the rest seen from the two ends of the `load`, in the
    order of its branch's arrow; `circuit`: the whole with these ends named; `current`, `voltage` and `power`
    of the load put back, proved to be those of the whole."""

    load: str
    circuit: Circuit
    source: EquivalentSource
    current: Ratio
    voltage: Ratio
    power: Ratio


def put_back(solution: Solution, load: str) -> LoadPutBack:
    """All the rest of a circuit seen from the ends of a resistor, and the resistor put back. Raises
    FaultyMaterial where the rest alone has no answer there, ValueError for what is no resistor."""
    circuit = solution.circuit
    if load not in circuit.elements or circuit.elements[load].kind is not Kind.RESISTOR:
        raise ValueError(f"{load} is no resistor of this circuit")
    named, (a, b) = with_ends_named(circuit, load)
    branch = circuit.branch_of(load).name
    if circuit.fixed_current(branch) is not None:
        raise FaultyMaterial(
            Finding(
                "solve/no-equivalent",
                f"The branch of {load} holds a source of current or a gap: seen from {load}, the rest is no "
                "emf with a resistance.",
                "Take out a resistor of another branch.",
                about=(load,),
            )
        )
    whole = Solution(named, solution.currents, solution.determinant, solution.route)
    source = equivalent_source(whole, a, b, (load,))
    value = circuit.value(load)
    current = source.current_into(value)
    if current != solution.currents[branch]:
        raise BrokenPromise(f"{load} put back carries another current than in the whole")
    return LoadPutBack(load, named, source, current, current * value, current * current * value)
