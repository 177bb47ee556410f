"""A class of slips: all those that give the same answers, whatever the numbers."""

from __future__ import annotations

from dataclasses import dataclass

from .catalogue import CATALOGUE
from .settings import Model, SlipOutcome


@dataclass(frozen=True, slots=True)
class SlipClass:
    """Slips with the same answers, whatever the numbers.

    `outcome`: what they give with the given numbers. `close`: positions of the classes that come within
    2 % of it by accident. `hidden`: the answers are right all the same: `always`, or `here` by
    these numbers alone; else empty.
    """

    members: tuple[Model, ...]
    outcome: SlipOutcome
    close: tuple[int, ...] = ()
    hidden: str = ""

    @property
    def usual(self) -> bool:
        """Whether a member is a slip in the usual set of equations."""
        return any(model.usual for model in self.members)

    @property
    def entries(self) -> tuple[str, ...]:
        """The catalogue keys of the members, each once, the most usual slips first."""
        keys = list(dict.fromkeys(model.entry for model in self.members))
        return tuple(sorted(keys, key=lambda key: CATALOGUE[key].usual))

    @property
    def lines(self) -> tuple[str, ...]:
        """The written lines that tell the members apart (one: they are all in the same line)."""
        return tuple(dict.fromkeys(model.line for model in self.members))
