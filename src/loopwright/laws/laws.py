"""All the laws of one circuit: which equations there are, which are enough, which say nothing new."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from ..algebra.linear import echelon, reduce_rows
from ..algebra.ratios import Ratio
from ..circuit.circuit import Circuit
from ..circuit.elements import Kind
from ..graph.connections import parts
from ..graph.lines import Loop, closes
from ..graph.loops import simple_loops
from ..shown import Shown
from .equations import Law, LawEquation, across, element_equations, junction_equation, loop_equation
from .loops import (
    are_independent,
    default_loops,
    from_a_source,
    is_plain,
    loop_count_needed,
    loop_through,
)


@dataclass(frozen=True, slots=True)
class Sufficiency:
    """How far a chosen set of equations fixes the currents.

    `enough`: it fixes every unknown in it and all branch currents. `missing`: how many more independent
    equations are needed. `redundant`: for each equation that says nothing new its index, and the
    multipliers of the equations above it that add up to it.
    """

    enough: bool
    missing: int
    redundant: tuple[tuple[int, tuple[Ratio, ...]], ...]


@dataclass(frozen=True)
class Laws(Shown):
    """The junction and loop equations of a circuit under its arrows."""

    circuit: Circuit

    @cached_property
    def junctions(self) -> tuple[LawEquation, ...]:
        """The junction equation of every point where branches meet, each once."""
        return tuple(
            junction_equation(self.circuit, p)
            for p in self.circuit.points
            if any(p in (b.start, b.end) and b.start != b.end for b in self.circuit.branches)
        )

    @cached_property
    def independent_junctions(self) -> tuple[LawEquation, ...]:
        """All junction equations but one of each connected part, which adds nothing: the one at the
        − terminal side of its first battery is left out, otherwise the last."""
        left_out = {self._return_point(part) for part in self._parts}
        kept = tuple(e for e in self.junctions if e.point not in left_out)
        if not self.elements:
            return kept
        # at a dead end, or where only fixed currents meet, the junction says what an element says
        rows = [e.linear for e in (*self.elements, *kept)]
        said = reduce_rows(rows, self.circuit.currents).combinations[len(self.elements) :]
        return tuple(e for e, combination in zip(kept, said, strict=True) if combination is None)

    @property
    def _parts(self) -> tuple[tuple[str, ...], ...]:
        return parts(self.circuit.points, self.circuit.branches).groups()

    def _return_point(self, part: tuple[str, ...]) -> str:
        for b in self.circuit.branches:
            if b.start in part:
                for p in b.passes:
                    if self.circuit.elements[p.element].kind is Kind.BATTERY:
                        return b.start if p.sign > 0 else b.end
        return part[-1]

    @cached_property
    def usual_loops(self) -> tuple[LawEquation, ...]:
        """The loop equations of the set a person would choose."""
        circuit = self.circuit
        return tuple(loop_equation(circuit, loop) for loop in circuit.remembered_of_shape(default_loops))

    @cached_property
    def wanted_loops(self) -> tuple[LawEquation, ...]:
        """The loop equations that the problem file names, travelled as it says; those that the circuit no
        longer has, once it was changed, are left out."""
        return tuple(self.round(x) for x in self.circuit.loops if closes(self.circuit.branches, x))

    @cached_property
    def own_loops(self) -> tuple[LawEquation, ...]:
        """Those wanted that say something new and name nothing but currents, where these are enough; else
        none."""
        new: list[LawEquation] = []
        for law in self.wanted_loops:
            if is_plain(self.circuit, law.loop) and are_independent([*(x.loop for x in new), law.loop]):
                new.append(law)
        return tuple(new) if len(new) == len(self.usual_loops) else ()

    @cached_property
    def loops(self) -> tuple[LawEquation, ...]:
        """The loop equations that the work begins with, enough with the junction and element equations: the
        person's own where these are enough, otherwise the usual ones."""
        return self.own_loops or self.usual_loops

    @cached_property
    def elements(self) -> tuple[LawEquation, ...]:
        """The currents fixed by current sources, open switches and ideal voltmeters."""
        return element_equations(self.circuit)

    @cached_property
    def every_loop(self) -> tuple[LawEquation, ...]:
        """The loop equation of every simple loop, the outermost included."""
        return tuple(
            loop_equation(self.circuit, from_a_source(self.circuit, loop))
            for loop in simple_loops(self.circuit.branches)
        )

    @property
    def chosen(self) -> tuple[LawEquation, ...]:
        """The set a person would write: the junctions needed, the fixed currents, the loops needed."""
        return (*self.independent_junctions, *self.elements, *self.loops)

    def loop(self, *names: str) -> LawEquation:
        """The loop equation of the loop named by points, elements or currents in order of travel."""
        return loop_equation(self.circuit, loop_through(self.circuit, names))

    def round(self, loop: Loop) -> LawEquation:
        """The loop equation of a loop given as (branch, sense) pairs, travelled as given."""
        return loop_equation(self.circuit, loop)

    @cached_property
    def needed(self) -> int:
        """How many independent equations fix the branch currents: one for each branch."""
        return len(self.circuit.branches)

    @cached_property
    def loops_needed(self) -> int:
        """How many independent loops the circuit has: B − J + 1 when it hangs together."""
        return loop_count_needed(self.circuit)

    def judge(self, equations: Sequence[LawEquation]) -> Sufficiency:
        """Whether these equations are enough, which of them are redundant, how many are missing.

        Source: rank of the system over the circuit's field; a full set for B branches has B − J + 1
        loop equations and J − 1 junction equations (e.g. Balabanian & Bickart, Electrical Network
        Theory, 1969, ch. 2; from memory).
        """
        circuit = self.circuit
        voltages = [across(p.element) for b in circuit.branches for p in b.passes]
        unknowns = [*circuit.currents, *voltages]
        rows = [e.linear for e in equations]
        rank = len(echelon(rows, unknowns))
        redundant: tuple[tuple[int, tuple[Ratio, ...]], ...] = ()
        if rank < len(rows):
            found = enumerate(reduce_rows(rows, unknowns).combinations)
            redundant = tuple((i, m) for i, m in found if m is not None)
        present = {n for row in rows for n in row.coefficients} | set(circuit.currents)
        missing = len(present) - rank
        return Sufficiency(missing == 0, missing, redundant)


def laws(circuit: Circuit) -> Laws:
    """The laws of a circuit: its junction and loop equations, for the arrows drawn."""
    return circuit.remembered(Laws)


__all__ = ["Law", "LawEquation", "Laws", "Sufficiency", "laws"]
