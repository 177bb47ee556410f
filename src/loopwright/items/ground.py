"""The ground on which the items of one circuit are made: what is worked once and used by several kinds."""

from __future__ import annotations

from functools import cached_property

from ..checks.limits.cases import Ending, LimitCase
from ..checks.limits.limits import limit_cases
from ..circuit.circuit import Circuit
from ..circuit.in_time import changes
from ..slips.settings import Setting
from ..slips.slips_in_time import SlipsInTime
from ..solve.exact import Solution, solve
from .asked_value import AskedValue
from .slip_answers import SlipAnswers
from .steady_values import steady_values
from .timed_values import asked_in_items, values_in_time


class QuizGround:
    """A well-posed circuit with what items are made of, each worked when it is first asked for. `seed`: what
    choices and orders are drawn by."""

    def __init__(self, circuit: Circuit, seed: str) -> None:
        self.circuit, self.seed = circuit, seed

    @cached_property
    def setting(self) -> Setting:
        """The circuit with the equations a person would write."""
        return Setting(self.circuit)

    @cached_property
    def answers(self) -> SlipAnswers:
        """What slips lead to, in numbers. Raises FaultyMaterial where numbers are missing."""
        return SlipAnswers(self.circuit)

    @cached_property
    def in_time(self) -> SlipsInTime:
        """The slips in time, for what items ask. Raises FaultyMaterial where numbers are missing."""
        return SlipsInTime(self.circuit, asked_in_items(self.circuit))

    @cached_property
    def values(self) -> tuple[AskedValue, ...]:
        """What can be asked as a value. Raises FaultyMaterial where numbers are missing."""
        if changes(self.circuit):
            return values_in_time(self.in_time)
        return steady_values(self.circuit, self.answers)

    @cached_property
    def solution(self) -> Solution:
        """The closed forms."""
        return solve(self.circuit)

    @cached_property
    def limits(self) -> tuple[LimitCase, ...]:
        """The limits of single elements that settle and that both routes agree on."""
        cases = limit_cases(self.circuit, self.solution)
        return tuple(c for c in cases if c.ending is Ending.SETTLED and c.agree and not c.kept)
