"""What is true of a circuit in time, for every quantity that a working may name at any moment.

The circuit is worked exactly (`transients/`); a `TimedWorld` gives each quantity as an exact value in the
circuit's symbols and the time, and as a number. A world with `supposed` values is the one that somebody's
wrong
line speaks of: what depends on such a value is worked out from it, so that what follows from a slip is known.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import cached_property
from math import exp, log

from ...algebra.ratios import Field, Ratio
from ...algebra.surds import Surd
from ...circuit.circuit import Circuit
from ...circuit.elements import Kind
from ...circuit.in_time import Moment, TimedKind, TimedQuestion
from ...errors import FaultyMaterial
from ...solve.exact import Solution
from ...transients.amounts import slope_of
from ...transients.course import Course
from ...transients.number_course import NumberCourse
from ...transients.redrawn import seen_by
from ...transients.timed_values import timed_value
from ...transients.transient import Transient
from .course_numbers import NumberSpan, NumberTerm, RoundedCourse, constant, product_of, summed, turned
from .course_values import (
    ExactValue,
    NotExact,
    at_time,
    of_ratio,
    plus,
    product,
    slope_of_value,
    times_number,
)
from .timed_names import OF_RATE, TIME, Sort, TimedQuantity, When, of_storage_alone

_MADE = (Sort.ENERGY, Sort.POWER)


class NoValue(LookupError):
    """A quantity that has no one value at that moment, or none that is worked out; `args[0]` says why."""


@dataclass(frozen=True, slots=True)
class Supposed:
    """A value that a line gives, true or not: of a quantity at a moment, from which line."""

    quantity: TimedQuantity
    when: When
    exact: ExactValue
    line: int


@dataclass(frozen=True)
class TimedWorld:
    """The circuit in time as it is, or as wrong lines above have it. `used` gathers the lines whose supposed
    values were asked for; `by_junctions`: a current is the sum of the others at a junction where a wrong line
    supposes one of them."""

    stage: Transient
    supposed: tuple[Supposed, ...] = ()
    used: dict[int, None] = field(default_factory=dict, compare=False)
    by_junctions: bool = False

    @property
    def circuit(self) -> Circuit:
        """The circuit."""
        return self.stage.circuit

    @cached_property
    def field(self) -> Field:
        """The circuit's symbols, the time at which the stage begins and the time."""
        begins = (self.stage.begins,) if self.stage.begins else ()
        return Field((*self.circuit.field.symbols, *begins, TIME))

    # -- exactly -------------------------------------------------------------------------------------

    def exact(self, quantity: TimedQuantity, when: When, at: ExactValue | None = None) -> ExactValue:
        """The value of a quantity at a moment. `at`: the time, for `When.AT`. Raises NoValue and NotExact."""
        given = self._given(quantity, when)
        if given is not None:
            return _signed(given.exact, quantity.sign * given.quantity.sign)
        if self.by_junctions and (added := self._by_junction(quantity, when, at)) is not None:
            return _signed(added, quantity.sign)
        return _signed(self._exact(quantity, when, at), quantity.sign)

    def _exact(self, quantity: TimedQuantity, when: When, at: ExactValue | None) -> ExactValue:
        if when is When.AT:
            if at is None:
                raise NoValue("at no time")
            course = self.exact(replace(quantity, sign=1), When.COURSE)
            time = at.plain if at.terms else self.field.zero
            return at_time(course, time, TIME)
        timeless = self._timeless(quantity)
        if timeless is not None:
            return of_ratio(timeless.at({}, self.field))
        if quantity.sort in _MADE and quantity.slope:
            if when is not When.COURSE:
                raise NoValue("how fast it changes is told as a course alone")
            return slope_of_value(self._made_exact(quantity, when), TIME)
        if quantity.sort in _MADE:
            return self._made_exact(quantity, when)
        if quantity.sort is Sort.CHARGE:
            across = self.exact(TimedQuantity(Sort.ACROSS, quantity.of, 1, quantity.slope), when)
            capacity = self._own(self.circuit.value(quantity.of[0]))
            return ExactValue({key: part * capacity for key, part in across.terms.items()})
        if when is When.COURSE:
            if (supposed := self._from_ends(replace(quantity, sign=1))) is not None:
                return supposed
            return self._of_course(self._course(quantity))
        return of_ratio(self._own(self._at_end(quantity, when)))

    def _own(self, ratio: Ratio) -> Ratio:
        return ratio.at({}, self.field)

    def _of_course(self, course: Course) -> ExactValue:
        if course.first is not None:
            raise NotExact("no form in symbols")
        found = of_ratio(self._own(course.end))
        time = self.field.symbol(TIME)
        if course.slope:
            found = plus(found, of_ratio(self._own(course.slope) * time))
        for decay in course.decays:
            if not decay.is_plain:
                raise NotExact("rates with a square root")
            exponent = -self._own(decay.rate.plain) * time
            factor = self._own(decay.amplitude.plain) * time**decay.power
            found = plus(found, ExactValue({(exponent, None): factor}))
        return found

    def _made_exact(self, quantity: TimedQuantity, when: When) -> ExactValue:
        """Energy and power, from the voltage and the current at the same moment."""
        name = quantity.of[0]
        element = self.circuit.elements[name]
        if quantity.sort is Sort.ENERGY:
            held = self.exact(self._held_by(name), when)
            half = self._own(self.circuit.value(name)) * self.field.number(Fraction(1, 2))
            return product(of_ratio(half), product(held, held))
        voltage = self.exact(TimedQuantity(Sort.ACROSS, (name,)), when)
        current = self.exact(TimedQuantity(Sort.CURRENT, (self.circuit.branch_of(name).name,)), when)
        power = product(voltage, current)
        return _signed(power, -1 if element.has_sign else 1)

    def _held_by(self, storage: str) -> TimedQuantity:
        """What a storage holds on to: the voltage of a capacitor, the current of a coil."""
        if self.circuit.elements[storage].kind is Kind.CAPACITOR:
            return TimedQuantity(Sort.ACROSS, (storage,))
        return TimedQuantity(Sort.CURRENT, (self.circuit.branch_of(storage).name,))

    # -- the circuit worked --------------------------------------------------------------------------

    def _course(self, quantity: TimedQuantity) -> Course:
        try:
            return _course(self._stage, quantity)
        except FaultyMaterial as trouble:
            raise NoValue(str(trouble)) from trouble

    def _at_end(self, quantity: TimedQuantity, when: When) -> Ratio:
        """The value before, just after or long after, from the circuit redrawn for that moment."""
        stage = self._stage
        if quantity.slope:
            if when is When.BEFORE:
                return stage.circuit.field.zero
            course = self._course(quantity)
            return course.just_after if when is When.AFTER else course.end
        solution = {When.BEFORE: stage.before, When.AFTER: stage.start, When.END: stage.end}.get(when)
        if solution is not None:
            try:
                return self._in_solution(solution, quantity, when)
            except (FaultyMaterial, KeyError):
                pass
        if when is When.BEFORE:
            raise NoValue("the circuit before does not decide it")
        course = self._course(quantity)
        end = course.just_after if when is When.AFTER else course.long_after
        if end is None:
            raise NoValue("it grows without limit")
        return end

    def _in_solution(self, solution: Solution, quantity: TimedQuantity, when: When) -> Ratio:
        circuit = self.circuit
        match quantity.sort:
            case Sort.CURRENT:
                return solution.currents[quantity.of[0]]
            case Sort.DIFFERENCE:
                return solution.difference(*quantity.of)
        name = quantity.of[0]
        if circuit.elements[name].kind is Kind.CAPACITOR and when in (When.BEFORE, When.AFTER):
            return self._stage.held[name]
        if circuit.elements[name].kind is Kind.RESISTOR:
            return circuit.value(name) * solution.currents[circuit.branch_of(name).name]
        if circuit.elements[name].kind is Kind.COIL and when is When.END:
            return circuit.internal_resistance(name) * solution.currents[circuit.branch_of(name).name]
        if circuit.elements[name].kind in (Kind.CAPACITOR, Kind.COIL):
            raise KeyError(name)
        return solution.across(name)

    def _timeless(self, quantity: TimedQuantity) -> Ratio | None:
        """What belongs to no moment: time constants, seen resistances, heat, work; None for what does."""
        of = quantity.of
        match quantity.sort:
            case Sort.TIME_CONSTANT:
                return self._time_constant(of[0]) if of[0] != OF_RATE else self._plain_constant(of[1])
            case Sort.SEEN:
                return self._seen(of[0])
            case Sort.HEAT:
                value = timed_value(self.stage, TimedQuestion(TimedKind.HEAT, of, Moment.NONE))
                if value.exact is None:
                    raise NoValue(value.words)
                return value.exact
            case Sort.WORK:
                return self._work(of[0])
            case Sort.CAPACITANCE | Sort.INDUCTANCE:
                kind = TimedKind.CAPACITANCE if quantity.sort is Sort.CAPACITANCE else TimedKind.INDUCTANCE
                try:
                    return timed_value(self.stage, TimedQuestion(kind, of, Moment.NONE)).exact
                except FaultyMaterial as trouble:
                    raise NoValue(str(trouble)) from trouble
        return None

    def _seen(self, storage: str) -> Ratio:
        seen = seen_by(self.circuit, storage)
        if seen is None:
            raise NoValue("it sees no resistance")
        return seen

    def _time_constant(self, storage: str) -> Ratio:
        given = self._given(TimedQuantity(Sort.SEEN, of_storage_alone(self.circuit, storage)), When.UNSAID)
        seen = self._seen(storage)
        if given is not None:
            try:
                seen = given.exact.plain.at({}, self.circuit.field)
            except (NotExact, KeyError, ValueError) as trouble:
                raise NoValue("no ratio") from trouble
        value = self.circuit.value(storage)
        if self.circuit.elements[storage].kind is Kind.CAPACITOR:
            return seen * value
        if not seen:
            raise NoValue("it never settles")
        return value / seen

    @cached_property
    def one_constant(self) -> TimedQuantity | None:
        """The one time constant with which everything runs; None where there are several, or none."""
        storages = self.circuit.storages
        if len(storages) == 1:
            return TimedQuantity(Sort.TIME_CONSTANT, tuple(storages))
        alone = self.stage.is_whole and len(self.stage.rates) == 1 and not self.stage.rates[0].factor
        if not alone or any(d.power for c in self.stage.currents.values() for d in c.decays):
            return None
        return TimedQuantity(Sort.TIME_CONSTANT, (OF_RATE, ""))

    def _rate(self, number: str) -> Surd:
        """The rate of a numbered time constant, the slowest first; with no number, of the only one."""
        numbers = self.circuit.numbers
        rates = list(self.stage.rates if self.stage.is_whole else self.stage.in_numbers.rates)
        if self.circuit.has_all_numbers:
            if any(rate.factor and rate.under.value(numbers) < 0 for rate in rates):
                raise NoValue("it rings")
            rates.sort(key=lambda rate: rate.value(numbers))
        at = int(number or 1) - 1
        if at >= len(rates) or (not number and len(rates) > 1):
            raise NoValue("there is no such time constant")
        return rates[at]

    def _plain_constant(self, number: str) -> Ratio:
        rate = self._rate(number)
        if rate.factor:
            raise NotExact("rates with a square root")
        return rate.plain.field.one / rate.plain

    def _work(self, battery: str) -> Ratio:
        """The work of a battery from the move on, for one whose current ends."""
        circuit = self.circuit
        branch = circuit.branch_of(battery)
        course = self._stage.currents[branch.name]
        if course.end or course.slope:
            raise NoValue("it goes on for ever")
        charge = course.burst
        if course.first is not None or any(decay.power for decay in course.decays):
            raise NoValue("no form in symbols")
        for decay in course.decays:
            charge = charge + (decay.amplitude * decay.rate.inverse()).plain
        return circuit.value(battery) * charge * circuit.pass_of(battery).sign

    def _by_junction(self, quantity: TimedQuantity, when: When, at: ExactValue | None) -> ExactValue | None:
        """A current as the junction rule gives it where a wrong line supposes another one there; None where
        none does."""
        if quantity.sort is not Sort.CURRENT or quantity.slope:
            return None
        circuit = self.circuit
        own = circuit.branch(quantity.of[0])
        for point in (own.start, own.end):
            met = [b for b in circuit.branches if b is not own and (b.start == point) != (b.end == point)]
            others = [TimedQuantity(Sort.CURRENT, (b.name,)) for b in met]
            if point not in circuit.junctions or not any(self._given(q, when) for q in others):
                continue
            total = ExactValue({})
            for b, other in zip(met, others, strict=True):
                given = self._given(other, when)
                value = given.exact if given is not None else self._exact(other, when, at)
                sign = (given.quantity.sign if given is not None else 1) * (1 if b.end == point else -1)
                total = plus(total, times_number(value, sign))
            return times_number(total, 1 if own.start == point else -1)
        return None

    # -- what is supposed ----------------------------------------------------------------------------

    def _given(self, quantity: TimedQuantity, when: When) -> Supposed | None:
        """What a line above supposes of this quantity at this moment; the last line counts."""
        for one in reversed(self.supposed):
            same = one.quantity.sort is quantity.sort and one.quantity.of == quantity.of
            if same and one.quantity.slope == quantity.slope and (one.when is when or when is When.UNSAID):
                self.used[one.line] = None
                return one
        return None

    @cached_property
    def _stage(self) -> Transient:
        """The stage, with what wrong lines suppose its storages to hold."""
        held = dict(self.stage.held)
        for storage in self.circuit.storages:
            quantity = self._held_by(storage)
            for when in (When.AFTER, When.BEFORE):
                given = self._given(quantity, when)
                if given is not None:
                    try:
                        value = given.exact.plain if given.exact.terms else self.field.zero
                        held[storage] = (value * given.quantity.sign).at({}, self.circuit.field)
                        break
                    except (NotExact, KeyError, ValueError):
                        continue
        return self.stage if held == dict(self.stage.held) else Transient(self.circuit, held)

    def _from_ends(self, quantity: TimedQuantity) -> ExactValue | None:
        """The course between ends and with a time constant of which wrong lines suppose one; None where none
        does."""
        constant_of = self.one_constant
        if not self.supposed or constant_of is None or quantity.slope:
            return None
        supposed = [self._given(quantity, When.AFTER), self._given(quantity, When.END)]
        supposed.append(self._given(constant_of, When.UNSAID))
        if len(self.circuit.storages) == 1:
            supposed.append(self._given(TimedQuantity(Sort.SEEN, constant_of.of), When.UNSAID))
        if not any(supposed) and self._stage is self.stage:
            return None
        start, end = self.exact(quantity, When.AFTER), self.exact(quantity, When.END)
        tau = self.exact(constant_of, When.UNSAID).plain
        gap = plus(start, times_number(end, -1))
        falling = ExactValue({(-self.field.symbol(TIME) / tau, None): self.field.one})
        return plus(end, product(gap, falling))

    # -- as numbers ----------------------------------------------------------------------------------

    def number(self, quantity: TimedQuantity, when: When, at: NumberSpan | None = None) -> RoundedCourse:
        """The value as a number, for a circuit with all numbers. Raises NoValue."""
        if when is When.AT:
            if at is None:
                raise NoValue("at no time")
            try:
                return constant(self.number(quantity, When.COURSE).at(at))
            except NoValue:
                if quantity.sort not in (Sort.CURRENT, Sort.ACROSS, Sort.DIFFERENCE):
                    raise
                value = float(self._run(quantity).at(Fraction(at.middle))) * quantity.sign
                return constant(_point(value))
        try:
            return as_numbers(self.exact(quantity, when), self.circuit.numbers)
        except NotExact:
            return _signed_numbers(self._number(quantity, when), quantity.sign)

    def _number(self, quantity: TimedQuantity, when: When) -> RoundedCourse:
        """The numbers of a quantity with rates that hold a root."""
        numbers = self.circuit.numbers
        if quantity.sort in _MADE:
            name = quantity.of[0]
            if quantity.sort is Sort.ENERGY:
                held = self._number(self._held_by(name), when)
                half = float(self.circuit.value(name).value(numbers)) / 2
                return _times_numbers(constant(NumberSpan(half, half)), _times_numbers(held, held))
            raise NoValue("it is not worked out")
        if quantity.sort is Sort.CHARGE:
            across = self._number(TimedQuantity(Sort.ACROSS, quantity.of, 1, quantity.slope), when)
            size = float(self.circuit.value(quantity.of[0]).value(numbers))
            return _times_numbers(constant(NumberSpan(size, size)), across)
        if quantity.sort is Sort.TIME_CONSTANT:
            slow = 1 / float(self._rate(quantity.of[1]).value(numbers))
            return constant(_point(slow))
        found = self._run(quantity)
        terms = [NumberTerm(_point(float(found.end)))]
        if found.slope:
            terms.append(NumberTerm(_point(float(found.slope)), power=1))
        for swing in found.swings:
            faded = NumberTerm(_point(float(swing.cosine)), _point(float(swing.rate)), swing.power)
            turned = replace(faded, turning=_point(float(swing.turning)))
            sine = replace(turned, factor=_point(float(swing.sine)), sine=True)
            terms += [turned, sine] if swing.turning else [faded]
        return RoundedCourse(tuple(terms), max(t.factor.size for t in terms))

    def _run(self, quantity: TimedQuantity) -> NumberCourse:
        """The course of a current or a voltage in the circuit's numbers."""
        try:
            return self._stage.run(lambda stage: _course(stage, quantity))
        except (FaultyMaterial, ArithmeticError) as trouble:
            raise NoValue(str(trouble)) from trouble


