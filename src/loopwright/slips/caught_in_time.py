"""Which check catches which slip in time: every slip made in a stage, and all its checks made on the outcome.

A slip gives a person another time constant, other starts or ends, another form of course, or another
amount. What follows from it is put in the place of the true courses, and the checks of the ledger are made on
that as on any stage: they know nothing of slips. What a check takes from the redrawn circuits stays true.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from itertools import combinations

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd
from ..circuit.elements import Kind
from ..errors import FaultyMaterial
from ..shown import Shown
from ..transients.amounts import area, scaled
from ..transients.course import Course, Decay
from ..transients.entries import energy_totals, examine_in_time
from ..transients.transient import Transient
from .models_of_time import redrawn_wrongly, wrong_time_constants

_LARGEST_SET = 4  # checks in a set at most, when the smallest set is searched

Courses = Mapping[str, Course]


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
    for entry, said, currents, across in _otherwise(stage):
        same = all(currents[n] == c for n, c in stage.currents.items())
        if same and all(across[n] == stage.across(n) for n in across):
            continue
        found = examine_in_time(_told(stage, currents, across))
        slips.append(CaughtInTime(entry, said, tuple(e.code for e in found.failed)))
    slips += [CaughtInTime(entry, said, caught) for entry, said, caught in _amounts(stage, titles)]
    return CoverageInTime(tuple(slips), titles)


def _told(stage: Transient, currents: Courses, across: Courses) -> Transient:
    """The stage as somebody has it: these courses, the rest as it is."""
    told = replace(stage)
    kept = {"image": stage.image, "before": stage.before, "start": stage.start, "end": stage.end}
    vars(told).update(kept, seen=stage.seen, currents=dict(currents), _across=dict(across))
    return told


# -- what slips make of the courses ----------------------------------------------------------------


def _otherwise(stage: Transient) -> Iterator[tuple[str, str, Courses, Courses]]:
    """The courses that slips lead to: the key, what was done, currents, and voltages of storages."""
    across = {name: stage.across(name) for name in stage.circuit.storages}
    whole = {**stage.currents, **{f"V({n})": c for n, c in across.items()}}
    for entry, said, changed in (*_by_rate(stage, whole), *_by_ends(stage, whole), *_by_form(stage, whole)):
        yield entry, said, {n: changed[n] for n in stage.currents}, {n: changed[f"V({n})"] for n in across}


_Changed = Iterator[tuple[str, str, Courses]]


def _by_rate(stage: Transient, whole: Courses) -> _Changed:
    """Another time constant in every exponential."""
    storages, field = stage.circuit.storages, stage.circuit.field
    if len(storages) == 1 and len(stage.rates) == 1:
        met: list[Ratio] = []
        for wrong in wrong_time_constants(stage, storages[0]):
            if wrong.value and wrong.value not in met:
                met.append(wrong.value)
                by = field.one / (wrong.value * stage.rates[0].plain)
                yield wrong.entry, wrong.said, _faster(whole, by)
    yield "exponent-prefix", "milli for micro in the exponent", _faster(whole, field.number(1000))
    yield "exponent-prefix", "a nought lost in the exponent", _faster(whole, field.number(Fraction(1, 10)))
    yield "exponent-sign", "the exponent has the wrong sign", _faster(whole, field.number(-1))


def _faster(whole: Courses, by: Ratio) -> Courses:
    """Every rate times a factor."""
    return {
        n: replace(c, decays=tuple(replace(d, rate=d.rate * by) for d in c.decays)) for n, c in whole.items()
    }


def _by_ends(stage: Transient, whole: Courses) -> _Changed:
    """Other starts or ends, from a circuit redrawn wrongly or a current carried over."""
    if len(stage.rates) != 1:
        return
    for start in (True, False):
        for entry, said, solved in redrawn_wrongly(stage, start=start):
            changed: dict[str, Course] = {}
            for name, course in whole.items():
                try:
                    value = solved.currents[name] if name in solved.currents else solved.across(name[2:-1])
                except (FaultyMaterial, KeyError):
                    value = course.just_after if start else course.end
                ends = (value, course.end) if start else (course.just_after, value)
                changed[name] = _between(stage, *ends)
            yield entry, said, changed
    for name in stage.circuit.storages:
        current = stage.circuit.branch_of(name).name
        own = whole[current]
        if stage.circuit.elements[name].kind is Kind.CAPACITOR and stage.before is not None:
            carried = _between(stage, stage.before.currents[current], own.end)
            yield "wrong-continuous", f"the current of {name} is carried over", {**whole, current: carried}
        turned = scaled(own, own.end.field.number(-1))
        yield "direction-after", f"{current} is given the other direction", {**whole, current: turned}


def _by_form(stage: Transient, whole: Courses) -> _Changed:
    """The right ends and rates in another form."""
    zero = stage.circuit.field.zero
    if len(stage.rates) == 1:
        pairs = {n: (c.just_after, c.end) for n, c in whole.items()}
        yield (
            "ends-exchanged",
            "start and end change places",
            {n: _between(stage, end, start) for n, (start, end) in pairs.items()},
        )
        yield (
            "rise-for-fall",
            "everything is written to rise from nothing",
            {n: _between(stage, zero, end) for n, (_, end) in pairs.items()},
        )
        yield (
            "rise-for-fall",
            "everything is written to fall to nothing",
            {n: _between(stage, start, zero) for n, (start, _) in pairs.items()},
        )
        yield (
            "start-for-difference",
            "the start stands before the exponential",
            {n: _between(stage, start + end, end) for n, (start, end) in pairs.items()},
        )
    yield (
        "end-left-out",
        "the value long after is left out",
        {n: replace(c, end=zero) for n, c in whole.items()},
    )


def _between(stage: Transient, start: Ratio, end: Ratio) -> Course:
    """The course from a start to an end at the stage's one rate."""
    zero = stage.circuit.field.zero
    decay = Decay(_plain(stage, start - end), stage.rates[0])
    return Course(end, (decay,) if start != end else (), zero, zero)


def _plain(stage: Transient, value: Ratio) -> Surd:
    zero = stage.circuit.field.zero
    return Surd(value, zero, zero)


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
        for source in _batteries(stage):
            wrong = value * (stage.circuit.value(source) - stage.held[name])
            if wrong != moved:
                said = f"{name} is taken to come to the whole of {source}"
                yield "charge-of-emf", said, ("time/areas",)


def _batteries(stage: Transient) -> list[str]:
    met = [p.element for b in stage.circuit.branches for p in b.passes]
    return [name for name in met if stage.circuit.elements[name].kind is Kind.BATTERY]
