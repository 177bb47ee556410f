"""Whether a claim of a working in time is true, of the circuit or of what wrong lines above make of it.

In symbols exactly (`course_values`): for all values of the symbols and at all times. With numbers as these
are rounded (`course_numbers`): constants, factors and rates can each be equal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations, product

from ...circuit.elements import UNIT_OF, Kind
from ...expressions.dimensions import OF_UNIT, PLAIN, SECOND, Clash, Dimension, dimension
from ...expressions.nodes import Equation, Expr, Number, numbers_in, put
from ...expressions.parse import APPLIED
from ...expressions.tokens import scale_of
from ...expressions.values import ratio_of
from ..truth.dimensions import numbers_are_values
from ..truth.rounding import Policy, digits_of, figures, half_unit, has_values, is_decimal, lone
from ..verdicts import Truth
from .course_numbers import (
    NotNumeric,
    NumberSpan,
    NumberTerm,
    RoundedCourse,
    can_be_equal,
    constant,
    number_value,
)
from .course_values import ExactValue, NotExact, exact_value, of_ratio, plus
from .timed_names import TAU, TIME, TIMELESS, UNIT_OF_SORT, Sort, TimedName, TimedQuantity, When
from .timed_page import names_in
from .timed_truth import NoValue, TimedWorld
from .unit_systems import SI, UnitSystem, bare_unit, digit_scale, in_system

FEWEST = 3  # figures of a whole number without a unit that may be rounded
MOST_WAYS = 24  # choices of meanings and moments tried for one claim


class StrangeName(LookupError):
    """A name that stands for nothing; `args[0]` is the name."""


WITHOUT_VALUE = (NoValue, NotNumeric, NotExact, ZeroDivisionError, OverflowError, StrangeName)


@dataclass(frozen=True, slots=True)
class TimedChoice:
    """What the names of a claim are taken for: each with its quantity and its moment."""

    names: Mapping[str, tuple[TimedQuantity, When]]


@dataclass(frozen=True, slots=True)
class Judged:
    """One claim looked at: in which sense it is true, what its names were taken for, and whether their units
    fit together."""

    truth: Truth
    choice: TimedChoice
    fits: bool = True


class ClaimTruth:
    """Judges claims in one working. `names`: what its names may mean; `own`: what names of its own stand for;
    `clock`: the time at which the switch moves, where t is not counted from there; `noted`: how far rounded
    results above may be off, as a part of themselves."""

    def __init__(
        self, world: TimedWorld, names: Mapping[str, TimedName], policy: Policy, clock: Expr | None = None
    ) -> None:
        self.circuit, self.world = world.circuit, world
        self.names, self.policy, self.clock = dict(names), policy, clock
        self.own: dict[str, Expr] = {}
        self.noted = 0.0
        self.results: set[Fraction] = set()  # sizes of results that were rounded
        self.goes_on = False  # whether the claim goes on from one before it in its chain

    # -- what names are taken for --------------------------------------------------------------------

    def choices(self, claim: Equation, stage: When, at: Expr | None, *, strict: bool) -> list[TimedChoice]:
        """The ways in which the names of a claim can be taken, the likeliest first. `stage`: the moment that
        words speak of; `strict`: they stand in the line itself."""
        written = [n for n in names_in(claim) if n in self.names]
        options: list[list[tuple[TimedQuantity, When]]] = []
        in_course = self._in_course(claim, written)
        for name in written:
            timed = self.names[name]
            options.append([])
            for quantity in timed.meant:
                for when in self._moments(timed, quantity, stage, in_course, strict):
                    options[-1].append((quantity, when))
        found: list[TimedChoice] = []
        for picked in product(*options):
            together = dict(zip(written, picked, strict=True))
            free = {when for n, (_, when) in together.items() if self.names[n].when is When.UNSAID}
            if len(free - {When.UNSAID}) <= 1:  # names without a moment speak of one
                found.append(TimedChoice(together))
            if len(found) == MOST_WAYS:
                break
        return found

    def _in_course(self, claim: Equation, written: Sequence[str]) -> bool:
        """Whether a claim speaks of a course in time: t stands in it, or a rate of change."""
        timed = [self.names[n] for n in written]
        return TIME in names_in(claim) or any(t.when is When.COURSE for t in timed)

    def _moments(
        self, timed: TimedName, quantity: TimedQuantity, stage: When, in_course: bool, strict: bool
    ) -> list[When]:
        if quantity.sort in TIMELESS:
            return [When.UNSAID]
        if timed.when is not When.UNSAID:
            return [timed.when]
        if in_course:
            return [When.COURSE]
        if stage is When.COURSE:
            return [When.COURSE]
        if stage is not When.UNSAID:
            return [stage] if strict else [stage, When.COURSE]
        return [When.COURSE, When.AFTER, When.END, When.BEFORE]

    # -- true or not ---------------------------------------------------------------------------------

    def judged(
        self,
        claim: Equation,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
        world: TimedWorld | None = None,
    ) -> Truth:
        """In which sense a claim is true with its names taken so. Raises StrangeName and NoValue."""
        world = world or self.world
        claim = self.opened(claim)
        if self.clash(claim, choice) is not None:
            return Truth.NO
        written = has_values(claim) or numbers_are_values(claim, lambda n: self._dimension(n, choice))
        valued = written and bool(self.circuit.numbers)
        if not valued or not self.circuit.has_all_numbers:
            try:
                if self.difference(claim, choice, at, world).is_zero:
                    return Truth.ALWAYS
                if not self._of_quantities_alone(claim, choice):
                    return Truth.NO
            except NotExact:
                if not self.circuit.has_all_numbers:
                    raise NoValue("it is not worked out in symbols") from None
        sharp = self.sides(claim, choice, at, system, world, rounded=False)
        if can_be_equal(*sharp):
            return Truth.HERE
        if not valued:
            return Truth.NO
        if not names_in(claim) and not self.goes_on and not self._holds_results(claim):
            return self._by_arithmetic(claim, sharp, system)
        if can_be_equal(*self.sides(claim, choice, at, system, world, rounded=True)):
            return Truth.ROUNDED
        return Truth.CARRIED if self._carried(claim, sharp, system) else Truth.NO

    def _of_quantities_alone(self, claim: Equation, choice: TimedChoice) -> bool:
        """Whether a claim compares quantities of the circuit and names nothing else, such as I2 = I3: it may
        be true for the numbers of the circuit alone."""
        sorts = {choice.names[n][0].sort for n in names_in(claim) if n in choice.names}
        whole = all(n in choice.names for n in names_in(claim)) and self.circuit.has_all_numbers
        return whole and bool(sorts) and sorts.isdisjoint(TIMELESS)

    def clash(self, claim: Equation, choice: TimedChoice) -> tuple[Dimension, ...] | None:
        """The kinds of quantity that meet in a claim and do not fit; None where they do."""
        try:
            dimension(claim, lambda name: self._dimension(name, choice))
        except Clash as met:
            return met.wanted, met.found
        return None

    def _dimension(self, name: str, choice: TimedChoice) -> Dimension | None:
        if name in choice.names:
            quantity, _ = choice.names[name]
            found = OF_UNIT[UNIT_OF_SORT[quantity.sort]]
            return found / SECOND if quantity.slope else found
        if name in (TIME, TAU):
            return SECOND
        if name.startswith(("e^(", *(f"{f}(" for f in APPLIED))):
            return PLAIN if choice.names else None  # ln 2 = 0.693 s, of a time counted in time constants
        unit = self._unit(name)
        return OF_UNIT[unit] if unit else None

    def opened(self, claim: Equation) -> Equation:
        """The claim with what the working's own names stand for in their places."""
        table = {n: e for n, e in self.own.items() if n in names_in(claim)}
        if not table:
            return claim
        return Equation(put(claim.left, table), put(claim.right, table), claim.relation)

    def difference(
        self, claim: Equation, choice: TimedChoice, at: Expr | None, world: TimedWorld | None = None
    ) -> ExactValue:
        """Left minus right, exactly. Raises NotExact, NoValue, StrangeName and ZeroDivisionError."""
        return self.exact(claim.left, choice, at, world) - self.exact(claim.right, choice, at, world)

    def exact(
        self, expr: Expr, choice: TimedChoice, at: Expr | None, world: TimedWorld | None = None
    ) -> ExactValue:
        """The exact value of an expression."""
        there = world or self.world
        fld = there.field

        def value(name: str) -> ExactValue:
            if name in choice.names:
                quantity, when = choice.names[name]
                time = self.names[name].at or at if when is When.AT else None
                moment = self.exact(time, choice, None, there) if time is not None else None
                if moment is not None and self.clock is not None:
                    moment = moment - self.exact(self.clock, choice, None, there)
                return there.exact(quantity, when, moment)
            if name == TIME:
                return of_ratio(fld.symbol(TIME)) if self.clock is None else self._since(there)
            if name in fld:
                return of_ratio(fld.symbol(name))
            if name == TAU:
                return there.exact(TimedQuantity(Sort.TIME_CONSTANT, self.circuit.storages[:1]), When.UNSAID)
            element = self.circuit.elements.get(name)
            if element is not None and element.kind in UNIT_OF:
                return of_ratio(ratio_of(element.value, fld))
            raise StrangeName(name)

        return exact_value(expr, fld, value)

    def _since(self, world: TimedWorld) -> ExactValue:
        """The time on the writer's clock: what has gone since the switch moved, and the time of that."""
        fld = world.field
        later = (
            exact_value(self.clock, fld, lambda n: of_ratio(fld.symbol(n)))
            if self.clock
            else of_ratio(fld.zero)
        )
        return plus(of_ratio(fld.symbol(TIME)), later)

    # -- as numbers ----------------------------------------------------------------------------------

    def sides(
        self,
        claim: Equation,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
        world: TimedWorld | None = None,
        *,
        rounded: bool,
    ) -> tuple[RoundedCourse, RoundedCourse]:
        """Both sides as numbers in a system of units. Raises NotNumeric, NoValue, StrangeName and
        ZeroDivisionError."""
        there = world or self.world
        return (
            self.number(claim.left, choice, at, system, there, rounded=rounded),
            self.number(claim.right, choice, at, system, there, rounded=rounded),
        )

    def number(
        self,
        expr: Expr,
        choice: TimedChoice,
        at: Expr | None,
        system: UnitSystem,
        world: TimedWorld,
        *,
        rounded: bool,
    ) -> RoundedCourse:
        """The value of an expression as a number in a system of units."""
        numbers = self.circuit.numbers

        def of_number(number: Number) -> NumberSpan:
            value = in_system(number, system)
            width = self._width(number, system) if rounded else Fraction(0)
            return NumberSpan(float(value - width), float(value + width))

        def of_name(name: str) -> RoundedCourse:
            if name in choice.names:
                quantity, when = choice.names[name]
                unit = UNIT_OF_SORT[quantity.sort]
                scale = system.scale(unit) / (system.time if quantity.slope else 1)
                time = self.names[name].at or at if when is When.AT else None
                moment = None
                if time is not None:
                    moment = self.number(time, choice, None, SI, world, rounded=False).plain
                    if self.clock is not None:
                        begun = self.number(self.clock, choice, None, SI, world, rounded=False).plain
                        moment = moment + -begun
                return in_units(world.number(quantity, when, moment), scale, system.time)
            if name == TIME:
                course = RoundedCourse((NumberTerm(NumberSpan(1.0, 1.0), power=1),), 1.0)
                if self.clock is not None:
                    later = self.number(self.clock, choice, None, system, world, rounded=False).plain
                    course = RoundedCourse((*course.terms, NumberTerm(later)), 1.0)
                return course
            if name == TAU:
                quantity = TimedQuantity(Sort.TIME_CONSTANT, self.circuit.storages[:1])
                return in_units(world.number(quantity, When.UNSAID), system.scale("s"), system.time)
            value = numbers.get(name)
            element = self.circuit.elements.get(name)
            if value is None and element is not None and element.kind in UNIT_OF:
                value = self.circuit.value(name).value(numbers)
            if value is None:
                raise StrangeName(name)
            unit = self._unit(name)
            return constant(_span(float(value / system.scale(unit))))

        return number_value(expr, of_number, of_name)

    def _unit(self, name: str) -> str:
        element = self.circuit.elements.get(name)
        kind = element.kind if element is not None else self.circuit.role(name)
        return UNIT_OF.get(kind, "") if kind is not None else ""

    def _width(self, number: Number, system: UnitSystem) -> Fraction:
        """Half a unit of the last figure for what may be rounded; nothing for data and for whole factors."""
        value = abs(in_system(number, system))
        unit = bare_unit(number)
        if (
            any(v == value and unit in ("", u) for u, v in self._given(system))
            or figures(number) < self.policy.figures
        ):
            return Fraction(0)
        if not (is_decimal(number) or number.unit or figures(number) >= FEWEST):
            return Fraction(0)
        return half_width(number) / system.scale(bare_unit(number).removesuffix("²"))

    def _given(self, system: UnitSystem) -> frozenset[tuple[str, Fraction]]:
        """The data of the problem and the sums of its resistances, with their kinds, in a system of units."""
        data = self.circuit.numbers.items()
        kinds = {n: self._unit(n) for n, _ in data}
        found = {(kinds[n], abs(v) / system.scale(kinds[n])) for n, v in data}
        ohms = [v for n, v in data if self.circuit.role(n) is Kind.RESISTOR]
        for count in (2, 3):
            sums = (sum(some, Fraction(0)) for some in combinations(ohms[:8], count))
            found |= {("Ω", one / system.scale("Ω")) for one in sums}
        return frozenset(found)

    def _carried(
        self, claim: Equation, sharp: tuple[RoundedCourse, RoundedCourse], system: UnitSystem
    ) -> bool:
        """Whether a result is off by no more than what the rounded results above it may be off."""
        for side, value, other in ((claim.right, *sharp[::-1]), (claim.left, *sharp)):
            number = lone(side)
            if number is None or not self.noted:
                continue
            try:
                written, true = value.plain.middle, other.plain.middle
            except NotNumeric:
                return False
            near = 0.0  # a number with too few figures to be rounded stands for itself: 0 A is no 0.4 A
            if figures(number) >= self.policy.figures:
                near = float(half_width(number) * digit_scale(number, system) / scale_of(number.unit))
            return abs(written - true) <= near + 1.5 * self.noted * abs(true)
        return False

    def _holds_results(self, claim: Equation) -> bool:
        return any(abs(n.value) in self.results for n in numbers_in(claim))

    def _by_arithmetic(
        self, claim: Equation, sharp: tuple[RoundedCourse, RoundedCourse], system: UnitSystem
    ) -> Truth:
        """Arithmetic by itself: every number is as it is written but the result, which is rounded."""
        for side in (claim.right, claim.left):
            number = lone(side)
            if number is None or figures(number) < self.policy.figures:
                continue
            near = float(half_width(number) * digit_scale(number, system) / scale_of(number.unit))
            off = abs(sharp[0].plain.middle - sharp[1].plain.middle)
            return Truth.ROUNDED if off <= near * (1 + 1e-9) else Truth.NO
        return Truth.NO

    def note(self, claim: Equation) -> None:
        """Keeps how far a rounded result may be off."""
        number = lone(claim.right)
        if number is not None:
            self.results.add(abs(number.value))
        if number is None or not number.value or figures(number) < self.policy.figures:
            return
        if is_decimal(number) or number.unit:
            off = float(half_width(number) / abs(number.value))
            if not any(abs(number.value) == abs(v) for v in self.circuit.numbers.values()):
                self.noted = max(self.noted, min(off, 0.01))


def half_width(number: Number) -> Fraction:
    """Half a unit of the last figure of a number; the noughts at the end of a large whole number are none."""
    half, digits = half_unit(number), digits_of(number)
    while digits.isdecimal() and len(digits.rstrip("0")) > 1 and digits.endswith("0"):
        half, digits = half * 10, digits[:-1]
    return half


def _span(value: float) -> NumberSpan:
    return NumberSpan(value, value)


def in_units(course: RoundedCourse, scale: Fraction, time: Fraction) -> RoundedCourse:
    """A course in SI units counted in a system: its sizes, and the time in its exponents."""
    by, seconds = float(1 / scale), float(time)
    terms = []
    for term in course.terms:
        factor = term.factor * _span(by * seconds**term.power)
        rate, turning = term.rate * _span(seconds), term.turning * _span(seconds)
        terms.append(replace(term, factor=factor, rate=rate, turning=turning))
    return RoundedCourse(tuple(terms), course.size * by)


def bare_numbers(claim: Equation) -> bool:
    """Whether a claim holds numbers without units that may be quantities."""
    return any(not n.unit for n in numbers_in(claim))
