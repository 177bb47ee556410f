"""Slips in courses that have no form in plain symbols: two rates with a root, or a swing that fades.

Every course here is in numbers: what a slip makes of the true one is held against what is written.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from math import hypot

from ...expressions.amounts import amount
from ...expressions.nodes import ZERO as NOTHING
from ...expressions.nodes import Expr, Symbol, add, applied, exponential, negate, over, times
from .course_numbers import ZERO, NumberSpan, NumberTerm, RoundedCourse
from .timed_names import TIME

_NEAR = 1e-9  # of the largest term: no more than floating point leaves
_SAME = 0.005  # a share: as near as three figures tell
_POWERS = (3, -3, 6, -6, 1, -1)  # of ten, that a prefix or a nought is off by


@dataclass(frozen=True, slots=True)
class WrongSwing:
    """What a slip makes of a course: its key, what was done, and the course."""

    entry: str
    said: str
    course: RoundedCourse


def wrong_swings(true: RoundedCourse) -> Iterator[WrongSwing]:
    """What slips make of a course with more than one exponential, or with a swing; the likeliest first."""
    steady = [t for t in true.terms if t.is_steady]
    fading = [t for t in true.terms if not t.is_steady]

    def course(*parts: Iterable[NumberTerm]) -> RoundedCourse:
        return RoundedCourse(tuple(t for part in parts for t in part), true.size)

    def rated(by: float) -> list[NumberTerm]:
        return [replace(t, rate=t.rate * NumberSpan(by, by)) for t in fading]

    yield WrongSwing("exponent-sign", "the exponent has no minus, so it grows without end",
                     course(steady, rated(-1.0)))  # fmt: skip
    if any(t.factor.size for t in steady):
        yield WrongSwing("end-left-out", "the value long after is left out", course(fading))
    for k, term in enumerate(fading):
        turned = replace(term, factor=-term.factor)
        said = "one part has the other sign"
        yield WrongSwing("moved-sign", said, course(steady, fading[:k], [turned], fading[k + 1 :]))
    yield WrongSwing("minus-dropped", "the sign of the whole is the other one",
                     course([replace(t, factor=-t.factor) for t in true.terms]))  # fmt: skip
    if len(fading) > 1:
        for k in range(len(fading)):
            said = "one part of what fades is left out"
            yield WrongSwing("term-missing", said, course(steady, fading[:k], fading[k + 1 :]))
    if any(t.turning != ZERO for t in fading):
        for by, form in ((2.0, "it fades with 2 L/R and not with L/R"), (0.5, "it fades twice as fast")):
            yield WrongSwing("tau-form", f"in the exponent, {form}", course(steady, rated(by)))
        said = "sine and cosine are exchanged: a sine begins at nothing, a cosine does not"
        waves = [replace(t, sine=not t.sine) if t.turning != ZERO else t for t in fading]
        yield WrongSwing("rise-for-fall", said, course(steady, waves))
        free = [_undamped(t) for t in fading]
        said = "in how fast it swings the damping is left out: w² = w0² − a²"
        yield WrongSwing("term-missing", said, course(steady, free))
    for power in _POWERS:
        said = f"the rate in the exponent is off by a factor 10^{-power}"
        yield WrongSwing("exponent-prefix", said, course(steady, rated(10.0**power)))


def other_amplitudes(written: RoundedCourse, true: RoundedCourse) -> list[tuple[NumberTerm, NumberTerm]]:
    """The terms of a course that differ from the true ones in nothing but their factors, each with the true
    one; none where the courses differ in more, or in a term that only one of them has."""
    left, found = list(true.terms), list[tuple[NumberTerm, NumberTerm]]()
    for term in written.terms:
        met = next((t for t in left if t.pairs_with(term)), None)
        if met is None:
            return []
        left.remove(met)
        if not term.factor.meets(met.factor, _NEAR * true.size):
            found.append((term, met))
    return [] if any(t.factor.size > _NEAR * true.size for t in left) else found


def amplitude_said(term: NumberTerm, true: NumberTerm, unit: str) -> tuple[str, tuple[str | Expr, ...]]:
    """The key and the words for a term with another factor than the true one."""
    what = "the value long after is " if term.is_steady else "the factor of the exponential is "
    if term.turning != ZERO:
        what = f"the amplitude of the {'sine' if term.sine else 'cosine'} is "
    sizes = [amount(Fraction(t.factor.middle), unit, 3) for t in (true, term)]
    ratio, turning = term.factor.middle / true.factor.middle, term.turning.middle
    words: tuple[str | Expr, ...] = (what, sizes[0], ", not ", sizes[1])
    if turning and abs(abs(ratio) / turning - 1) < _SAME:
        return "factor-missing", (*words, ": it is not divided by how fast it swings")
    if turning and abs(abs(ratio) * turning - 1) < _SAME:
        return "factor-extra", (*words, ": it is divided once more by how fast it swings")
    if any(abs(abs(ratio) / 10.0**power - 1) < _SAME for power in _POWERS):
        return "prefix-dropped", words
    return ("moved-sign" if abs(ratio + 1) < _SAME else "digits"), words


def _undamped(term: NumberTerm) -> NumberTerm:
    """A swing as quick as it would be without resistance."""
    if term.turning == ZERO:
        return term
    free = hypot(term.turning.middle, term.rate.middle)
    return replace(term, turning=NumberSpan(free, free))


def written_course(course: RoundedCourse, unit: str) -> Expr:
    """A course in numbers as it is written, rates as times."""
    parts: list[Expr] = []
    for term in course.terms:
        if not term.factor.size:
            continue
        factors: list[Expr] = [amount(Fraction(term.factor.middle), unit, 3), *[Symbol(TIME)] * term.power]
        if term.rate != ZERO:
            factors.append(exponential(negate(over(Symbol(TIME), _seconds(term.rate)))))
        if term.turning != ZERO:
            wave = "sin" if term.sine else "cos"
            factors.append(applied(wave, over(Symbol(TIME), _seconds(term.turning))))
        parts.append(times(*factors))
    return add(*parts) if parts else NOTHING


def _seconds(rate: NumberSpan) -> Expr:
    return amount(1 / Fraction(rate.middle), "s", 4)
