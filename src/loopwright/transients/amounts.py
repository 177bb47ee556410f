"""Arithmetic of courses: sums, multiples, derivatives by the time and areas, term by term and exactly."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction
from math import factorial

from ..algebra.ratios import Field, Ratio
from ..algebra.surds import Surd, root
from .course import Course, Decay

_OPEN = Fraction(1, 10**20)  # of the largest amount: less is what rounded rates leave open


def scaled(course: Course, factor: Ratio) -> Course:
    """A course times a factor that does not change in time."""
    return Course(
        course.end * factor,
        tuple(Decay(d.amplitude * factor, d.rate, d.power) for d in course.decays),
        course.slope * factor,
        course.burst * factor,
        None if course.first is None else course.first * factor,
        course.error,
    )


def slope_of(course: Course) -> Course:
    """How fast a quantity changes, as a course: the derivative by the time, term by term."""
    field = course.end.field
    if not any(d.power for d in course.decays):
        minus = field.number(-1)
        each = tuple(Decay(d.amplitude * d.rate * minus, d.rate) for d in course.decays)
        return Course(course.slope, each, field.zero, field.zero, error=course.error)
    parts: list[tuple[Course, int]] = [(Course(course.slope, (), field.zero, field.zero), 1)]
    for d in course.decays:
        fading = Decay(d.amplitude * d.rate * field.number(-1), d.rate, d.power)
        grown = Decay(d.amplitude * field.number(d.power), d.rate, d.power - 1)
        terms = (fading, grown) if d.power else (fading,)
        parts += [(Course(field.zero, (term,), field.zero, field.zero), 1) for term in terms]
    return replace(summed(*parts), error=course.error)


def area(course: Course) -> Ratio:
    """The area under what is left of a quantity beside its end: its exponentials and the burst."""
    return sum(areas(course), course.end.field.zero)


def areas(course: Course) -> list[Ratio]:
    """The same part by part."""
    return [course.burst, *(_area_of(d.amplitude, d.rate, d.power).plain for d in course.decays)]


def squared_area(course: Course) -> Ratio:
    """The area under the square of a quantity that ends at nothing. Raises ArithmeticError where two roots of
    different numbers stand in it."""
    total = course.end.field.zero
    if len({d.rate.under for d in course.decays if d.rate.factor}) > 1:
        raise ArithmeticError("roots of different numbers")
    for one in course.decays:
        for other in course.decays:
            amplitude, rate = one.amplitude * other.amplitude, one.rate + other.rate
            total = total + _area_of(amplitude, rate, one.power + other.power).plain
    return total


def _area_of(amplitude: Surd, rate: Surd, power: int) -> Surd:
    """The area under A t^n e^(-a t) from 0 on: A n!/a^(n + 1)."""
    found, inverse = amplitude * amplitude.plain.field.number(factorial(power)), rate.inverse()
    for _ in range(power + 1):
        found = found * inverse
    return found


def summed(*parts: tuple[Course, int]) -> Course:
    """The sum of courses with signs."""
    if not parts:
        raise ValueError("the sum of no courses")
    zero = parts[0][0].end.field.zero
    end = slope = burst = first = zero
    decays: list[Decay] = []  # of each rate and power one: there are few, and equal ones are mostly the same
    for course, sign in parts:
        end = end + course.end * sign
        slope = slope + course.slope * sign if course.slope else slope
        burst = burst + course.burst * sign if course.burst else burst
        for d in course.decays:
            signed = d.amplitude if sign == 1 else d.amplitude * zero.field.number(sign)
            at = next((k for k, o in enumerate(decays) if o.power == d.power and o.rate == d.rate), None)
            if at is None:
                decays.append(Decay(signed, d.rate, d.power))
            else:
                decays[at] = Decay(decays[at].amplitude + signed, d.rate, d.power)
    error = max(course.error for course, _ in parts)
    if any(course.first is not None for course, _ in parts):
        first = sum((course.just_after * sign for course, sign in parts), zero)
        return Course(end, (), slope, burst, first, error)
    return Course(end, tuple(d for d in decays if d.amplitude), slope, burst, error=error)


def balance(amounts: Sequence[Ratio], error: Fraction) -> bool:
    """Whether amounts add up to nothing; where rates are no exact numbers, to within what these leave open of
    the largest."""
    total = sum(amounts[1:], amounts[0])
    return not total if not error else _size(total) <= _OPEN * max(map(_size, amounts))


def starts_at(course: Course, value: Ratio) -> bool:
    """Whether a course starts at a value; to within what its rates leave open, where they are no exact
    numbers."""
    gap = course.just_after - value
    return not gap if not course.error else _size(gap) <= _OPEN * _largest(course)


def adds_up(parts: Iterable[tuple[Course, int]]) -> bool:
    """Whether courses with these signs add up to nothing: constant, growth and each exponential alone. Where
    rates are no exact numbers, to within what these leave open."""
    listed = list(parts)
    total = summed(*listed)
    if total.error:
        largest = max(_largest(course) for course, _ in listed)
        return _largest(total) <= _OPEN * largest
    return not total.end and not total.slope and not total.decays and not total.first


def in_figures(course: Course, numbers: Mapping[str, Fraction], field: Field) -> Course:
    """A course with numbers put in for its symbols, exactly: its roots stay roots. `field`: one without
    symbols."""

    def plain(amount: Ratio) -> Ratio:
        return field.number(amount.value(numbers))

    def whole(amount: Surd) -> Surd:
        if not amount.factor:
            return Surd(plain(amount.plain), field.zero, field.zero)
        under = plain(amount.under)
        size = under.value({})
        exact = root(size) if size >= 0 else Fraction(0)
        if exact * exact == size:
            return Surd(plain(amount.plain) + plain(amount.factor) * exact, field.zero, field.zero)
        return Surd(plain(amount.plain), plain(amount.factor), under)

    decays = tuple(Decay(whole(d.amplitude), whole(d.rate), d.power) for d in course.decays)
    first = None if course.first is None else plain(course.first)
    kept = tuple(d for d in decays if d.amplitude)
    return Course(plain(course.end), kept, plain(course.slope), plain(course.burst), first, course.error)


def same_course(one: Course, other: Course) -> bool:
    """Whether two courses are the same, part by part; where rates are no exact numbers, to within what these
    leave open."""
    if one.error or other.error:
        return adds_up([(one, 1), (other, -1)])
    if (one.end, one.slope, one.burst) != (other.end, other.slope, other.burst):
        return False
    left = list(other.decays)
    for d in one.decays:
        met = next((k for k, o in enumerate(left) if o.power == d.power and _alike(o.rate, d.rate)), None)
        if met is None or not _alike(left.pop(met).amplitude, d.amplitude):
            return False
    return not left


def _alike(one: Surd, other: Surd) -> bool:
    """Whether two numbers with a root are the same, also where the roots are of different numbers."""
    if one.plain != other.plain:
        return False
    squares = [s.factor * s.factor * s.under for s in (one, other)]
    signs = [s.factor.value({}) > 0 if s.factor.constant() is not None else None for s in (one, other)]
    return squares[0] == squares[1] and (not squares[0] or signs[0] == signs[1])


def _largest(course: Course) -> Fraction:
    """The largest of the amounts in a course of numbers."""
    return max((_size(course.end), _size(course.slope), *(_size(d.amplitude) for d in course.decays)))


def _size(amount: Ratio | Surd) -> Fraction:
    """The size of an amount in numbers."""
    if isinstance(amount, Ratio):
        return abs(amount.value({}))
    return abs(amount.plain.value({})) + abs(amount.factor.value({})) * root(abs(amount.under.value({})))
