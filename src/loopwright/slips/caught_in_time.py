"""Which check catches which slip in time: every slip made in a stage, and all its checks made on the outcome.

A slip gives a person another time constant, other starts or ends, another form of course, or another
amount. What follows from it is put in the place of the true courses, and the checks of the ledger are made on
that as on any stage: they know nothing of slips. What a check takes from the redrawn circuits stays true.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations

from ..circuit.changed import batteries_in
from ..circuit.elements import Kind
from ..shown import Shown
from ..transients.amounts import area
from ..transients.entries import energy_totals, examine_in_time
from ..transients.transient import Transient
from .told_in_time import otherwise, told_stage

_LARGEST_SET = 4  # checks in a set at most, when the smallest set is searched


@dataclass(frozen=True, slots=True)
class CaughtInTime:
    """One slip. `entry`: its key in the catalogue; `said`: what was done; `caught`: the codes of the checks
    that fail on what follows from it."""

    entry: str
    said: str
    caught: tuple[str, ...]


@dataclass(frozen=True)
class CoverageInTime(Shown):
    """The slips of a stage, each with what catches it. `titles`: the checks that apply to the true stage, by
    code."""

    slips: tuple[CaughtInTime, ...]
    titles: Mapping[str, str]

    @cached_property
    def counts(self) -> Mapping[str, int]:
        """By check how many of the slips it catches."""
        caught = Counter(code for slip in self.slips for code in slip.caught)
        return {code: caught[code] for code in self.titles}

    @property
    def never(self) -> tuple[CaughtInTime, ...]:
        """The slips that no check catches."""
        return tuple(slip for slip in self.slips if not slip.caught)

    @cached_property
    def smallest_set(self) -> tuple[str, ...]:
        """The fewest checks that together catch all that any catches; empty where no set of four does."""
        wanted = [set(slip.caught) for slip in self.slips if slip.caught]
        for size in range(1, _LARGEST_SET + 1):
            for some in combinations(self.titles, size):
                if all(caught & set(some) for caught in wanted):
                    return some
        return ()


def caught_in_time(stage: Transient) -> CoverageInTime:
    """Every slip of a stage, and the checks that catch it."""
    true = examine_in_time(stage)
    titles = {e.code: e.title for e in true.entries if e.passed is not None}
    slips: list[CaughtInTime] = []
    for entry, said, currents, across in otherwise(stage):
        same = all(currents[n] == c for n, c in stage.currents.items())
        if same and all(across[n] == stage.across(n) for n in across):
            continue
        found = examine_in_time(told_stage(stage, currents, across))
        slips.append(CaughtInTime(entry, said, tuple(e.code for e in found.failed)))
    slips += [CaughtInTime(entry, said, caught) for entry, said, caught in _amounts(stage, titles)]
    return CoverageInTime(tuple(slips), titles)


# -- what slips make of amounts --------------------------------------------------------------------


def _amounts(stage: Transient, titles: Mapping[str, str]) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """Slips in charges and energies: the balance of energy, and the charge against the area under the
    current."""
    if "time/energy" in titles:
        work, heat, gained = energy_totals(stage)
        for entry, said, told in (
            ("half-forgotten", "the energy stored is taken twice", (work, heat, gained * 2)),
            ("battery-work", "the work of the source is taken half", (work / 2, heat, gained)),
        ):
            if told != (work, heat, gained):
                yield entry, said, ("time/energy",) if told[0] != told[1] + told[2] else ()
    for name in stage.circuit.storages if "time/areas" in titles else ():
        if stage.circuit.elements[name].kind is not Kind.CAPACITOR:
            continue
        moved = area(stage.currents[stage.circuit.branch_of(name).name])
        value = stage.circuit.value(name)
        for source in batteries_in(stage.circuit):
            wrong = value * (stage.circuit.value(source) - stage.held[name])
            if wrong != moved:
                said = f"{name} is taken to come to the whole of {source}"
                yield "charge-of-emf", said, ("time/areas",)
