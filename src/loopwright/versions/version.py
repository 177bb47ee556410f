"""What a search for versions finds: one version, a set of them, a count."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from ..circuit.circuit import Circuit
from ..shown import Shown
from .forms import VersionForm
from .search import Pattern, WishClash
from .slips_apart import SlipCertificate

SAME_LINES = "all of as many lines"  # the wish that stands for the other half of one difficulty


@dataclass(frozen=True)
class Version:
    """One version: the circuit with its numbers. `signs`: of its currents, in order; `lines`: how many lines
    its working in numbers has, or None where that was not asked. `certificate`: what its numbers tell of
    slips, where these were to be told apart. `form`: in what else it differs from the file; signs and lines
    are those of the file's own arrows and questions."""

    circuit: Circuit
    signs: Pattern
    lines: int | None = None
    certificate: SlipCertificate | None = None
    form: VersionForm = field(default_factory=VersionForm)

    @property
    def numbers(self) -> Mapping[str, str]:
        """Its numbers as written, by symbol."""
        return self.circuit.written


@dataclass(frozen=True)
class VersionSet(Shown):
    """The versions found of a problem, all distinct. `wanted`: how many were asked for; with fewer found,
    `clash` says which wishes stand in the way. `size`: how many candidates there are; `looked_at`: how many
    were looked at to find these. `signed`: the names of the quantities whose signs are the pattern of each:
    every current, in time just after and long after."""

    circuit: Circuit
    versions: tuple[Version, ...]
    wanted: int
    seed: int
    size: int
    looked_at: int
    clash: WishClash | None = None
    signed: tuple[str, ...] = ()

    def __len__(self) -> int:
        return len(self.versions)

    @property
    def circuits(self) -> tuple[Circuit, ...]:
        """The circuits of all versions, in order."""
        return tuple(version.circuit for version in self.versions)

    @property
    def in_form(self) -> bool:
        """Whether any differs in more than its numbers."""
        return any(version.form for version in self.versions)

    @property
    def complete(self) -> bool:
        """Whether as many were found as were asked for."""
        return len(self.versions) == self.wanted


@dataclass(frozen=True, slots=True)
class Count:
    """How many versions there are in all, and by the signs of their currents. `whole`: all candidates were
    looked at; else there may be more."""

    versions: int
    by_signs: Mapping[Pattern, int]
    looked_at: int
    whole: bool
