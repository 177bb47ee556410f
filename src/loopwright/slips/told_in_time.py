"""What slips make of the courses of a stage: another time constant, other starts or ends, another form.

Somebody who makes such a slip and goes on rightly has another stage: these courses, and all that follows from
them. It knows nothing of what would tell that it is wrong.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import TypeVar

from ..algebra.ratios import Ratio
from ..algebra.surds import Surd
from ..circuit.elements import Kind
from ..errors import FaultyMaterial
from ..transients.amounts import scaled
from ..transients.course import Course, Decay
from ..transients.transient import Transient
from .models_of_time import redrawn_wrongly, wrong_time_constants

Courses = Mapping[str, Course]
AnyStage = TypeVar("AnyStage", bound=Transient)


def told_stage(stage: Transient, currents: Courses, across: Courses) -> Transient:
    """The stage as somebody has it: these courses, the rest as it is."""
    return as_told(replace(stage), stage, currents, across)


def as_told(told: AnyStage, stage: Transient, currents: Courses, across: Courses) -> AnyStage:
    """A fresh stage of whatever kind with these courses, of currents and across elements, and with what is
    found already of the true one."""
    kept = {"image": stage.image, "before": stage.before, "start": stage.start, "end": stage.end}
    vars(told).update(kept, seen=stage.seen, currents=dict(currents), _across=dict(across))
    return told


def otherwise(stage: Transient) -> Iterator[tuple[str, str, Courses, Courses]]:
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
                changed[name] = between_ends(stage, *ends)
            yield entry, said, changed
    for name in stage.circuit.storages:
        current = stage.circuit.branch_of(name).name
        own = whole[current]
        if stage.circuit.elements[name].kind is Kind.CAPACITOR and stage.before is not None:
            carried = between_ends(stage, stage.before.currents[current], own.end)
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
            {n: between_ends(stage, end, start) for n, (start, end) in pairs.items()},
        )
        yield (
            "rise-for-fall",
            "everything is written to rise from nothing",
            {n: between_ends(stage, zero, end) for n, (_, end) in pairs.items()},
        )
        yield (
            "rise-for-fall",
            "everything is written to fall to nothing",
            {n: between_ends(stage, start, zero) for n, (start, _) in pairs.items()},
        )
        yield (
            "start-for-difference",
            "the start stands before the exponential",
            {n: between_ends(stage, start + end, end) for n, (start, end) in pairs.items()},
        )
    yield (
        "end-left-out",
        "the value long after is left out",
        {n: replace(c, end=zero) for n, c in whole.items()},
    )


def between_ends(stage: Transient, start: Ratio, end: Ratio) -> Course:
    """The course from a start to an end at the stage's one rate."""
    zero = stage.circuit.field.zero
    decay = Decay(_plain(stage, start - end), stage.rates[0])
    return Course(end, (decay,) if start != end else (), zero, zero)


def _plain(stage: Transient, value: Ratio) -> Surd:
    zero = stage.circuit.field.zero
    return Surd(value, zero, zero)
