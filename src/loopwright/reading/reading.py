"""A working read: the working, the arrows it was read under, the verdicts, and what they come to."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from ..circuit.circuit import Circuit
from ..circuit.in_time import TimedQuestion
from ..expressions.nodes import Expr
from ..expressions.said import Said
from ..expressions.terms import said_in_terms
from ..shown import Shown
from .faults import OwnFault
from .remarks import Remarked, UnitsOfNames, remarked
from .verdicts import Arrows, ClaimKind, Enough, Verdict
from .working import Working


@dataclass(frozen=True, slots=True)
class Reading(Shown):
    """Everything found out about one working of one circuit. `amid`: faults of ours that belong to no one
    line. `own`: what the names that the working gives stand for. `in_time`: of a circuit in time, which
    question a claim answers, by its line and the name that stands alone at its head."""

    circuit: Circuit
    working: Working
    arrows: Arrows
    verdicts: tuple[Verdict, ...]
    enough: Enough
    amid: tuple[OwnFault, ...] = ()
    own: Mapping[str, Expr] = field(default_factory=dict)
    in_time: Mapping[tuple[int, str], TimedQuestion] = field(default_factory=dict)

    @property
    def faults(self) -> tuple[OwnFault, ...]:
        """What went wrong with us, line by line; empty but for a bug of ours."""
        troubles = (line.trouble for line in self.working.lines)
        met = (*(t.fault for t in troubles if t), *(v.fault for v in self.verdicts), *self.amid)
        return tuple(sorted((f for f in met if f is not None), key=lambda fault: fault.line))

    @property
    def first_untrue(self) -> Verdict | None:
        """The first claim that is not true, where the trouble starts."""
        return next((v for v in self.verdicts if v.kind is ClaimKind.UNTRUE), None)

    @property
    def right(self) -> bool:
        """Whether every line was understood and true."""
        return all(v.holds for v in self.verdicts) and not any(line.trouble for line in self.working.lines)

    @property
    def names(self) -> UnitsOfNames:
        """What the names in the working stand for."""
        return UnitsOfNames(self.circuit, self.arrows.names)

    @property
    def remarks(self) -> tuple[Remarked, ...]:
        """Every line with what is to be said of it."""
        found = remarked(self.working, self.verdicts, self.names)
        return tuple(replace(each, remarks=self._in_terms(each.remarks)) for each in found)

    @property
    def closing(self) -> tuple[Said, ...]:
        """What is said of the whole: the arrows read, and whether the equations are enough."""
        arrows = (self.arrows.said,) if self.arrows.said else ()
        return self._in_terms((*arrows, *self.enough.said))

    def _in_terms(self, said: Sequence[Said]) -> tuple[Said, ...]:
        circuit = self.circuit
        return tuple(said_in_terms(one, circuit.page.terms, circuit.own_words) for one in said)
