"""A working read: the working, the arrows it was read under, the verdicts, and what they come to."""

from __future__ import annotations

from dataclasses import dataclass

from ..circuit.circuit import Circuit
from ..expressions.said import Said
from ..shown import Shown
from .remarks import Remarked, UnitsOfNames, remarked
from .verdicts import Arrows, ClaimKind, Enough, Verdict
from .working import Working


@dataclass(frozen=True, slots=True)
class Reading(Shown):
    """Everything found out about one working of one circuit."""

    circuit: Circuit
    working: Working
    arrows: Arrows
    verdicts: tuple[Verdict, ...]
    enough: Enough

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
        return remarked(self.working, self.verdicts, self.names)

    @property
    def closing(self) -> tuple[Said, ...]:
        """What is said of the whole: the arrows read, and whether the equations are enough."""
        return (*((self.arrows.said,) if self.arrows.said else ()), *self.enough.said)
