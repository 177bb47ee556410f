"""Resistors made one, exactly: what a set of them comes to, and the currents of the circuit drawn with them.

Every current and voltage of a circuit so drawn is worked from that circuit alone, by the laws, and then held
against those of the circuit at the outset.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from ..algebra.ratios import Field, Ratio
from ..circuit.circuit import Circuit
from ..circuit.made_one import Collapse, MadeOne, Redrawing, collapse
from ..errors import BrokenPromise
from .exact import Solution, solve_posed


@dataclass(frozen=True, slots=True)
class Together:
    """Resistors that can be made one: how they lie at last, in series or side by side, the steps to it, and
    their resistance in the circuit's symbols."""

    resistors: tuple[str, ...]
    in_series: bool
    steps: tuple[MadeOne, ...]
    resistance: Ratio


def together(circuit: Circuit, resistors: Collection[str], keep: Collection[str] = ()) -> Together | None:
    """What these resistors come to when they, and no others, are made one; None where they cannot be, being
    neither in series nor side by side even after some of them are made one. Internal resistances of batteries
    are not among them. `keep`: the two points between which a circuit is seen that has no source at work.
    Raises KeyError for a name that is no element."""
    wanted = frozenset(resistors)
    strange = sorted(wanted - circuit.elements.keys())
    if strange:
        raise KeyError(", ".join(strange))
    found = collapse(circuit, only=wanted, keep=keep)
    if len(wanted) < 2 or not found.steps or frozenset(found.steps[-1].base) != wanted:
        return None
    last = found.steps[-1]
    return Together(last.base, last.in_series, found.steps, found.values[last.whole])


@dataclass(frozen=True, slots=True)
class DrawnSolution:
    """A circuit as it is drawn after some steps, solved: `currents` of its branches in the symbols of the
    circuit at the outset, `voltages` across everything made one by then along its branch's arrow."""

    circuit: Circuit
    currents: Mapping[str, Ratio]
    voltages: Mapping[str, Ratio]


def drawn_solutions(found: Collapse, solution: Solution) -> tuple[DrawnSolution, ...]:
    """Every circuit drawn on the way, from the start to the last, solved. `solution`: that of the circuit at
    the outset. BrokenPromise where a current is not what the branches in it say."""
    field = found.circuit.field
    stages = tuple(_solved(circuit, found.values, field) for circuit in _drawings(found))
    before: Mapping[str, Ratio] = solution.currents
    for redrawn, stage in zip(_redrawings(found), stages, strict=True):
        for name, (branch, sense) in redrawn.lies_in.items():
            if name in before and before[name] != stage.currents[branch] * sense:
                raise BrokenPromise(f"{name} is not the current of the branch it is drawn in")
        if any(before[name] for name in redrawn.idle if name in before):
            raise BrokenPromise("a branch called idle carries a current")
        before = stage.currents
    for step, (one, other) in zip(found.steps, pairwise(stages), strict=True):
        total = sum((one.currents[name] * sense for name, sense in step.chains), field.zero)
        if step.chains and total != other.currents[step.branch] * step.sense:
            raise BrokenPromise(
                f"the currents of {', '.join(step.parts)} do not add up to that of {step.whole}"
            )
    return stages


def _redrawings(found: Collapse) -> Iterator[Redrawing]:
    yield found.start
    for step in found.steps:
        yield step.redrawn


def _drawings(found: Collapse) -> tuple[Circuit, ...]:
    return (found.start.circuit, *(step.after for step in found.steps))


def _solved(circuit: Circuit, values: Mapping[str, Ratio], field: Field) -> DrawnSolution:
    solution = solve_posed(circuit)
    put = {name: values[name] for name in circuit.symbols if name in values}
    currents = {name: value.at(put, field) for name, value in solution.currents.items()}
    voltages = {
        name: solution.across(name).at(put, field)
        for b in circuit.branches
        for name in (p.element for p in b.passes)
        if name in values
    }
    return DrawnSolution(circuit, currents, voltages)
