"""A proposed mark: points for each part of a working, each with its reason and the lines it rests on."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from ...expressions.said import Said
from ...quantities import simple
from ...shown import Shown
from ..wording import lines_named
from .scheme import TITLES, MarkPart, Scheme

PROPOSED = "This mark is a proposal; the instructor decides."


@dataclass(frozen=True, slots=True)
class Award:
    """The points proposed for one part: how many, of how many, why, and the lines that this rests on."""

    part: MarkPart
    points: Fraction
    of: Fraction
    said: Said
    lines: tuple[int, ...] = ()

    @property
    def title(self) -> str:
        """The part in words."""
        return TITLES[self.part]

    @property
    def score(self) -> str:
        """The points in words: `1.5 of 2`."""
        return f"{simple(self.points)} of {simple(self.of)}"


@dataclass(frozen=True, slots=True)
class Mark(Shown):
    """A proposed mark. `follow_on`: lines that earned their points by following correctly from a slip;
    `unread`: lines that were not understood or not decided, for the instructor to look at."""

    scheme: Scheme
    awards: tuple[Award, ...]
    follow_on: tuple[int, ...] = ()
    unread: tuple[int, ...] = ()

    @property
    def total(self) -> Fraction:
        """The points together, never above the full mark."""
        return min(sum((award.points for award in self.awards), Fraction(0)), self.scheme.out_of)

    @property
    def score(self) -> str:
        """The total in words: `7.5 of 10`."""
        return f"{simple(self.total)} of {simple(self.scheme.out_of)}"

    @property
    def notes(self) -> tuple[str, ...]:
        """What is to be known besides the points: follow-on credit, what was not read, who decides."""
        found = []
        if self.follow_on:
            verb = "follows" if len(self.follow_on) == 1 else "follow"
            found.append(f"Follow-on credit: {lines_named(self.follow_on)} {verb} correctly from a slip.")
        if self.unread:
            found.append(f"Not read or not decided, to be looked at by eye: {lines_named(self.unread)}.")
        return (*found, PROPOSED)
