"""What final numbers tell: the types of the answer, and when a written number stands for a value."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from .broken_laws import BrokenLaws
from .catalogue import CATALOGUE
from .slip_classes import SlipClass


@dataclass(frozen=True, slots=True)
class Closeness:
    """When a written number counts as a value rounded.

    `last`: how far off it may be, in units of its last figure. `widest`: but no farther than this part of
    the value, so that `2` is not taken for 2.4. `floor`: what is within this part of the largest right
    current counts as zero where zero is written. An exact number must be equal.
    """

    last: Fraction = Fraction(1, 2)
    widest: Fraction = Fraction(1, 20)
    floor: Fraction = Fraction(1, 200)


@dataclass(frozen=True, slots=True)
class Given:
    """One number to be decoded: `value` along the circuit's arrow in SI units, and `step`, one unit of its
    last figure (0: exact)."""

    name: str
    value: Fraction
    step: Fraction  # one unit of the last figure; 0 for an exact number
    has_unit: bool = True

    def allowed(self, value: Fraction, policy: Closeness) -> Fraction:
        """How far this number may be from a value to stand for it."""
        return min(self.step * policy.last, abs(value) * policy.widest)


@dataclass(frozen=True, slots=True)
class Match:
    """A class of slips that gives the numbers. `turned`: currents whose arrow must then be the other way;
    `silent`: the numbers of which the slip says nothing; `exact`: no rounding was needed; `off`: the
    largest relative difference."""

    slips: SlipClass
    turned: tuple[str, ...]
    silent: tuple[str, ...]
    exact: bool
    off: Fraction


@dataclass(frozen=True, slots=True)
class Right:
    """The numbers are right: under other arrows where `turned` names some; rounded where not `exact`."""

    turned: tuple[str, ...]
    exact: bool


@dataclass(frozen=True, slots=True)
class LoneSlip:
    """All numbers are right but one. `said`: what was done to it in its last step, where that shows."""

    name: str
    given: Fraction
    right: Fraction
    said: str


@dataclass(frozen=True, slots=True)
class Decoded:
    """What final numbers tell.

    `matches`: the slips that give them, the likeliest first. `open_`: slips that leave the currents open
    and allow these numbers. `lone`: the one number that is wrong. `near`: all are within 2 % of right
    though not as rounded: rounded on the way, or read off. `broken`: which law they break. `unitless`:
    numbers without a unit, of which currents are taken in `unit`. `complete`: all currents are given.
    """

    given: tuple[Given, ...]
    right: Right | None
    matches: tuple[Match, ...]
    open_: tuple[SlipClass, ...]
    lone: LoneSlip | None
    near: bool
    broken: BrokenLaws
    unitless: tuple[str, ...]
    unit: str
    complete: bool

    @property
    def lines(self) -> tuple[str, ...]:
        """The written lines that would tell the best matches apart, where there are several slips."""
        best = self.best
        lines = dict.fromkeys(line for match in best for line in match.slips.lines)
        several = len(best) > 1 or any(len(match.slips.members) > 1 for match in best)
        return tuple(lines) if several else ()

    @property
    def best(self) -> tuple[Match, ...]:
        """The matches of the first rank: arrows as drawn and all numbers told, if any are so."""
        if not self.matches:
            return ()
        first = rank(self.matches[0])[:3]
        return tuple(match for match in self.matches if rank(match)[:3] == first)


def rank(match: Match) -> tuple[int, int, bool, bool, Fraction, int]:
    """Arrows as drawn first, then what tells all numbers, then exact ones, then slips in the usual set,
    then the closest, then the most usual."""
    usual = min(CATALOGUE[key].usual for key in match.slips.entries)
    return len(match.turned), len(match.silent), not match.exact, not match.slips.usual, match.off, usual