def _course(stage: Transient, quantity: TimedQuantity) -> Course:
    match quantity.sort:
        case Sort.CURRENT:
            found = stage.currents[quantity.of[0]]
        case Sort.ACROSS:
            found = stage.across(quantity.of[0])
        case Sort.DIFFERENCE:
            found = stage.difference(*quantity.of)
        case _:
            raise NoValue("it has no course")
    return slope_of(found) if quantity.slope else found


def as_numbers(value: ExactValue, numbers: Mapping[str, Fraction]) -> RoundedCourse:
    """An exact value with the numbers of the circuit, each an interval of one number. Raises NoValue where
    they leave a letter open."""
    terms: list[NumberTerm] = []
    known = {*numbers, TIME}
    for (exponent, logarithm), factor in value.terms.items():
        if not all(known.issuperset(part.held()) for part in (exponent, logarithm, factor) if part):
            raise NoValue("the circuit has letters without numbers")
        zero, rate, fixed = {**numbers, TIME: Fraction(0)}, 0.0, 0.0
        if exponent:
            fixed = float(exponent.value(zero))
            rate = fixed - float(exponent.value({**numbers, TIME: Fraction(1)}))
        powers = factor.coefficients_in(TIME) if factor.degree(TIME) else {0: factor}
        below = factor.denominator if factor.degree(TIME) else None
        for power, part in powers.items():
            size = float(part.value(zero)) if below is None else float((part / below).value(zero))
            size *= exp(fixed) * (log(float(logarithm.value(zero))) if logarithm is not None else 1.0)
            terms.append(NumberTerm(_point(size), _point(rate), power))
    return RoundedCourse(tuple(terms), max((t.factor.size for t in terms), default=0.0))


def _point(value: float) -> NumberSpan:
    return NumberSpan(value, value)


def _times_numbers(one: RoundedCourse, other: RoundedCourse) -> RoundedCourse:
    terms = [term for a in one.terms for b in other.terms for term in product_of(a, b)]
    return summed(terms, one.size * other.size)


def _signed(value: ExactValue, sign: int) -> ExactValue:
    return value if sign > 0 else times_number(value, -1)


def _signed_numbers(value: RoundedCourse, sign: int) -> RoundedCourse:
    return value if sign > 0 else turned(value)
