"""Which law a row is where resistances have been made one before it was written: `24 − 4 I1 − 8 I3 = 0` where
5 Ω and then 12 Ω beside 4 Ω come to 8 Ω.

Such a row is no law of the circuit as it is drawn, but one of the circuit drawn with fewer resistors.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass, replace

from ...algebra.linear import Linear
from ...circuit.circuit import Circuit
from ...circuit.made_one import Collapse, MadeOne, collapse
from ...errors import FaultyMaterial
from ...expressions.tidy import tidy
from ...solve.exact import Solution, solve
from .meaning import Meanings, level
from .truth import View
from .which_law import StatedLaw, WhichLaw

MOST_STEPS = 6  # of making one; beyond, a circuit is none that somebody collapses before writing laws


@dataclass(frozen=True, slots=True)
class LawMadeOne:
    """The law `stated` of a `circuit` in which resistors are drawn as one; `made`: these, by the name that
    the one has there."""

    circuit: Circuit
    stated: StatedLaw
    made: Mapping[str, tuple[str, ...]]


def law_made_one(view: View, row: Linear) -> LawMadeOne | None:
    """The law that a true row of several unknowns of the circuit as drawn states of a smaller drawing of it;
    None where there is none."""
    if len(row.coefficients) < 2 or any(view.meanings.home[n][1] for n in row.coefficients):
        return None
    for smaller in view.meanings.circuit.remembered(_smaller):
        names = {*smaller.circuit.currents, *map(level, smaller.circuit.named_points)}
        if not names.issuperset(row.coefficients):
            continue
        which = smaller.law_in(view)
        symbols = which.meanings.symbols
        own = {n: c.at({}, symbols) for n, c in row.coefficients.items()}
        linear = Linear.of(own, row.constant.at({}, symbols))
        stated = which.stated(linear)
        if stated is not None and which.is_written_as_law(stated, linear):
            return LawMadeOne(smaller.circuit, stated, smaller.made)
    return None


class _Smaller:
    """A drawing of the circuit with fewer resistors, their values in the circuit's own symbols."""

    def __init__(self, solution: Solution, made: Mapping[str, tuple[str, ...]]) -> None:
        self.circuit, self.made = solution.circuit, made
        self._solution = solution
        self._laws: dict[tuple[bool, bool], WhichLaw] = {}

    def law_in(self, view: View) -> WhichLaw:
        """What finds laws in its rows, in symbols or with the numbers as in a view."""
        numbers = view.meanings.numbers
        way = bool(numbers), view.meanings.thousands
        if way not in self._laws:
            own = {n: v for n, v in numbers.items() if n in self.circuit.field}
            self._laws[way] = WhichLaw(Meanings(self._solution, {}, own, view.meanings.thousands))
        return self._laws[way]


def _smaller(circuit: Circuit) -> tuple[_Smaller, ...]:
    """The smaller drawings that a person may go over to: each part made one alone, and all from the inside
    outwards; those with fewest parts made one first."""
    whole = collapse(circuit)
    ways = [collapse(circuit, only=step.base) for step in whole.steps[:MOST_STEPS]]
    found: dict[frozenset[str], _Smaller] = {}
    for way in (*ways, whole):
        for count, step in enumerate(way.steps[:MOST_STEPS], 1):
            made = {s.whole: s.base for s in way.steps[:count] if s.whole in _met(step.after)}
            with suppress(FaultyMaterial):
                found.setdefault(frozenset(made), _Smaller(solve(_in_own_symbols(way, step)), made))
    return tuple(sorted(found.values(), key=lambda s: sum(map(len, s.made.values()))))


def _met(circuit: Circuit) -> set[str]:
    return {p.element for b in circuit.branches for p in b.passes}


def _in_own_symbols(way: Collapse, step: MadeOne) -> Circuit:
    """A circuit drawn on the way with what was made one in the symbols of the circuit at the outset."""
    after, wholes = step.after, {s.whole for s in way.steps}
    met = _met(after)
    elements = {
        n: replace(e, value=tidy(way.values[n])) if n in wholes else e
        for n, e in after.elements.items()
        if n in met
    }
    numbers = {n: v for n, v in after.numbers.items() if n not in wholes}
    written = {n: v for n, v in after.written.items() if n not in wholes}
    return replace(after, elements=elements, numbers=numbers, written=written)
