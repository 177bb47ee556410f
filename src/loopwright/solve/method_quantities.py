"""The quantities that a method of working speaks of besides the branch currents, and their exact values.

A loop current is said to run all the way round a loop; every branch current is then the sum of the loop
currents through its branch, senses counted. A potential is that of a point against a point of reference.
Both follow from the branch currents of a solution, so that whoever writes or reads a working can hold
what it says against them.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from ..algebra.number_rows import rows_for_multipliers, solve_number_rows
from ..algebra.ratios import Ratio
from ..circuit.changed import sources_in
from ..circuit.circuit import Circuit
from ..expressions.nodes import ZERO
from ..graph.lines import Loop
from .asked import solved_without
from .exact import Solution, solve_posed
from .two_points import EquivalentSource, put_back


@dataclass(frozen=True, slots=True)
class LoopCurrent:
    """The current, in amperes, said to run round `loop` in its sense. `among`: all the loops that currents
    are said to run round, this one included; its value hangs on the others."""

    loop: Loop
    among: tuple[Loop, ...]


@dataclass(frozen=True, slots=True)
class PointPotential:
    """The potential of `point` in volts, that of the point `reference` counting as zero."""

    point: str
    reference: str


@dataclass(frozen=True, slots=True)
class PartCurrent:
    """The part of a branch current, in amperes, that `sources` alone make, all others being at rest."""

    branch: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VoltageBetween:
    """The drop from `start` to `end`, two points of the circuit, in volts."""

    start: str
    end: str


@dataclass(frozen=True, slots=True)
class CurrentSum:
    """The sum of branch currents, in amperes, each with its sense: what a resistor carries that stands for
    several side by side."""

    terms: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class OpenCurrent:
    """A branch current, in amperes, with the resistor `load` taken out."""

    branch: str
    load: str


@dataclass(frozen=True, slots=True)
class OpenVoltage:
    """The voltage, in volts, between the ends of the resistor `load` when it is taken out, by the arrow of
    its branch."""

    load: str


@dataclass(frozen=True, slots=True)
class SeenResistance:
    """The resistance, in ohms, seen from the ends of `load`, that out and every source at rest."""

    load: str


@dataclass(frozen=True, slots=True)
class WireCurrent:
    """The current, in amperes, through a wire in the place of `load`, by the arrow of its branch."""

    load: str


@dataclass(frozen=True, slots=True)
class GreatestLoadPower:
    """The greatest power, in watts, that any resistance in the place of `load` can take."""

    load: str


MethodQuantity = (
    LoopCurrent
    | PointPotential
    | PartCurrent
    | VoltageBetween
    | CurrentSum
    | OpenCurrent
    | OpenVoltage
    | SeenResistance
    | WireCurrent
    | GreatestLoadPower
)


def quantity_value(solution: Solution, quantity: MethodQuantity) -> Ratio:
    """The exact value of a quantity in the field of a solution. Raises LookupError where the currents do not
    fix it: loops that are not independent, or points that only gaps and current sources join."""
    match quantity:
        case LoopCurrent(loop, among):
            return _loop_current(solution.currents, loop, among, solution.circuit.field.zero)
        case PointPotential(point, reference):
            part, level = solution.potentials[point]
            own, zero = solution.potentials[reference]
            if part != own:
                raise LookupError(f"nothing fixes the potential of {point} against {reference}")
            return level - zero
        case PartCurrent(branch, sources):
            return with_others_zero(solution.circuit, sources).currents[branch]
        case VoltageBetween(start, end):
            return solution.difference(start, end)
        case CurrentSum(terms):
            return sum((solution.currents[n] * s for n, s in terms), solution.circuit.field.zero)
        case OpenCurrent(branch, load):
            opened = solved_without(solution.circuit, (load,))
            return opened.currents[branch].at({}, solution.circuit.field)
        case OpenVoltage(load):
            return _seen(solution, load).voltage
        case SeenResistance(load):
            return _seen(solution, load).resistance
        case WireCurrent(load):
            wired = _seen(solution, load).short_current
            if wired is None:
                raise LookupError(f"nothing limits the current through a wire in the place of {load}")
            return wired
        case GreatestLoadPower(load):
            return _seen(solution, load).greatest_power


def _seen(solution: Solution, load: str) -> EquivalentSource:
    """The rest of the circuit as the load sees it, which hangs on the circuit alone."""
    known: dict[str, EquivalentSource] = solution.circuit.remembered(_sources)
    if load not in known:
        known[load] = put_back(solution, load).source
    return known[load]


def _sources(_: Circuit) -> dict[str, EquivalentSource]:
    return {}


def with_others_zero(circuit: Circuit, sources: tuple[str, ...]) -> Solution:
    """The circuit with the value 0 for every source that is not one of these, solved. It has all its elements
    and branches still, so that it is another route to what `alone` finds from the circuit redrawn."""
    known: dict[tuple[str, ...], Solution] = circuit.remembered(_parts)
    if sources not in known:
        changed = circuit
        for name in sources_in(circuit):
            if name not in sources:
                changed = changed.valued(name, ZERO)
        known[sources] = solve_posed(changed.worked_in(circuit.field))
    return known[sources]


def _parts(_: Circuit) -> dict[tuple[str, ...], Solution]:
    return {}


def _loop_current(currents: Mapping[str, Ratio], loop: Loop, among: Sequence[Loop], zero: Ratio) -> Ratio:
    """The combination of branch currents that leaves of all loop currents just the one round `loop`."""
    branches = list(dict.fromkeys(name for each in among for name, _ in each))
    through = [
        {str(at): Fraction(sense) for at, each in enumerate(among) for n, sense in each if n == name}
        for name in branches
    ]
    rows, multipliers = rows_for_multipliers({str(among.index(loop)): Fraction(1)}, through)
    found = solve_number_rows(rows, multipliers)
    if found.refused:
        raise LookupError("the loops are not independent")
    shares = zip(branches, found.base.values(), strict=True)
    return sum((currents[name] * zero.field.number(share) for name, share in shares if share), zero)
